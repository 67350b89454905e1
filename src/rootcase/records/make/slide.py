"""What was counted under the microscope, and what it comes to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from rootcase.records.make.batch import Figure

Method = Literal["chamber", "fields", "smear", "crossings", "photos", "tubes", "sieve"]
Source = Literal["batch", "heap", "soil", "yardstick"]
"""Where the drop came from; `yardstick`: soil of a healthy tree of the same kind nearby."""
Scatter = Literal["exact", "clumped", "rings", "fields", "photo", "tubes", "none seen"]
"""What the interval was made of: chance alone, clumps, rings of a smear, fields measured, one photo, tubes."""
Bound = Literal["", "fewer", "more"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SlideRow:
    """Fields alike, a ring of a smear, a dilution of tubes, or a feeding group."""

    label: str = ""
    counts: tuple[int, ...]
    """One a field; of tubes those positive."""
    figures: tuple[Figure, ...] = ()

    def figure(self, name: str) -> float | None:
        """The figure of this name, None where it was not told."""
        return named(self.figures, name)


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoLength:
    """The hyphae on one photo, as measured and as mended by hand."""

    id: str
    photo: str
    """Mark of the kept picture."""
    um_per_px: float
    area_mm2: float
    length_mm: float
    low_mm: float
    high_mm: float
    mended_mm: float | None = None
    """After a person deleted lines and drew others; it has no interval."""
    deleted_um: str = ""
    """Middles of the lines that are no hyphae: "x y; x y" in micrometers of the upright photo, however they are found
    anew."""
    drawn: str = ""
    """Lines drawn by hand: "x y, x y; x y, x y" in pixels of the upright photo."""
    by: str
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Slide:
    """One count by one method, as it stands."""

    id: str
    method: Method
    source: Source
    source_id: str
    """Of a batch its number, of a heap its id, of soil what it is called."""
    source_name: str = ""
    """What its heap is called now; empty where `source_id` says it."""
    counted: str
    """What was counted, such as bacteria."""
    day: date
    by: str
    rows: tuple[SlideRow, ...]
    figures: tuple[Figure, ...] = ()
    """Geometry, dilution, grams; each name with its unit."""
    constant: str = ""
    """Of biomass, as the table names it; empty: no biomass was asked for."""
    repeat_of: str = ""
    """Id of the slide that was counted here a second time, without sight of the first."""
    photos: tuple[PhotoLength, ...] = ()
    corrected: bool = False

    @property
    def source_called(self) -> str:
        """What its source is called now."""
        return self.source_name or self.source_id

    def figure(self, name: str) -> float | None:
        """The figure of this name, None where it was not told."""
        return named(self.figures, name)


def named(figures: Iterable[Figure], name: str) -> float | None:
    """The value of the figure of a name, None where there is none."""
    return next((each.value for each in figures if each.name == name), None)


@dataclass(frozen=True, slots=True)
class Span:
    """A value between its ends, at 95 %."""

    value: float
    """In `unit`, as its ends."""
    low: float
    """In `unit`."""
    high: float
    """Infinite where so few fields bound nothing."""
    unit: str


@dataclass(frozen=True, slots=True)
class Weighed:
    """What the counted would weigh by one source's constant."""

    constant: str
    of: Literal["dry", "carbon"]
    mass: Span


@dataclass(frozen=True, slots=True)
class GroupShare:
    """A feeding group's part of the nematodes counted."""

    group: str
    counted: int
    share: float
    """Fraction, 0 to 1, as its ends."""
    low: float
    """Fraction, 0 to 1."""
    high: float
    """Fraction, 0 to 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlideCount:
    """What a slide comes to."""

    slide_id: str
    method: Method
    fields: int
    counted: int
    """In all fields; of tubes those positive, of photos 0."""
    scatter: Scatter
    per_field: Span | None
    numbers: tuple[Span, ...]
    weighed: tuple[Weighed, ...] = ()
    groups: tuple[GroupShare, ...] = ()
    p_clumped: float | None = None
    """Chance of at least this scatter where all lie at random."""
    still_needed: int | None = None
    """Fields; None where that cannot be said yet."""
    aimed_at: float
    """Half width of the interval over the mean."""
    plain_mean: float | None = None
    """Of a smear in rings: what the fields without their rings would give."""
    bound: Bound = ""
    """Of tubes: none positive, or all."""
    rarity: float | None = None
    """Of tubes: likelihood of this outcome over that of the likeliest one at the same number."""
    mended: bool = False
    """A person deleted or drew lines of hyphae."""
    not_shown: str


@dataclass(frozen=True, slots=True)
class BesideYardstick:
    """A slide of yardstick soil, and why it may not be set beside; nothing: it may."""

    slide_id: str
    why_not: tuple[Literal["method", "operator", "constant", "counted", "week"], ...]


@dataclass(frozen=True, slots=True)
class ObserverError:
    """What blind repeats say of one observer's counting by one method."""

    pairs: int
    sd: float
    """Of one count, in what is counted in a field."""
    cv_pct: float
    bias: float
    """Of the first count less the second, in what is counted in a field."""
    bias_low: float
    """As `bias`, at 95 %."""
    bias_high: float
    """As `bias`, at 95 %."""
