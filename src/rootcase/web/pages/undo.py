"""The newest import of a property undone, in one step."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.words import say
from rootcase.web.showing import page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/properties/{property_id}/undo")
Brings = Annotated[Visitor, Depends(may("bring_lists"))]


@router.get("")
def undoing(request: Request, property_id: str, visitor: Brings, done: bool = False) -> HTMLResponse:
    return _undo(request, visitor, property_id, done=done)


@router.post("")
def undo(request: Request, property_id: str, visitor: Brings, typed: Typed) -> Response:
    desk = desk_of(request)
    ground, reason = desk.ground(visitor.practice_id, property_id), typed.get("reason", "").strip()
    try:
        if not reason:
            raise Missing(say("bring.undo.no_reason"), right=say("bring.undo.right_reason"))
        desk.book(visitor.practice_id).undo_import(ground.id, reason)
    except RootcaseError as trouble:
        return _undo(request, visitor, property_id, trouble=trouble, typed=typed)
    gone = ground.id not in desk.grounds(visitor.practice_id)
    return RedirectResponse("/import" if gone else f"/properties/{ground.id}/undo?done=true", 303)


def _undo(request: Request, visitor: Visitor, property_id: str, *, done: bool = False,
          trouble: RootcaseError | None = None, typed: Mapping[str, str] | None = None) -> HTMLResponse:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    return page(request, "bring_undo.html", visitor, place="trees", status=422 if trouble else 200, ground=ground,
                newest=desk.book(visitor.practice_id).newest_import(ground.id), done=done, trouble=trouble,
                typed=typed or {})
