"""Taking a reading: a form at a tree, and one at a place, that needs no script."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, File, Query, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.ground.words import say
from rootcase.records.observe import Place, PropertyRecord, Tree
from rootcase.services.read import fresh_mark, marked, of_form, shoot_years, spots, take, walk
from rootcase.tables.readings import kinds
from rootcase.web.cases import tree_of
from rootcase.web.read_shown import LAID_OUT
from rootcase.web.refusals import NotThere
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.uploads import all_kept_for_work
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/properties/{property_id}")
Reads = Annotated[Visitor, Depends(may("take_readings"))]
_AT_TREE = ("tree", "pit", "sample", "visit")
_AT_PLACE = ("place", "visit")


@router.get("/trees/{tree_id}/read")
def read_tree(request: Request, property_id: str, tree_id: str, visitor: Reads,
              kind: Annotated[str, Query(max_length=80)] = "") -> Response:
    record = _record(request, visitor, property_id)
    tree = tree_of(record, tree_id)
    if kind in kinds() and kinds()[kind].of == "place" and any(each.id == tree.place_id for each in record.places):
        came_for = urlencode({"place": tree.place_id, "kind": kind, "tree": tree.id})
        return RedirectResponse(f"/properties/{property_id}/read?{came_for}", 303)
    return _form(request, visitor, record, tree, {"kind": kind})


@router.post("/trees/{tree_id}/read")
def keep_at_tree(request: Request, property_id: str, tree_id: str, visitor: Reads, typed: Typed,
                 tree_photo: Annotated[UploadFile, File()] = None,  # type: ignore[assignment]
                 pit_photo: Annotated[UploadFile, File()] = None) -> Response:  # type: ignore[assignment]
    record, typed = _record(request, visitor, property_id), marked(typed)
    tree, book = tree_of(record, tree_id), desk_of(request).book(visitor.practice_id)
    with all_kept_for_work({"tree_photo": tree_photo, "pit_photo": pit_photo}) as (folder, names):
        photos = {f"v.{kind}.1": name for kind, name in names.items()}
        came = take(book.within(visitor.bounds), record, tree, {**typed, **photos}, by=visitor.code,
                    system=visitor.system, folder=folder)
    if came.wrong:
        return _form(request, visitor, _record(request, visitor, property_id), tree, typed, came.wrong, came.kept)
    return RedirectResponse(f"/properties/{property_id}/trees/{tree.id}?kept={typed['mark']}", 303)


@router.get("/read")
def read_place(request: Request, property_id: str, visitor: Reads,
               place: Annotated[str, Query(max_length=80)] = "", kind: Annotated[str, Query(max_length=80)] = "",
               tree: Annotated[str, Query(max_length=80)] = "") -> HTMLResponse:
    record = _record(request, visitor, property_id)
    return _form(request, visitor, record, _place(record, place), {"kind": kind, "tree": tree})


@router.post("/read")
def keep_at_place(request: Request, property_id: str, visitor: Reads, typed: Typed,
                  place: Annotated[str, Query(max_length=80)] = "") -> Response:
    record, typed = _record(request, visitor, property_id), marked(typed)
    found, book = _place(record, place), desk_of(request).book(visitor.practice_id)
    came = take(book.within(visitor.bounds), record, found, typed, by=visitor.code, system=visitor.system)
    if came.wrong:
        return _form(request, visitor, _record(request, visitor, property_id), found, typed, came.wrong, came.kept)
    came_from = next((each.id for each in record.trees if each.id == typed.get("tree")), "")
    back = f"trees/{came_from}?" if came_from else f"read?place={found.id}&"
    return RedirectResponse(f"/properties/{property_id}/{back}kept={typed['mark']}", 303)


def _form(request: Request, visitor: Visitor, record: PropertyRecord, at: Tree | Place, typed: Mapping[str, str],
          wrong: Mapping[str, str] | None = None, kept: int = 0) -> HTMLResponse:
    desk = desk_of(request)
    ground, today = record.property, desk.today(visitor.practice_id)
    mark = typed.get("mark") or fresh_mark()
    came = of_form(record, request.query_params.get("kept", mark))
    tree: dict[str, Any] = {}
    if isinstance(at, Tree):
        tree = {"spots": spots(record, at), "years": shoot_years(today, ground.latitude_deg)}
    shown = {"day": today.isoformat(), "sample": say("read.new_spot", tree=at.label, number=len(record.samples) + 1)
             if tree else "", **typed, "mark": mark}
    stops = walk(_AT_TREE if tree else _AT_PLACE, visitor.system, typed.get("kind", ""))
    return page(request, "read.html", visitor, place="trees", status=422 if wrong else 200, ground=ground, at=at,
                record=record, stops=stops, typed=cells(shown), wrong=cells(wrong or {}), kept=kept, came=came,
                is_tree=bool(tree), laid=LAID_OUT, **{"spots": (), "years": ()} | tree)


def _record(request: Request, visitor: Visitor, property_id: str) -> PropertyRecord:
    desk = desk_of(request)
    return desk.file(visitor.practice_id, desk.ground(visitor.practice_id, property_id)).record


def _place(record: PropertyRecord, place_id: str) -> Place:
    """The place of this id; the first one where none is asked for."""
    found = next((each for each in record.places if place_id in ("", each.id)), None)
    if found is None:
        raise NotThere(say("read.no_place"), value=place_id, right=say("web.see_trees"))
    return found
