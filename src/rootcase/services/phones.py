"""A phone that is gone: it is answered no more, and nobody can go on with what was signed in on it."""

from __future__ import annotations

from datetime import datetime

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.phones import mark_lost
from rootcase.fieldbook.people.sessions import end_sessions
from rootcase.records.people import Phone


def lose(fieldbook: Fieldbook, phone: Phone, now: datetime, *, but: str = "") -> None:
    """Mark a phone lost and end all that its person is signed in by: a thief need not say which phone asks. but: the
    session from which it is told."""
    mark_lost(fieldbook.store, phone.id, now)
    end_sessions(fieldbook.store, phone.code, but=but)
