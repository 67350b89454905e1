"""The record of what was put on: the form of the day, the list with what law still asks, one record and its link."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.ground.dates import read_date
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.services.log import give_copy, recorded, take_litres, take_log
from rootcase.services.log_boxes import of_record
from rootcase.services.log_prefill import of_job, planned
from rootcase.services.make_batch import batch_named
from rootcase.web.record_shown import Place, log_page, record_page, records_page
from rootcase.web.refused import asked_by_id
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Seer = Annotated[Visitor, Depends(may("see_trees"))]
Maker = Annotated[Visitor, Depends(may("take_readings"))]
From = Annotated[int, Query(ge=0, le=10**9)]
LOG = "/properties/{property_id}/log"


@router.get("/record")
def records(request: Request, visitor: Seer, open_from: From = 0, older: From = 0, batches: From = 0) -> HTMLResponse:
    return records_page(request, visitor, at=Place(open_from, older, batches))


@router.post("/record/litres")
def litres(request: Request, visitor: Maker, typed: Typed) -> Response:
    book = desk_of(request).book(visitor.practice_id)
    try:
        wrong: Mapping[str, str] = take_litres(book, batch_named(book, typed.get("batch", "")), [typed], visitor.code,
                                               visitor.system)
    except RootcaseError as error:
        wrong = {"": str(error)}
    return records_page(request, visitor, typed, wrong) if wrong else RedirectResponse("/record#liters", 303)


@router.get("/record/{number}")
def record(request: Request, visitor: Seer, number: str) -> HTMLResponse:
    return record_page(request, visitor, number)


@router.post("/record/{number}/copy")
def copy(request: Request, visitor: Maker, number: str, typed: Typed) -> Response:
    desk = desk_of(request)
    book = desk.book(visitor.practice_id)
    with asked_by_id():
        one = recorded(book, number, desk.today(visitor.practice_id)).application
    try:
        text = typed.get("day", "").strip()
        day = read_date(text, None) if text else desk.today(visitor.practice_id)
        if day > desk.today(visitor.practice_id):
            return record_page(request, visitor, number, typed, {"day": say("log.ahead")})
        give_copy(book, one, day, visitor.code)
    except RootcaseError as error:
        return record_page(request, visitor, number, typed, {"day": str(error)})
    return RedirectResponse(f"/record/{one.number}", 303)


@router.get(LOG)
def form(request: Request, visitor: Maker, property_id: str, job: str = "", record: str = "",
         tree: str = "") -> HTMLResponse:
    desk = desk_of(request)
    book, ground = desk.book(visitor.practice_id), desk.ground(visitor.practice_id, property_id)
    if record:
        with asked_by_id():
            return log_page(request, visitor, ground, of_record(book.recording.named(record), visitor.system))
    waiting = planned(book, book.record(ground.id), desk.today(visitor.practice_id))
    found = next((each for each in waiting if each.id == job), None)
    typed = of_job(found, visitor.system) if found else {"tree": tree}
    return log_page(request, visitor, ground, {"slot": book.recording.new_id(), "by": visitor.code, **typed})


@router.post(LOG)
def log(request: Request, visitor: Maker, property_id: str, typed: Typed) -> Response:
    desk = desk_of(request)
    book, ground = desk.book(visitor.practice_id), desk.ground(visitor.practice_id, property_id)
    plain = typed.get("planned_l", "")
    planned_l = float(plain) if plain.replace(".", "", 1).isdecimal() and plain.isascii() else None
    if typed.get("meant"):
        typed = {**typed, "volume": f"{typed.get('volume', '').strip()} {typed['meant']}"}
    came = take_log(book, ground, typed, visitor.code, visitor.system, planned_l)
    if not came.slot:
        return log_page(request, visitor, ground, typed, came)
    return RedirectResponse(f"/record/{book.recording.words(came.slot)[-1].number}", 303)
