"""The people of the practice: who they are, what they may do, and how they leave."""

from __future__ import annotations

import os
from typing import Annotated, cast, get_args

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import RedirectResponse, Response

from rootcase.fieldbook.people.keys import INVITED_FOR, invite
from rootcase.fieldbook.people.register import (
    add_person,
    change_role,
    end_person,
    erase_person,
    people_of,
    person,
    rename,
)
from rootcase.fieldbook.people.sessions import end_session, sessions_of
from rootcase.ground.errors import RootcaseError, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.people import Person, Role
from rootcase.tables.load import table
from rootcase.web.address import outside
from rootcase.web.pages.sign_in import Typed
from rootcase.web.people_told import faults
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/people")
Sees = Annotated[Visitor, Depends(may("see_people"))]
Changes = Annotated[Visitor, Depends(may("change_people"))]
Erases = Annotated[Visitor, Depends(may("erase_people"))]
Ticked = Annotated[bool, Form()]


@router.get("")
def everybody(request: Request, visitor: Sees) -> Response:
    return _people(request, visitor)


@router.post("")
def add(request: Request, visitor: Changes, code: Typed = "", name: Typed = "", login: Typed = "",
        role: Typed = "crew", may_sign: Ticked = False) -> Response:
    desk = desk_of(request)
    try:
        added = add_person(desk.book(visitor.practice_id).store, code, name, login, _role(role), may_sign=may_sign,
                           system=visitor.system)
    except RootcaseError as trouble:
        typed = {"code": code, "name": name, "login": login, "role": role, "may_sign": may_sign}
        return _people(request, visitor, typed, trouble)
    return _invited(request, visitor, added)


@router.get("/rights")
def rights(request: Request, visitor: Sees) -> Response:
    return page(request, "rights.html", visitor, rows=table("people/rights").rows)


@router.get("/{code}")
def one(request: Request, code: str, visitor: Sees) -> Response:
    return _one(request, visitor, code)


@router.post("/{code}/name")
def name(request: Request, code: str, visitor: Changes, name: Typed = "", login: Typed = "") -> Response:
    found = _there(request, visitor, code)
    try:
        rename(desk_of(request).book(visitor.practice_id).store, found.code, name, login)
    except RootcaseError as trouble:
        typed = {"name": name, "login": login, "role": found.role, "may_sign": found.may_sign}
        return _one(request, visitor, code, typed, trouble)
    return RedirectResponse(f"/people/{code}", 303)


@router.post("/{code}/role")
def role(request: Request, code: str, visitor: Changes, role: Typed = "", may_sign: Ticked = False) -> Response:
    found = _there(request, visitor, code)
    try:
        changed = change_role(desk_of(request).book(visitor.practice_id).store, found.code, _role(role),
                              may_sign=may_sign)
    except RootcaseError as trouble:
        return _one(request, visitor, code, {"role": role, "may_sign": may_sign}, trouble)
    if found.can_sign_in and not changed.can_sign_in:
        return _invited(request, visitor, changed)
    return RedirectResponse(f"/people/{code}", 303)


@router.post("/{code}/invite")
def invite_anew(request: Request, code: str, visitor: Changes) -> Response:
    return _invited(request, visitor, _there(request, visitor, code))


@router.post("/{code}/sessions/{session_id}/end")
def end_one_session(request: Request, code: str, session_id: str, visitor: Changes) -> Response:
    whose = _there(request, visitor, code)
    with asked_by_id():
        end_session(desk_of(request).book(visitor.practice_id).store, whose.code, session_id)
    return RedirectResponse(f"/people/{code}", 303)


@router.post("/{code}/end")
def end(request: Request, code: str, visitor: Changes) -> Response:
    try:
        end_person(desk_of(request).book(visitor.practice_id).store, _there(request, visitor, code).code,
                   desk_of(request).now())
    except RootcaseError as trouble:
        return _one(request, visitor, code, None, trouble)
    return RedirectResponse(f"/people/{code}", 303)


@router.get("/{code}/erase")
def erasing(request: Request, code: str, visitor: Erases) -> Response:
    return page(request, "erase_person.html", visitor, whose=_there(request, visitor, code), faults={})


@router.post("/{code}/erase")
def erase(request: Request, code: str, visitor: Erases) -> Response:
    desk, found = desk_of(request), _there(request, visitor, code)
    try:
        erase_person(desk.book(visitor.practice_id).store, found.code, desk.now())
    except RootcaseError as trouble:
        return page(request, "erase_person.html", visitor, status=422, whose=found, faults=faults(trouble))
    return RedirectResponse(f"/people/{found.code}", 303)


def _people(request: Request, visitor: Visitor, typed: dict[str, object] | None = None,
            trouble: RootcaseError | None = None) -> Response:
    book = desk_of(request).book(visitor.practice_id)
    return page(request, "people.html", visitor, status=422 if trouble else 200, people=people_of(book.store),
                typed=typed or {}, faults=faults(trouble), grounds=book.properties())


def _one(request: Request, visitor: Visitor, code: str, typed: dict[str, object] | None = None,
         trouble: RootcaseError | None = None) -> Response:
    desk, whose = desk_of(request), _there(request, visitor, code)
    return page(request, "person.html", visitor, status=422 if trouble else 200, whose=whose, faults=faults(trouble),
                typed=typed or {"role": whose.role, "may_sign": whose.may_sign},
                open_ones=sessions_of(desk.book(visitor.practice_id).store, whose.code, desk.now()))


def _there(request: Request, visitor: Visitor, code: str) -> Person:
    with asked_by_id():
        return person(desk_of(request).book(visitor.practice_id).store, code)


def _invited(request: Request, visitor: Visitor, whose: Person) -> Response:
    """The invitation, on the answer itself: what is shown once may stand in no address."""
    desk = desk_of(request)
    token = invite(desk.book(visitor.practice_id).store, whose.code, desk.now(), os.urandom)
    address = outside(request, f"/invite/{token}")
    return page(request, "invited.html", visitor, whose=whose, address=address, days=INVITED_FOR.days)


def _role(typed: str) -> Role:
    if typed not in get_args(Role):
        raise UnreadableValue(say("people.no_role"), where=say("people.field.role"), value=f'"{typed[:40]}"',
                              right=say("people.or").join(say(f"people.role.{each}") for each in get_args(Role)))
    return cast(Role, typed)
