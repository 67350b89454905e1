"""The phone that asks: what it says of itself in the heads of its requests, and whether it may."""

from __future__ import annotations

import re
from urllib.parse import unquote

from fastapi import Request

from rootcase.fieldbook.people.phones import heard
from rootcase.ground.words import say
from rootcase.records.people import Phone, PhoneAsked
from rootcase.web.refusals import NotReady
from rootcase.web.who import Visitor, desk_of

PHONE, WAITING, SENDER = "rootcase-phone", "rootcase-waiting", "rootcase-sender"
_WAITING = re.compile(r"(\d{1,9}) (\d{1,9})", re.ASCII)


def asked_by(request: Request) -> PhoneAsked | None:
    """What the phone that asks says of itself; None where a program asks that is none."""
    phone_id = request.headers.get(PHONE, "")
    waiting = _WAITING.fullmatch(request.headers.get(WAITING, ""))
    return PhoneAsked(phone_id, (int(waiting[1]), int(waiting[2])) if waiting else None) if phone_id else None


def require_sender(request: Request, visitor: Visitor) -> None:
    """Raise where what is sent is said to be another's than whose session this is: of another practice, or of another
    person who was signed in on the same phone. Nothing of it is kept, and all of it stays where it is."""
    said = request.headers.get(SENDER)
    if said is not None and [unquote(part) for part in said.split(" ")] != [visitor.practice_id, visitor.code]:
        raise NotReady(say("phones.anothers"), where=say("phones.field_sender"), right=say("phones.anothers_stay"))


def phone_of(request: Request, visitor: Visitor) -> Phone | None:
    """The phone that asks, which is noted; None where a program asks that is none. A lost one is refused, and one that
    says that it is another's."""
    require_sender(request, visitor)
    desk, asked = desk_of(request), asked_by(request)
    return heard(desk.book(visitor.practice_id).store, asked, visitor.code, desk.now()) if asked else None
