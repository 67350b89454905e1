"""Batches of extract: a new one, its steps, its verdict, and what becomes of a refused one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Form, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.records.make.batch import Step
from rootcase.records.make.checklist import BatchSeen
from rootcase.report.pdf.batch import batch_label_pdf, batch_sheet_pdf
from rootcase.services.batch_forms import LOAD, LOAD_FORM, asks_of, take_load, take_start, take_step
from rootcase.services.batch_seen import batch_seen, heap_choices
from rootcase.services.batch_sheet import batch_paper
from rootcase.services.make_batch import end_batch, judge_batch, undo_step
from rootcase.services.taken_back import right_to_take_back, take_step_back, told_step
from rootcase.web.batch_shown import BackCame, batch_page
from rootcase.web.read_as import with_read
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Seer = Annotated[Visitor, Depends(may("see_trees"))]
Maker = Annotated[Visitor, Depends(may("take_readings"))]
Corrector = Annotated[Visitor, Depends(may("correct_readings"))]


@router.get("/make/batches/new")
def new_batch(request: Request, visitor: Maker) -> HTMLResponse:
    return _new(request, visitor, {"mark": _book(request, visitor).making.new_id()}, {})


@router.post("/make/batches")
def start(request: Request, visitor: Maker, typed: Typed) -> Response:
    came = take_start(_book(request, visitor), typed, visitor.code)
    if came.number is None:
        return _new(request, visitor, typed, came.wrong)
    return RedirectResponse(f"/make/batches/{came.number}", 303)


@router.get("/make/batches/{batch_id}")
def batch(request: Request, visitor: Seer, batch_id: str, step: Annotated[Step | None, Query()] = None) -> HTMLResponse:
    return batch_page(request, visitor, _seen(request, visitor, batch_id), step=step)


@router.get("/make/batches/{batch_id}/{name}.pdf")
def paper(request: Request, visitor: Seer, batch_id: str, name: Literal["sheet", "label"]) -> Response:
    with asked_by_id():
        made = batch_paper(_book(request, visitor), batch_id, visitor.system)
    data = batch_sheet_pdf(made) if name == "sheet" else batch_label_pdf(made)
    return Response(data, media_type="application/pdf", headers={
        "content-disposition": f"inline; filename=batch-{made.seen.batch.number}-{name}.pdf"})


@router.post("/make/batches/{batch_id}/steps/{step}")
def tell(request: Request, visitor: Maker, batch_id: str, step: Step, typed: Typed) -> Response:
    seen = _seen(request, visitor, batch_id)
    wrong = take_step(_book(request, visitor), seen, step, typed, visitor.code, visitor.system)
    return batch_page(request, visitor, seen, step=step, typed=typed, wrong=wrong) if wrong else _back(
        seen, with_read(step, asks_of(step), typed, visitor.system))


@router.post("/make/batches/{batch_id}/undo")
def undo(request: Request, visitor: Maker, batch_id: str, told: Annotated[str, Form()] = "") -> Response:
    seen = _seen(request, visitor, batch_id)
    try:
        undo_step(_book(request, visitor), seen.batch.id, told, visitor.code)
    except RootcaseError as error:
        return batch_page(request, visitor, seen, wrong={"": str(error)})
    return _back(seen)


@router.post("/make/batches/{batch_id}/told/{told_id}/take-back")
def take_back(request: Request, visitor: Corrector, batch_id: str, told_id: str,
              reason: Annotated[str, Form()] = "") -> Response:
    seen = _seen(request, visitor, batch_id)
    with asked_by_id():
        told = told_step(seen.batch, told_id)
    visitor.require(right_to_take_back(told.step))
    try:
        take_step_back(_book(request, visitor), seen.batch, told.id, reason, visitor.code)
    except RootcaseError as error:
        return batch_page(request, visitor, seen, back=BackCame(told.id, reason, str(error)))
    return _back(seen, "#taken-back")


@router.post("/make/batches/{batch_id}/judge")
def judge(request: Request, visitor: Maker, batch_id: str, sure: Annotated[str, Form()] = "") -> Response:
    seen = _seen(request, visitor, batch_id)
    if seen.now and not sure:
        return batch_page(request, visitor, seen, asks=True)
    try:
        judge_batch(_book(request, visitor), seen.batch.id, visitor.code)
    except RootcaseError as error:
        return batch_page(request, visitor, seen, wrong={"": str(error)})
    return _back(seen)


@router.post("/make/batches/{batch_id}/loads")
def load(request: Request, visitor: Maker, batch_id: str, typed: Typed) -> Response:
    seen = _seen(request, visitor, batch_id)
    came = take_load(_book(request, visitor), seen, typed, visitor.code, visitor.system)
    if came.filled:
        return _back(seen, f"{with_read(LOAD_FORM, LOAD, typed, visitor.system)}#loads")
    now = _seen(request, visitor, batch_id)  # a low figure of a tank calls its batch back
    return batch_page(request, visitor, now, typed=typed, load=came)


@router.post("/make/batches/{batch_id}/end")
def end(request: Request, visitor: Maker, batch_id: str,
        how: Annotated[Literal["", "compost_water", "poured_out"], Form()] = "",
        where: Annotated[str, Form()] = "") -> Response:
    seen = _seen(request, visitor, batch_id)
    if not how:
        return batch_page(request, visitor, seen, typed={"where": where}, ended={"how": say("made.page.how_right")})
    try:
        end_batch(_book(request, visitor), seen.batch.id, how, where, visitor.code)
    except RootcaseError as error:
        return batch_page(request, visitor, seen, typed={"where": where, "how": how}, ended={"where": str(error)})
    return _back(seen)


def _new(request: Request, visitor: Visitor, typed: Mapping[str, str], wrong: Mapping[str, str]) -> HTMLResponse:
    return page(request, "batch_new.html", visitor, place="make", status=422 if wrong else 200, typed=cells(typed),
                heaps=heap_choices(_book(request, visitor)), wrong=cells(wrong))


def _book(request: Request, visitor: Visitor) -> Fieldbook:
    return desk_of(request).book(visitor.practice_id)


def _seen(request: Request, visitor: Visitor, batch_id: str) -> BatchSeen:
    with asked_by_id():
        return batch_seen(_book(request, visitor), batch_id)


def _back(seen: BatchSeen, place: str = "") -> RedirectResponse:
    return RedirectResponse(f"/make/batches/{seen.batch.number}{place}", 303)
