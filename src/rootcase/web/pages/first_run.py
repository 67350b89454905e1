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
    if desk.has_own():
        with desk.own_book() as book:
            _require_nobody(book)
    return page(request, "first_run.html", None, typed={"key": key}, faults={})


@router.post("/first-run")
def make_own(request: Request, key: Typed = "", practice: Typed = "", system: Annotated[str, Form()] = "us",
             code: Typed = "", name: Typed = "", login: Typed = "") -> Response:
    desk = desk_of(request)
    typed = {"key": key, "practice": practice, "system": system, "code": code, "name": name, "login": login}
    try:
        _require_key(desk, key)
        with desk.own_book(make=True) as book:
            _require_nobody(book)
            token = people.begin_practice(book, practice, "metric" if system == "metric" else "us", (code, name, login),
                                          desk.now())
    except NotThere:
        raise
    except RootcaseError as trouble:
        return page(request, "first_run.html", None, status=422, typed=typed, faults=faults(trouble))
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


def _require_key(desk: Desk, key: str) -> None:
    """Only who reads the terminal makes this machine's practice theirs."""
    if not desk.first_run_key or not compare_digest(key.strip().encode(), desk.first_run_key.encode()):
        raise UnreadableValue(say("people.wrong_key"), where=say("people.field.key"),
                              right=say("people.key_in_terminal"))


def _require_nobody(book: Fieldbook) -> None:
    if people.anyone_in(book):
        raise NotThere(say("people.has_owner"), right=say("people.sign_in_instead"))
