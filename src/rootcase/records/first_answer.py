"""The first answer: what five readings say of a tree, and the sheet it is looked up in where there is no signal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt

from rootcase.records.explain import Limit

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Push:
    """One push of the rod."""

    depth_mm: float
    stop: str
    """Code of what stopped it; empty where nobody said."""


@dataclass(frozen=True, slots=True)
class FirstReadings:
    """The five readings of the first look; what was left is empty."""

    species: str = ""
    shoots_mm: tuple[float, ...] = ()
    probes: tuple[Push, ...] = ()
    ground: str = ""
    """Code of what covers the ground under the crown."""
    flare: str = ""
    """Code of what was seen of the root flare."""
    position: str = ""
    """Code of where in the crown the shoots grew."""


@dataclass(frozen=True, slots=True)
class Kind:
    """What a sheet must know of a species or genus."""

    name: str
    growth_class: str
    habit: int
    """Place on the axis of habits."""
    lime: int
    salt: int


@dataclass(frozen=True, slots=True)
class SheetAxes:
    """The nodes of a sheet. Depths and shares stand as natural logarithms, so that between nodes lines are straight."""

    habits: tuple[str, ...]
    grounds: tuple[str, ...]
    """The first, empty, stands where nobody looked."""
    tolerances: tuple[str, ...]
    depth_ln_mm: tuple[float, ...]
    push_variance: tuple[float, ...]
    """Of the logarithm of the depth that several pushes tell."""
    rod_ln_mm: tuple[float, ...]
    after_ln_mm: tuple[float, ...]
    """Depths at which chances stand; after the last comes the place for no push at all."""
    seen_ln: tuple[float, ...]
    seen_sd: tuple[float, ...]
    shoot_ln_mm: tuple[float, ...]
    shoots_reciprocal: tuple[float, ...]
    """One over the number of shoots, rising."""
    shoot_variance: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class FlareSeen:
    """What a look at the flare moves."""

    code: str
    towards_open: float
    """Where between a hidden and an open flare the chances stand: 0 to 1."""
    buried: float
    """Part of the chance of another cause that is a buried flare's."""


@dataclass(frozen=True, slots=True)
class TakeNext:
    """A reading that could be taken next."""

    kind: str
    times: int
    minutes: float
    """In the field, for all the times."""


@dataclass(frozen=True, slots=True)
class FirstSheet:
    """What the model says to every combination of the five readings, on a grid."""

    basis: str
    """A growth class, or the id of a yardstick."""
    texture: str
    """As felt; empty: nobody felt it."""
    place_kind: str
    station: str
    season: int
    """Whose shoots and weather."""
    made: date
    axes: SheetAxes
    kinds: tuple[Kind, ...]
    """Species, then genera; last, without a name, what stands for any other."""
    flares: tuple[FlareSeen, ...]
    """The first stands where nobody looked."""
    next_kinds: tuple[TakeNext, ...]
    positions: tuple[str, ...]
    """From where in the crown the yardstick's shoots are; empty where that is nothing to the comparison."""
    push_sd: float
    """Of one push, on the log scale."""
    push_floor: float
    """Least of several pushes, on the log scale."""
    push_not_told: float
    """Least where nobody said what stopped the rod."""
    beyond_rod: float
    """What the middle depth of soil that never stopped a rod is taken to be over the rod, as a logarithm."""
    observed: Floats
    """(2, shoot level, shoots, spread, 5) shoots from where the yardstick's are, and from elsewhere: ln of mean, low,
    high and median share less the ln of the shoots' mean, and its sd."""
    stopped: Floats
    """(habit, depth, variance, ground, 7, 3) predicted share and the six limits in points: mean, low, high."""
    rod: Floats
    """(habit, rod, ground, 7, 3)"""
    unpushed: Floats
    """(habit, ground, 7, 3)"""
    lime: Floats
    """(tolerance, ground, 2) on the nutrition of the middle tolerance: mean, high."""
    salt: Floats
    """(tolerance, ground, 2) on the salt of the least tolerant."""
    chances: Floats
    """(habit, seen, sd, depth, ground, flare, 7) of each limit to take most, and of a cause outside the soil."""
    left: Floats
    """(habit, seen, sd, depth, ground, 2) what is left over: from mean to low and to high, over both means' sum."""
    next: Floats
    """(depth, ground, 3) places in next_kinds, one more than there are for none."""


@dataclass(frozen=True, slots=True)
class FirstLimit:
    name: Limit
    mean: float
    """Points of the yardstick's growth; above zero it takes, below it gives."""
    low: float
    """In points, as the next: nine in ten lie between."""
    high: float
    """In points."""
    chance: float | None
    """That it takes more than any other; None where growth was not read."""


@dataclass(frozen=True, slots=True)
class LeftOver:
    """Predicted less observed."""

    mean: float
    """In points."""
    low: float
    """In points, as the next: nine in ten lie between."""
    high: float
    """In points."""


@dataclass(frozen=True, slots=True)
class FirstAnswer:
    share: float | None
    """Of the yardstick's growth; None where no shoot was read."""
    low: float | None
    """Fraction, as the next: nine in ten lie between."""
    high: float | None
    """Fraction."""
    limits: tuple[FirstLimit, ...]
    left: LeftOver | None
    chance_other_cause: float | None
    chance_other_largest: float | None
    """That a cause outside the soil takes more than any limit."""
    chance_buried_flare: float | None
    """That a buried flare takes growth."""
    next: tuple[TakeNext, ...]
    made: date


@dataclass(frozen=True, slots=True)
class PackedSheet:
    """A sheet as it is sent to a phone."""

    made: date
    sent: npt.NDArray[np.uint8]


@dataclass(frozen=True, slots=True)
class SheetTold:
    """A first-answer sheet that can be fetched by its name."""

    name: str
    """Another wherever something that decides the sheet is another."""
    bytes: int
    made: date
    station: str
    growth_class: str
    """Empty for a sheet of a yardstick."""
    texture: str
    """As felt; empty: nobody felt it."""
    property: str
    """Its id, for a sheet of a yardstick; else empty."""
    yardstick: str
    place: str


@dataclass(frozen=True, slots=True)
class SheetsTold:
    sheets: tuple[SheetTold, ...]
    missing: int
    """How many are yet to be made."""
