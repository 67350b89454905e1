"""The kinds of events beside the record of what was put on: the client's copy, and where litres went."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.body import Body
from rootcase.records.apply.done import LitreKind


@dataclass(frozen=True, slots=True, kw_only=True)
class ClientCopyGiven(Body):
    """The client was given a copy of one record; it belongs to the property of that."""

    KIND = "client_copy_given"
    record: str
    """Slot of what was put on."""
    day: date
    by: str
    """A code, never a name."""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LitresTold(Body):
    """Where some of a batch went that is on no tree; it belongs to the practice. One of the same slot takes its place.
    """

    KIND = "litres_told"
    batch: str
    what: LitreKind
    volume_l: float
    at: str
    """UTC, such as 2015-11-05T09:30:00.000Z."""
    by: str
    where: str = ""


LOG_EVENTS: tuple[type[Body], ...] = (ClientCopyGiven, LitresTold)
