"""Heaps of compost: started, read day by day, and what they show; forms that need no script."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from functools import partial
from typing import Annotated

from fastapi import APIRouter, Depends, File, Form, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.casework.make.heap_figures import bars
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.heat_file import HeatFileSaid
from rootcase.ground.errors import RootcaseError
from rootcase.records.make.heap import Heap
from rootcase.services.heap import (
    HeapTold,
    change_heap,
    check_probes,
    heap_cells,
    heap_named,
    start_heap,
    take_back,
    tell_heat,
    turn,
    undo,
)
from rootcase.services.heap_figures import correct_entry, free, hold, measure, read_beans
from rootcase.services.heap_file import bring_heat
from rootcase.services.recipe import own_figures, parts_of
from rootcase.web.heap_shown import entry_shown, heap_shown, new_shown
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.uploads import kept_for_work
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/make/heaps")
Sees = Annotated[Visitor, Depends(may("see_trees"))]
Reads = Annotated[Visitor, Depends(may("take_readings"))]
Corrects = Annotated[Visitor, Depends(may("correct_readings"))]
Frees = Annotated[Visitor, Depends(may("free_heaps"))]


@router.get("/new")
def new_heap(request: Request, visitor: Reads) -> HTMLResponse:
    return _new(request, visitor, dict(request.query_params), {})


@router.post("/new")
def start(request: Request, visitor: Reads, typed: Typed) -> Response:
    desk = desk_of(request)
    try:
        parts = parts_of(typed, visitor.system, own_figures(desk.book(visitor.practice_id)))
    except RootcaseError as error:
        return _new(request, visitor, typed, {"parts": str(error)})
    told = start_heap(desk.book(visitor.practice_id), typed, by=visitor.code, now=desk.now(), parts=parts,
                      invented=desk.demo)
    return _new(request, visitor, typed, told.wrong) if told.wrong else _to(told)


@router.get("/{heap_id}")
def heap(request: Request, visitor: Sees, heap_id: str) -> HTMLResponse:
    return _heap(request, visitor, _named(request, visitor, heap_id), dict(request.query_params), {})


@router.get("/{heap_id}/particulars")
def particulars(request: Request, visitor: Corrects, heap_id: str) -> HTMLResponse:
    heap = _named(request, visitor, heap_id)
    return _new(request, visitor, heap_cells(heap), {}, heap)


@router.post("/{heap_id}/particulars")
def change(request: Request, visitor: Corrects, heap_id: str, typed: Typed) -> Response:
    heap, desk = _named(request, visitor, heap_id), desk_of(request)
    told = change_heap(desk.book(visitor.practice_id), heap, typed, by=visitor.code, now=desk.now())
    return _new(request, visitor, typed, told.wrong, heap) if told.wrong else _to(told)


@router.post("/{heap_id}/heat")
def heat(request: Request, visitor: Reads, heap_id: str, typed: Typed) -> Response:
    return _told(request, visitor, heap_id, typed, "heat", partial(tell_heat, system=visitor.system))


@router.post("/{heap_id}/turned")
def turned(request: Request, visitor: Reads, heap_id: str, typed: Typed) -> Response:
    return _told(request, visitor, heap_id, typed, "turned", turn)


@router.post("/{heap_id}/checked")
def checked(request: Request, visitor: Reads, heap_id: str, typed: Typed) -> Response:
    return _told(request, visitor, heap_id, typed, "checked", check_probes)


@router.post("/{heap_id}/measured")
def measured(request: Request, visitor: Reads, heap_id: str, typed: Typed) -> Response:
    return _told(request, visitor, heap_id, typed, "measured", measure)


@router.post("/{heap_id}/beans")
def beans(request: Request, visitor: Reads, heap_id: str, typed: Typed) -> Response:
    return _told(request, visitor, heap_id, typed, "beans", partial(read_beans, system=visitor.system))


@router.post("/{heap_id}/hold")
def held(request: Request, visitor: Reads, heap_id: str, typed: Typed) -> Response:
    return _told(request, visitor, heap_id, typed, "hold", _with_reason(hold))


@router.post("/{heap_id}/free")
def freed(request: Request, visitor: Frees, heap_id: str, typed: Typed) -> Response:
    return _told(request, visitor, heap_id, typed, "free",
                 _with_reason(partial(free, lifts=typed.get("lifts", "").split())))


@router.post("/{heap_id}/undo")
def undone(request: Request, visitor: Reads, heap_id: str, slot: Annotated[str, Form()] = "") -> Response:
    heap = _named(request, visitor, heap_id)
    try:
        undo(desk_of(request).book(visitor.practice_id), heap, slot, by=visitor.code)
    except RootcaseError as error:
        return _heap(request, visitor, heap, {}, {"": str(error)}, "undo")
    return _to(HeapTold(heap.id), "undone=true")


@router.post("/{heap_id}/file")
def bring_file(request: Request, visitor: Reads, heap_id: str, file: Annotated[UploadFile, File()],
               first_probe: Annotated[str, Form()] = "", unit: Annotated[str, Form()] = "",
               order: Annotated[str, Form()] = "", clock: Annotated[str, Form()] = "") -> Response:
    typed = {"first_probe": first_probe, "unit": unit, "order": order, "clock": clock}
    heap = _named(request, visitor, heap_id)
    with kept_for_work(file) as path:
        brought = bring_heat(desk_of(request).book(visitor.practice_id), heap, path, HeatFileSaid(unit, order, clock),
                             by=visitor.code, first_probe=first_probe)
    return _heap(request, visitor, _named(request, visitor, heap_id), typed, brought.wrong, "file", brought.told)


@router.get("/{heap_id}/entries/{slot}")
def entry(request: Request, visitor: Corrects, heap_id: str, slot: str) -> HTMLResponse:
    return _entry(request, visitor, _named(request, visitor, heap_id), slot, {}, {})


@router.post("/{heap_id}/entries/{slot}/correct")
def correct(request: Request, visitor: Corrects, heap_id: str, slot: str, typed: Typed) -> Response:
    heap, desk = _named(request, visitor, heap_id), desk_of(request)
    if bars(heap, slot):
        visitor.require("free_heaps")
    with asked_by_id():
        told = correct_entry(desk.book(visitor.practice_id), heap, slot, typed, by=visitor.code, now=desk.now(),
                             system=visitor.system)
    return _entry(request, visitor, heap, slot, typed, told.wrong) if told.wrong else _to(told)


@router.post("/{heap_id}/entries/{slot}/take-back")
def back(request: Request, visitor: Corrects, heap_id: str, slot: str, typed: Typed) -> Response:
    heap, desk = _named(request, visitor, heap_id), desk_of(request)
    if bars(heap, slot):
        visitor.require("free_heaps")
    with asked_by_id():
        told = take_back(desk.book(visitor.practice_id), heap, slot, typed.get("reason", ""), by=visitor.code)
    return _entry(request, visitor, heap, slot, typed, told.wrong) if told.wrong else _to(told)


def _named(request: Request, visitor: Visitor, heap_id: str) -> Heap:
    with asked_by_id():
        return heap_named(desk_of(request).book(visitor.practice_id), heap_id)


def _with_reason(say_so: Callable[..., HeapTold]) -> Callable[..., HeapTold]:
    def tell(book: Fieldbook, heap: Heap, typed: Mapping[str, str], *, by: str, now: datetime) -> HeapTold:
        return say_so(book, heap, typed.get("reason", ""), by=by, now=now, mark=typed.get("mark", ""))

    return tell


def _told(request: Request, visitor: Visitor, heap_id: str, typed: Mapping[str, str], form: str,
          tell: Callable[..., HeapTold]) -> Response:
    """Keep what a form tells, or show it again with what is wrong."""
    desk, heap = desk_of(request), _named(request, visitor, heap_id)
    told = tell(desk.book(visitor.practice_id), heap, typed, by=visitor.code, now=desk.now())
    if told.wrong:
        return _heap(request, visitor, heap, typed, told.wrong, form)
    return _to(told, f"probe={typed.get('probe', '')}&kept={told.slot}" if form == "heat" else f"kept={told.slot}")


def _to(told: HeapTold, query: str = "") -> RedirectResponse:
    return RedirectResponse(f"/make/heaps/{told.heap_id}{'?' if query else ''}{query}", 303)


def _new(request: Request, visitor: Visitor, typed: Mapping[str, str], wrong: Mapping[str, str],
         heap: Heap | None = None) -> HTMLResponse:
    """heap: the one whose particulars are told anew."""
    shown = new_shown(desk_of(request), visitor, typed)
    return page(request, "heap_new.html", visitor, place="make", status=422 if wrong else 200,
                wrong=cells(wrong), heap=heap, **shown)


def _heap(request: Request, visitor: Visitor, heap: Heap, typed: Mapping[str, str], wrong: Mapping[str, str],
          form: str = "", brought: tuple[str, ...] = ()) -> HTMLResponse:
    """typed and wrong are of the form of this name."""
    shown = heap_shown(desk_of(request), visitor, heap, typed, form)
    return page(request, "heap.html", visitor, place="make", status=422 if wrong else 200, heap=heap, form=form,
                wrong=cells(wrong), brought=brought, **shown)


def _entry(request: Request, visitor: Visitor, heap: Heap, slot: str, typed: Mapping[str, str],
           wrong: Mapping[str, str]) -> HTMLResponse:
    with asked_by_id():
        shown = entry_shown(heap, slot, visitor, typed)
    return page(request, "heap_entry.html", visitor, place="make", status=422 if wrong else 200, heap=heap,
                wrong=cells(wrong), **shown)
