"""The contacts of a property: told here, and each of them erased on request."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from rootcase.ground.words import say
from rootcase.services.contacts import ROLES, tell_contact
from rootcase.web.refusals import NotThere
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/properties/{property_id}/contacts")
Erases = Annotated[Visitor, Depends(may("erase_people"))]
_NOTHING: Mapping[str, str] = {}


@router.get("")
def contacts(request: Request, property_id: str, visitor: Erases) -> Response:
    return _page(request, property_id, visitor, _NOTHING, _NOTHING)


@router.post("")
def tell(request: Request, property_id: str, visitor: Erases, typed: Typed) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    wrong = tell_contact(desk.book(visitor.practice_id), ground, typed)
    if wrong:
        return _page(request, property_id, visitor, typed, wrong)
    return RedirectResponse(f"/properties/{ground.id}/contacts", 303)


@router.post("/{contact_id}/erase")
def erase(request: Request, property_id: str, contact_id: str, visitor: Erases) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    book = desk.book(visitor.practice_id)
    if contact_id not in {each.id for each in book.contacts(ground.id)}:
        raise NotThere(say("people.no_contact"), value=contact_id)
    book.erase_contact(contact_id)
    return RedirectResponse(f"/properties/{ground.id}/contacts", 303)


def _page(request: Request, property_id: str, visitor: Visitor, typed: Mapping[str, str],
          wrong: Mapping[str, str]) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    return page(request, "contacts.html", visitor, status=422 if wrong else 200, ground=ground,
                roles=[(each, each) for each in ROLES],
                contacts=desk.book(visitor.practice_id).contacts(ground.id), typed=cells(typed), wrong=cells(wrong))
