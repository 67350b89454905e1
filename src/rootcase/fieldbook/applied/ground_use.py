"""The kinds of events that say on which days a property may be worked; each belongs to its property."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.body import Body
from rootcase.records.apply.told import SoilState


@dataclass(frozen=True, slots=True, kw_only=True)
class OfGround(Body):
    """One of the same slot takes its place."""

    by: str
    """A code, never a name."""
    holds: bool = True
    """False: it was told, and holds no more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LocateTold(OfGround):
    KIND = "locate_told"
    number: str
    first: date
    last: date
    private_lines: bool = False
    place: str = ""
    """Empty: the whole property."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PermitTold(OfGround):
    KIND = "permit_told"
    what: str
    number: str
    first: date
    last: date
    remedies: tuple[str, ...] = ()
    all_work: bool = False
    """It is for all work, and that was said."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UseTold(OfGround):
    KIND = "use_told"
    name: str
    first: date
    last: date
    weekdays: tuple[int, ...] = ()
    """Monday is 0; empty: every day."""
    place: str = ""
    """Empty: the whole property."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BloomTold(OfGround):
    KIND = "bloom_told"
    of: str
    """Id of a tree or a place."""
    first: date
    last: date


@dataclass(frozen=True, slots=True, kw_only=True)
class SqueezeTold(OfGround):
    """A handful of soil, squeezed on a day without a visit."""

    KIND = "squeeze_told"
    place: str
    day: date
    state: SoilState


GROUND_EVENTS: tuple[type[OfGround], ...] = (LocateTold, PermitTold, UseTold, BloomTold, SqueezeTold)
