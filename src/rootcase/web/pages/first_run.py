"""The first run: the invented data gives way to the practice's own fieldbook and its first owner."""

from __future__ import annotations

from hmac import compare_digest
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.keys import invitation_of
from rootcase.ground.errors import RootcaseError, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.people import Person
from rootcase.services import people
from rootcase.web.desk import Desk
from rootcase.web.pages.sign_in import Typed, invited_page, taken_up
from rootcase.web.people_told import faults
from rootcase.web.refusals import NotThere
from rootcase.web.showing import page
from rootcase.web.who import desk_of

router = APIRouter()


@router.get("/first-run")
def begin(request: Request, key: str = "") -> Response:
    desk = desk_of(request)
    waiting: tuple[Person, ...] = ()
    if desk.has_own():
        with desk.own_book() as book:
            _require_nobody(book)
            waiting = people.waiting_owners(book) if _is_key(desk, key) else ()
    begun = {"code": waiting[0].code, "name": waiting[0].name, "login": waiting[0].login} if waiting else {}
    return _page(request, {"key": key, **begun}, waiting)


@router.post("/first-run")
def make_own(request: Request, key: Typed = "", practice: Typed = "", system: Typed = "us", code: Typed = "",
             name: Typed = "", login: Typed = "", anew: Annotated[bool, Form()] = False) -> Response:
    desk, owner = desk_of(request), (code, name, login)
    typed = {"key": key, "practice": practice, "system": system, "code": code, "name": name, "login": login}
    wrong = (*_wrong_key(desk, key), *people.wrong_to_begin(practice, owner))
    if wrong:
        return _page(request, typed, (), *wrong)
    with desk.own_book(make=True) as book:
        _require_nobody(book)
        try:
            token = people.begin_practice(book, practice, "metric" if system == "metric" else "us", owner, desk.now(),
                                          anew=anew)
        except RootcaseError as trouble:
            return _page(request, typed, people.waiting_owners(book), trouble)
    return RedirectResponse(f"/first-run/{token}", 303)


@router.get("/first-run/{token}")
def second_half(request: Request, token: str) -> Response:
    desk = desk_of(request)
    with desk.own_book() as book:
        return invited_page(request, book, invitation_of(book.store, token, desk.now()))


@router.post("/first-run/{token}")
def come_in(request: Request, token: str, password: Typed = "", again: Typed = "", code: Typed = "") -> Response:
    desk = desk_of(request)
    with desk.own_book() as book:
        found = invitation_of(book.store, token, desk.now())
        if found is None:
            return invited_page(request, None, None)
        answer = taken_up(request, book, token, found, (password, again, code))
        if desk.first_run_key and people.anyone_in(book):  # any other invitation changes nothing of what is shown
            desk.become_own()
    return answer


def _page(request: Request, typed: dict[str, str], waiting: tuple[Person, ...], *wrong: RootcaseError) -> Response:
    return page(request, "first_run.html", None, status=422 if wrong else 200, typed=typed, waiting=waiting,
                faults=faults(*wrong))


def _is_key(desk: Desk, key: str) -> bool:
    return bool(desk.first_run_key) and compare_digest(key.strip().encode(), desk.first_run_key.encode())


def _wrong_key(desk: Desk, key: str) -> tuple[RootcaseError, ...]:
    """Only who reads the terminal makes this machine's practice theirs."""
    wrong = UnreadableValue(say("people.wrong_key"), where=say("people.field.key"), right=say("people.key_in_terminal"))
    return () if _is_key(desk, key) else (wrong,)


def _require_nobody(book: Fieldbook) -> None:
    if people.anyone_in(book):
        raise NotThere(say("people.has_owner"), right=say("people.sign_in_instead"))
