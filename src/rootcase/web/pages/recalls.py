"""A batch that is called back: the reason, the list to ring, each call."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.records.make.batch import Batch
from rootcase.report.text.recall import (
    against_lines,
    calls_elsewhere,
    load_choices,
    put_on_lines,
    recall_doubts,
    recall_finding,
    rung_lines,
    words_to_say,
)
from rootcase.services.heap import heap_named
from rootcase.services.make_batch import batch_named, call_back, note_ring
from rootcase.services.recall import load_went_to, recall
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
AT = "/make/batches/{batch_id}"
Maker = Annotated[Visitor, Depends(may("take_readings"))]
_NOTHING: Mapping[str, str] = {}


@router.get(AT + "/recall")
def recalled(request: Request, visitor: Annotated[Visitor, Depends(may("see_trees"))], batch_id: str) -> HTMLResponse:
    return _page(request, visitor, _batch(request, visitor, batch_id))


@router.post(AT + "/call-back")
def back(request: Request, visitor: Maker, batch_id: str, why: Annotated[str, Form()] = "") -> Response:
    batch = _batch(request, visitor, batch_id)
    try:
        call_back(desk_of(request).book(visitor.practice_id), batch.id, why, visitor.code)
    except RootcaseError as error:
        return _page(request, visitor, batch, {"why": why}, {"why": str(error)})
    return _to(batch)


@router.post(AT + "/rings")
def ring(request: Request, visitor: Maker, batch_id: str, property_id: Annotated[str, Form(max_length=64)] = "",
         note: Annotated[str, Form()] = "") -> Response:
    desk, batch = desk_of(request), _batch(request, visitor, batch_id)
    try:
        book = desk.book(visitor.practice_id)
        if property_id not in {each.id for each in book.properties()}:
            return _page(request, visitor, batch, {"": note}, {"": say("made.recall.not_on_list")})
        note_ring(book, batch.id, property_id, visitor.code, note)
    except RootcaseError as error:
        return _page(request, visitor, batch, {f"note-{property_id}": note}, {f"note-{property_id}": str(error)})
    return _to(batch)


@router.post(AT + "/went-to")
def went_to(request: Request, visitor: Maker, batch_id: str, typed: Typed) -> Response:
    batch = _batch(request, visitor, batch_id)
    wrong = load_went_to(desk_of(request).book(visitor.practice_id), batch, typed, visitor.code)
    return _page(request, visitor, batch, typed, wrong) if wrong else _to(batch)


def _page(request: Request, visitor: Visitor, batch: Batch, typed: Mapping[str, str] = _NOTHING,
          wrong: Mapping[str, str] = _NOTHING) -> HTMLResponse:
    book = desk_of(request).book(visitor.practice_id)
    found = recall(book, batch)
    rows = [(one, zip(put_on_lines(one), one.applied, strict=True), against_lines(one), rung_lines(found, one),
             words_to_say(found, one)) for one in found.properties]
    listed, names = {each.property_id for each in found.properties}, {each.id: each.name for each in book.properties()}
    shown = {"why"} if batch.may_be_loaded else {f"note-{each}" for each in listed if batch.refused_since}
    shown |= {"load", "tree", "amount", "mark"}
    lost = {name: text for name, text in typed.items() if name not in shown and text.strip()}
    return page(request, "recall.html", visitor, place="make", status=422 if wrong else 200, batch=batch, found=found,
                finding=recall_finding(found), doubts=recall_doubts(found, visitor.system), rows=rows,
                typed=cells(typed), wrong=cells(_above(wrong, shown)), lost="; ".join(lost.values()),
                heap=heap_named(book, batch.heap_id), loads=load_choices(found, visitor.system),
                mark=book.making.new_id(), calls=calls_elsewhere(found, names),
                others=[each for each in names.items() if each[0] not in listed])


def _above(wrong: Mapping[str, str], shown: Collection[str]) -> Mapping[str, str]:
    """What is wrong, by field; above the page where its field is not there."""
    return {name if name in shown else "": told for name, told in wrong.items()}


def _batch(request: Request, visitor: Visitor, batch_id: str) -> Batch:
    with asked_by_id():
        return batch_named(desk_of(request).book(visitor.practice_id), batch_id)


def _to(batch: Batch) -> RedirectResponse:
    return RedirectResponse(f"/make/batches/{batch.number}/recall", 303)
