"""Coming in and going out: the door, the invitation, the end of a session."""

from __future__ import annotations

from math import ceil
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import RedirectResponse, Response

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.keys import invitation_of
from rootcase.fieldbook.people.register import person
from rootcase.fieldbook.people.sessions import end_session
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.records.people import SIGNING_ROLES, Invitation
from rootcase.services import people
from rootcase.web.desk import OWN
from rootcase.web.people_told import faults
from rootcase.web.second_step import second_step
from rootcase.web.showing import page
from rootcase.web.who import address_of, desk_of, device_of, let_stay, visitor_of

router = APIRouter()
Typed = Annotated[str, Form()]


@router.get("/sign-in")
def door(request: Request, next: str = "/") -> Response:  # noqa: A002
    if visitor_of(request) is not None:
        return RedirectResponse(_within(next), 303)
    return page(request, "sign_in.html", None, onward=_within(next), typed={}, wrong="",
                nobody=not people.anyone_in(desk_of(request).book(OWN)))


@router.post("/sign-in")
def sign_in(request: Request, login: Typed = "", password: Typed = "", code: Typed = "",
            onward: Typed = "/") -> Response:
    desk = desk_of(request)
    knock = people.Knock(login=login, password=password, code=code, address=address_of(request),
                         device=device_of(request))
    answered = people.sign_in(desk.book(OWN), knock, desk.now())
    if not answered.token:
        seconds = ceil(answered.wait.total_seconds())
        wrong = say("people.wait", wait=_counted(seconds)) if seconds else say("people.not_in")
        refused = page(request, "sign_in.html", None, status=429 if seconds else 422, onward=_within(onward),
                       typed={"login": login}, wrong=wrong, nobody=False)
        if seconds:
            refused.headers["retry-after"] = str(seconds)
        return refused
    answer = RedirectResponse(_within(onward), 303)
    let_stay(request, answer, answered.token)
    return answer


@router.post("/sign-out")
def sign_out(request: Request) -> Response:
    desk, visitor = desk_of(request), visitor_of(request)
    if visitor is not None and visitor.session_id:
        end_session(desk.book(visitor.practice_id).store, visitor.code, visitor.session_id)
    answer = RedirectResponse("/sign-in", 303)
    let_stay(request, answer, "")
    return answer


@router.get("/invite/{token}")
def invitation(request: Request, token: str) -> Response:
    desk = desk_of(request)
    found = invitation_of(desk.book(OWN).store, token, desk.now())
    return invited_page(request, found and desk.book(found.practice_id), found)


@router.post("/invite/{token}")
def come_in(request: Request, token: str, password: Typed = "", again: Typed = "", code: Typed = "") -> Response:
    desk = desk_of(request)
    found = invitation_of(desk.book(OWN).store, token, desk.now())
    if found is None:
        return invited_page(request, None, None)
    return taken_up(request, desk.book(found.practice_id), token, found, (password, again, code))


def invited_page(request: Request, book: Fieldbook | None, found: Invitation | None,
                 trouble: RootcaseError | None = None) -> Response:
    """The page on which somebody sets a password and a second step; one page for every invitation that is not good."""
    if book is None or found is None:
        return page(request, "invite_over.html", None, status=404)
    whose = person(book.store, found.code)
    return page(request, "invite.html", None, status=422 if trouble else 200, whose=whose, faults=faults(trouble),
                step=second_step(found.totp_secret, whose.login, book.practice().name),
                needs_step=whose.role in SIGNING_ROLES)


def taken_up(request: Request, book: Fieldbook, token: str, found: Invitation, typed: tuple[str, str, str]) -> Response:
    """Take up an invitation by what was typed, and come in."""
    password, again, code = typed
    try:
        let_in = people.come_in(book, token, password, again, code, device_of(request), desk_of(request).now())
    except RootcaseError as trouble:
        return invited_page(request, book, found, trouble)
    if let_in is None:
        return invited_page(request, None, None)
    answer = RedirectResponse("/", 303)
    let_stay(request, answer, let_in)
    return answer


def _within(address: str) -> str:
    """An address of this app; anything else is its first page."""
    inside = address.startswith("/") and not address.startswith("//") and address.isprintable() and "\\" not in address
    return address if inside else "/"


def _counted(seconds: int) -> str:
    return say("people.seconds", count=seconds) if seconds < 120 else say("people.minutes", count=ceil(seconds / 60))
