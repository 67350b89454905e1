"""What somebody told of the ground of a property: lines located, permits, its use, bloom, and how the soil squeezed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

SoilState = Literal["fit", "dry", "saturated", "frozen"]
"""Choices of the reading soil_state_at_work."""
_WEEK = 7
MOST_USE_DAYS = 366
"""JUDGEMENT: a use of the ground is told for a year at most; then it is asked again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Locate:
    """Buried lines were located and marked."""

    id: str
    number: str
    first: date
    """The first day on which it holds."""
    last: date
    """The last day on which it holds."""
    private_lines: bool = False
    """Whether private lines were asked for too, which a public locator leaves out."""
    place_id: str = ""
    """Empty: the whole property."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Permit:
    """Leave that somebody has to give before anything is done."""

    id: str
    what: str
    number: str
    first: date
    """The first day on which it holds."""
    last: date
    """The last day on which it holds."""
    remedies: tuple[str, ...] = ()
    """Codes it is asked for; empty: for all."""
    work_told: bool = True
    """Otherwise nobody told for which work it is, and it is not known whether it lets the ground be opened."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """What else a place is used for."""

    id: str
    name: str
    first: date
    last: date
    weekdays: tuple[int, ...] = ()
    """Monday is 0; empty: every day from the first to the last."""
    place_id: str = ""
    """Empty: the whole property."""

    def on(self, day: date) -> bool:
        """Whether the place is in use on a day."""
        return self.first <= day <= self.last and (not self.weekdays or day.weekday() in self.weekdays)

    def until(self, day: date) -> date:
        """The last of the days in use that follow on each other from this one."""
        step = timedelta(days=1)
        for _ in range(MOST_USE_DAYS if len(self.weekdays) in (0, _WEEK) else _WEEK):
            if not self.on(day + step):
                break
            day += step
        return day


@dataclass(frozen=True, slots=True, kw_only=True)
class Bloom:
    """Flowers that were seen at a tree, or on the ground of a place."""

    id: str
    of: str
    """Id of the tree or of the place."""
    first: date
    last: date
    """As seen, or as expected."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Squeeze:
    """What a handful of soil at 4 in said, squeezed at a place on a day."""

    id: str
    place_id: str
    day: date
    state: SoilState


@dataclass(frozen=True, slots=True, kw_only=True)
class WentWrong:
    """Something went wrong at work, as who was there wrote it down."""

    id: str
    day: date
    at: str
    """UTC, such as 2015-11-05T09:30:00.000Z."""
    by: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundTold:
    """All that was told of one property."""

    locates: tuple[Locate, ...] = ()
    permits: tuple[Permit, ...] = ()
    uses: tuple[Use, ...] = ()
    blooms: tuple[Bloom, ...] = ()
    squeezes: tuple[Squeeze, ...] = ()
