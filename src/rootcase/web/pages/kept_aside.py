"""What phones sent and somebody should look at: put it right, keep it as text, or let it go with a reason."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.fieldbook.aside import Aside
from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.length import MOST_LINE, too_long
from rootcase.ground.words import say
from rootcase.services.sync import unsettled
from rootcase.web.people_told import clock_told
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/practice/kept-aside")
Sender = Annotated[Visitor, Depends(may("take_readings"))]
NOTHING: Mapping[str, str] = {}


@router.get("")
def kept_aside(request: Request, visitor: Sender) -> HTMLResponse:
    return _page(request, visitor)


@router.post("/{mark}/mend")
def mend(request: Request, mark: str, visitor: Sender, typed: Typed) -> Response:
    return _settle(request, visitor, mark, typed, "typed", lambda aside: aside.mend(
        mark, typed.get("typed", ""), visitor.system, within=visitor.bounds, by=visitor.code))


@router.post("/{mark}/as-text")
def as_text(request: Request, mark: str, visitor: Sender) -> Response:
    return _settle(request, visitor, mark, NOTHING, "text", lambda aside: aside.as_text(
        mark, within=visitor.bounds, by=visitor.code))


@router.post("/{mark}/let-go")
def let_go(request: Request, mark: str, visitor: Sender, typed: Typed) -> Response:
    return _settle(request, visitor, mark, typed, "reason", lambda aside: aside.let_go(
        mark, _reason(typed), within=visitor.bounds, by=visitor.code))


def _reason(typed: Mapping[str, str]) -> str:
    if not typed.get("reason", "").strip():
        raise Missing(say("kept_aside.say_why"))
    return typed["reason"].strip()


def _settle(request: Request, visitor: Visitor, mark: str, typed: Mapping[str, str], field: str,
            settle: Callable[[Aside], object]) -> Response:
    wrong: Mapping[str, str] = too_long(typed, MOST_LINE)
    if not wrong:
        try:
            settle(desk_of(request).book(visitor.practice_id).aside)
            return RedirectResponse("/practice/kept-aside", 303)
        except RootcaseError as trouble:
            wrong = {field: str(trouble)}
    return _page(request, visitor, mark, typed, wrong)


def _page(request: Request, visitor: Visitor, mark: str = "", typed: Mapping[str, str] = NOTHING,
          wrong: Mapping[str, str] = NOTHING) -> HTMLResponse:
    told = unsettled(desk_of(request).book(visitor.practice_id), visitor.bounds)
    gone = bool(wrong) and mark not in {each.kept.mark for each in told.needs}
    return page(request, "kept_aside.html", visitor, status=422 if wrong else 200, told=told, mark=mark,
                typed=cells(typed), wrong=cells(wrong), gone=gone, off=clock_told)
