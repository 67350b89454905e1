"""The contacts of a property, each of whom can be erased on request."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import RedirectResponse, Response

from rootcase.ground.words import say
from rootcase.web.refusals import NotThere
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/properties/{property_id}/contacts")
Erases = Annotated[Visitor, Depends(may("erase_people"))]


@router.get("")
def contacts(request: Request, property_id: str, visitor: Erases) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    return page(request, "contacts.html", visitor, ground=ground,
                contacts=desk.book(visitor.practice_id).contacts(ground.id))


@router.post("/{contact_id}/erase")
def erase(request: Request, property_id: str, contact_id: str, visitor: Erases) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    book = desk.book(visitor.practice_id)
    if contact_id not in {each.id for each in book.contacts(ground.id)}:
        raise NotThere(say("people.no_contact"), value=contact_id)
    book.erase_contact(contact_id)
    return RedirectResponse(f"/properties/{ground.id}/contacts", 303)
