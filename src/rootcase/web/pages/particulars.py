"""The particulars of a property: seen by who sees its trees, changed by who answers for them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.services.particulars import (
    KEYS,
    MONEY,
    changes,
    loose_ends,
    particulars,
    shown_mark,
    tell_particulars,
    typed_anew,
)
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()


@router.get("/properties/{property_id}/particulars")
def show(request: Request, property_id: str, visitor: Annotated[Visitor, Depends(may("see_trees"))]) -> HTMLResponse:
    return _page(request, visitor, property_id)


@router.post("/properties/{property_id}/particulars")
def change(request: Request, property_id: str, visitor: Annotated[Visitor, Depends(may("change_property"))],
           typed: Typed) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    wrong = tell_particulars(desk.book(visitor.practice_id), ground, typed, system=visitor.system, by=visitor.code)
    if wrong:
        return _page(request, visitor, property_id, typed, wrong)
    return RedirectResponse(f"/properties/{ground.id}/particulars", 303)


def _page(request: Request, visitor: Visitor, property_id: str, typed: Mapping[str, str] | None = None,
          wrong: Mapping[str, str] | None = None) -> HTMLResponse:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    hidden = () if visitor.may("see_prices") else MONEY
    book = desk.book(visitor.practice_id)
    return page(request, "particulars.html", visitor, place="trees", status=422 if wrong else 200, ground=ground,
                property_id=ground.id, keys=[key for key in KEYS if key not in hidden], shown=shown_mark(book, ground),
                stands=particulars(ground, visitor.system), loose=cells(loose_ends(book, ground)),
                kept=desk.kept(visitor.practice_id, ground),
                typed=cells(typed_anew(book, ground, typed or {}, visitor.system)), wrong=cells(wrong or {}),
                jobs=desk.jobs.of(desk.tenant(visitor.practice_id), ground.id),
                changes=[each for each in changes(book, ground, visitor.system) if each.key not in hidden])
