"""Practice, Phones: which phone holds what, lost and found; and who goes where, which is what a phone holds."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Request, UploadFile
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.fieldbook.people.phones import call_phone, mark_found, phone_of, phones_of
from rootcase.fieldbook.people.register import people_of
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.records.people import Phone
from rootcase.services.jobs import gate_of, goes_there, let_go, send_there, tell_gate
from rootcase.services.phone_file import FileTaken
from rootcase.services.phones import lose, take_in_unseen, unseen
from rootcase.web import work
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.uploads import kept_for_work
from rootcase.web.who import NotAllowed, Visitor, desk_of, may

router = APIRouter()
Sees = Annotated[Visitor, Depends(may("see_people"))]
Loses = Annotated[Visitor, Depends(may("report_lost"))]
Assigns = Annotated[Visitor, Depends(may("assign_jobs"))]
SeesTrees = Annotated[Visitor, Depends(may("see_trees"))]
Brings = Annotated[Visitor, Depends(may("bring_sheets"))]
PHONES, ONE, GROUND = "/practice/phones", "/practice/phones/{phone_id}", "/properties/{property_id}/jobs"
NOTHING: Mapping[str, str] = {}


@router.get(PHONES)
def phones(request: Request, visitor: Sees) -> HTMLResponse:
    return _phones(request, visitor)


@router.post(f"{ONE}/name")
def name(request: Request, phone_id: str, visitor: Assigns, typed: Typed) -> Response:
    found = _there(request, visitor, phone_id)
    try:
        call_phone(desk_of(request).book(visitor.practice_id).store, found.id, typed.get("name", ""))
    except RootcaseError as trouble:
        return _phones(request, visitor, {found.id: str(trouble)}, typed.get("name", ""))
    return RedirectResponse(PHONES, 303)


@router.post(f"{ONE}/lost")
def lost(request: Request, phone_id: str, visitor: Loses) -> Response:
    desk, found = desk_of(request), _there(request, visitor, phone_id)
    if found.code != visitor.code and not visitor.may("assign_jobs"):
        raise NotAllowed("assign_jobs", visitor)
    lose(desk.book(visitor.practice_id), found, desk.now(), but=visitor.session_id)
    return RedirectResponse(PHONES, 303)


@router.post(f"{ONE}/found")
def found_again(request: Request, phone_id: str, visitor: Assigns) -> Response:
    desk, found = desk_of(request), _there(request, visitor, phone_id)
    mark_found(desk.book(visitor.practice_id).store, found.id, desk.now())
    return RedirectResponse(PHONES, 303)


@router.post(f"{ONE}/take-in")
def take_in(request: Request, phone_id: str, visitor: Assigns) -> Response:
    """What was made on it while it was lost, and was looked through by now."""
    desk, found = desk_of(request), _there(request, visitor, phone_id)
    take_in_unseen(desk.book(visitor.practice_id), found, visitor.bounds, desk.now(), by=visitor.code)
    return RedirectResponse("/practice/kept-aside", 303)


@router.post("/import/phone-file")
def phone_file(request: Request, visitor: Brings, file: UploadFile) -> HTMLResponse:
    """Entries that a phone saved as a file; the answer says what became of them."""
    desk = desk_of(request)
    try:
        with kept_for_work(file) as path:
            taken = desk.jobs.call(work.take_phone_file, desk.elsewhere(visitor.practice_id), path, visitor.bounds)
    except RootcaseError as trouble:
        return _phones(request, visitor, {"file": str(trouble)})
    return _phones(request, visitor, taken=taken)


@router.get(GROUND)
def jobs(request: Request, property_id: str, visitor: SeesTrees) -> HTMLResponse:
    return _jobs(request, visitor, property_id)


@router.post(GROUND)
def send(request: Request, property_id: str, visitor: Assigns, typed: Typed) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    try:
        send_there(desk.book(visitor.practice_id), ground, typed.get("code", ""), typed.get("day", ""),
                   desk.today(visitor.practice_id),
                   by=visitor.code, now=desk.now())
    except RootcaseError as trouble:
        of = "day" if trouble.where == say("phones.jobs.day") else "code"
        return _jobs(request, visitor, property_id, typed, {of: str(trouble)})
    return RedirectResponse(f"/properties/{ground.id}/jobs", 303)


@router.post(f"{GROUND}/away")
def away(request: Request, property_id: str, visitor: Assigns, typed: Typed) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    let_go(desk.book(visitor.practice_id), ground, typed.get("code", ""), typed.get("day", ""))
    return RedirectResponse(f"/properties/{ground.id}/jobs", 303)


@router.post(f"{GROUND}/gate")
def gate(request: Request, property_id: str, visitor: Assigns, typed: Typed) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    try:
        tell_gate(desk.book(visitor.practice_id), ground, typed.get("gate", ""))
    except RootcaseError as trouble:
        return _jobs(request, visitor, property_id, typed, {"gate": str(trouble)})
    return RedirectResponse(f"/properties/{ground.id}/jobs", 303)


def _phones(request: Request, visitor: Visitor, wrong: Mapping[str, str] = NOTHING, typed: str = "",
            taken: FileTaken | None = None) -> HTMLResponse:
    book = desk_of(request).book(visitor.practice_id)
    phones = phones_of(book.store)
    return page(request, "phones.html", visitor, status=422 if wrong else 200, phones=phones, wrong=cells(wrong),
                typed=typed, taken=taken, unseen=unseen(book, visitor.bounds))


def _there(request: Request, visitor: Visitor, phone_id: str) -> Phone:
    with asked_by_id():
        return phone_of(desk_of(request).book(visitor.practice_id).store, phone_id)


def _jobs(request: Request, visitor: Visitor, property_id: str, typed: Mapping[str, str] = NOTHING,
          wrong: Mapping[str, str] = NOTHING) -> HTMLResponse:
    desk = desk_of(request)
    ground, book = desk.ground(visitor.practice_id, property_id), desk.book(visitor.practice_id)
    people = [each for each in people_of(book.store) if each.ended is None]
    return page(request, "jobs.html", visitor, place="trees", status=422 if wrong else 200, ground=ground,
                there=goes_there(book, ground), today=desk.today(visitor.practice_id), wrong=cells(wrong),
                gate=typed.get("gate", gate_of(book, ground)) if visitor.may("assign_jobs") else "",
                typed=cells(typed), people=[(each.code, f"{each.code}, {each.name}") for each in people],
                names={each.code: each.name for each in people})
