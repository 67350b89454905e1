"""The kinds of events that say which readings are to be taken at the next visit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.body import Body


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingWanted(Body):
    KIND = "reading_wanted"
    tree: str
    kind: str
    by: str
    """A code, as of a reader."""
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingNotWanted(Body):
    """The wish it supersedes holds no more."""

    KIND = "reading_not_wanted"
    by: str
    day: date
