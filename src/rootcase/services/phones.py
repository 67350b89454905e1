"""A phone that is gone: it is answered no more, and nobody can go on with what was signed in on it. Found again, what
was made on it is taken in when somebody has looked through it."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.phones import mark_lost
from rootcase.fieldbook.people.register import person
from rootcase.fieldbook.people.sessions import end_sessions
from rootcase.fieldbook.store.sent import KeptAside
from rootcase.records.people import Bounds, Phone
from rootcase.services.people import bounds


def lose(fieldbook: Fieldbook, phone: Phone, now: datetime, *, but: str = "") -> None:
    """Mark a phone lost and end all that its person is signed in by: a thief need not say which phone asks. but: the
    session from which it is told."""
    mark_lost(fieldbook.store, phone.id, now)
    end_sessions(fieldbook.store, phone.code, but=but)


def unseen(fieldbook: Fieldbook, within: Bounds) -> dict[str, list[KeptAside]]:
    """By phone that was lost: what was made on it, and waits until somebody has looked through it."""
    found = defaultdict[str, list[KeptAside]](list)
    for each in fieldbook.aside.kept(within):
        if each.unseen:
            found[each.device].append(each)
    return found


def take_in_unseen(fieldbook: Fieldbook, phone: Phone, within: Bounds, now: datetime, *, by: str) -> None:
    """Take all of it in, each as of who sent it; what does not fit after all stays, and says why. by: a code."""
    kept = unseen(fieldbook, within).get(phone.id, [])
    for code in dict.fromkeys(each.code for each in kept):
        theirs = within
        if code:
            whose = person(fieldbook.store, code)
            theirs = bounds(whose.code, whose.role, may_sign=whose.may_sign)
        fieldbook.taking_in.take([each for each in kept if each.code == code], now, within=theirs, by=code,
                                 looked_by=by)
