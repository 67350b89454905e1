"""The phone that asks: what it says of itself in the heads of its requests, and whether it may."""

from __future__ import annotations

import re

from fastapi import Request

from rootcase.fieldbook.people.phones import heard
from rootcase.records.people import Phone, PhoneAsked
from rootcase.web.who import Visitor, desk_of

PHONE, WAITING = "rootcase-phone", "rootcase-waiting"
_WAITING = re.compile(r"(\d{1,9}) (\d{1,9})", re.ASCII)


def asked_by(request: Request) -> PhoneAsked | None:
    """What the phone that asks says of itself; None where a program asks that is none."""
    phone_id = request.headers.get(PHONE, "")
    waiting = _WAITING.fullmatch(request.headers.get(WAITING, ""))
    return PhoneAsked(phone_id, (int(waiting[1]), int(waiting[2])) if waiting else None) if phone_id else None


def phone_of(request: Request, visitor: Visitor) -> Phone | None:
    """The phone that asks, which is noted; None where a program asks that is none. A lost one is refused."""
    desk, asked = desk_of(request), asked_by(request)
    return heard(desk.book(visitor.practice_id).store, asked, visitor.code, desk.now()) if asked else None
