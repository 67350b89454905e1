"""The kind of event that says that something went wrong at work; it belongs to the property where it did."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.body import Body


@dataclass(frozen=True, slots=True, kw_only=True)
class WentWrongTold(Body):
    """What happened, as who was there wrote it down; one of the same slot takes its place."""

    KIND = "went_wrong_told"
    day: date
    at: str
    """UTC, such as 2015-11-05T09:30:00.000Z."""
    by: str
    """A code, never a name."""
    note: str


WRONG_EVENTS: tuple[type[Body], ...] = (WentWrongTold,)
