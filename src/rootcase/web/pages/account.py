"""One's own account: password, second step, what stands open."""

from __future__ import annotations

import os
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from rootcase.fieldbook.people.keys import invite
from rootcase.fieldbook.people.register import person
from rootcase.fieldbook.people.sessions import end_session, sessions_of
from rootcase.ground.errors import RootcaseError
from rootcase.services import people
from rootcase.web.pages.sign_in import Typed
from rootcase.web.people_told import faults
from rootcase.web.refused import asked_by_id
from rootcase.web.showing import page
from rootcase.web.who import Visitor, address_of, desk_of, may

router = APIRouter(prefix="/account")
Self = Annotated[Visitor, Depends(may("own_account"))]


@router.get("")
def account(request: Request, visitor: Self) -> Response:
    return _page(request, visitor)


@router.post("/password")
def change_password(request: Request, visitor: Self, old: Typed = "", password: Typed = "",
                    again: Typed = "") -> Response:
    desk = desk_of(request)
    book = desk.book(visitor.practice_id)
    try:
        people.require_password_of(book, visitor.code, old, address_of(request), desk.now())
        people.new_password(book, visitor.code, (password, again), visitor.session_id)
    except RootcaseError as trouble:
        return _page(request, visitor, trouble)
    return RedirectResponse("/account?done=password", 303)


@router.post("/second-step")
def second_step(request: Request, visitor: Self, step_old: Typed = "") -> Response:
    desk = desk_of(request)
    book = desk.book(visitor.practice_id)
    try:
        people.require_password_of(book, visitor.code, step_old, address_of(request), desk.now())
    except RootcaseError as trouble:
        return _page(request, visitor, trouble, at="step")
    return RedirectResponse(f"/invite/{invite(book.store, visitor.code, desk.now(), os.urandom)}", 303)


@router.post("/sessions/{session_id}/end")
def end(request: Request, session_id: str, visitor: Self) -> Response:
    with asked_by_id():
        end_session(desk_of(request).book(visitor.practice_id).store, visitor.code, session_id)
    return RedirectResponse("/account", 303)


def _page(request: Request, visitor: Visitor, trouble: RootcaseError | None = None, at: str = "password") -> Response:
    desk = desk_of(request)
    store = desk.book(visitor.practice_id).store
    return page(request, "account.html", visitor, status=422 if trouble else 200, whose=person(store, visitor.code),
                open_ones=sessions_of(store, visitor.code, desk.now()), done=request.query_params.get("done", ""),
                faults=faults(trouble) if at == "password" else {}, step_faults=faults(trouble) if at == "step" else {})
