"""A heap of compost: what went in, what its probes read, and what was seen of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

Shape = Literal["static", "windrow"]
"""`static`: in a vessel or aerated and not turned; `windrow`: turned."""
HeapVerdict = Literal["met", "not met", "not shown"]
Degrees = Literal["degC", "degF"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapPart:
    """A material that went in."""

    material: str
    mass_kg: float
    moisture_pct: float
    """Of the wet weight."""
    carbon_pct: float
    """Of the dry matter, as nitrogen."""
    nitrogen_pct: float
    feedstock: str = ""
    """Row of the library; empty: the practice's own figures."""
    source: str = ""
    """Who printed or measured the figures."""
    bought_from: str = ""
    lot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatReading:
    """One probe, read once by hand."""

    id: str
    at: datetime
    probe: int
    temperature_c: float
    by: str
    typed: str = ""
    """As it was typed, with its unit."""
    air_c: float | None = None
    corrected: bool = False
    """It took the place of another one, which stays on record."""
    rivals: int = 0
    """Further sayings of the same reading that nobody has superseded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedHeat:
    """All that a logger's file tells of one probe."""

    id: str
    probe: int
    file: str
    mark: str
    """SHA-256 of the file."""
    by: str
    start: datetime
    after_s: tuple[int, ...]
    """Seconds from the start to each reading."""
    temperature_c: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    id: str
    at: datetime
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProbeCheck:
    """Probes that were held into ice water and read right."""

    id: str
    at: datetime
    probes: tuple[int, ...]
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapFigure:
    """What was measured of a heap or its compost, as its laboratory or method tells it."""

    id: str
    quantity: str
    value: float | None
    """In `unit`; None where none was detected."""
    unit: str
    method: str
    lab: str
    day: date
    by: str
    told_id: str = ""
    """By which freeing the heap names it; of one that was corrected another."""
    corrected: bool = False
    from_below: bool = False
    """Only known to lie above the value, as ">1,600"."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BeansRead:
    """Beans in the compost beside beans in potting mix; the heights run pot by pot, 0 where none came up."""

    id: str
    day: date
    seeds_a_pot: int
    height_mm: tuple[float, ...]
    control_mm: tuple[float, ...]
    twisted: int
    control_twisted: int
    by: str
    told_id: str = ""
    """As of a figure."""
    corrected: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """A heap was held or freed, with the reason."""

    held: bool
    reason: str
    at: datetime
    by: str
    lifts: tuple[str, ...] = ()
    """Of one that freed: what it names."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenBack:
    """What was told by mistake; it stays on record with the reason."""

    what: str
    reason: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Heap:
    """A heap as it stands; all that was told of it oldest first."""

    id: str
    name: str
    shape: Shape
    rule: str
    """Of the heat rules, such as "nop"."""
    complete_at: datetime
    """When the last material went on: readings before it tell nothing of the rule."""
    time_zone: str
    """In which its readings are typed and shown, such as "America/New_York"."""
    by: str
    parts: tuple[HeapPart, ...] = ()
    every_part_heated: bool = False
    """Somebody wrote that it was mixed or managed so that all of it came to the heat."""
    invented: bool = False
    readings: tuple[HeatReading, ...] = ()
    logged: tuple[LoggedHeat, ...] = ()
    turns: tuple[Turn, ...] = ()
    checks: tuple[ProbeCheck, ...] = ()
    figures: tuple[HeapFigure, ...] = ()
    beans: tuple[BeansRead, ...] = ()
    holdings: tuple[Holding, ...] = ()
    taken_back: tuple[TakenBack, ...] = ()

    @property
    def held(self) -> Holding | None:
        """The holding that stands; None where it was freed since, or never held."""
        last = self.holdings[-1] if self.holdings else None
        return last if last is not None and last.held else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Time between readings of a heap's probes, and what it counts for."""

    start: datetime
    end: datetime
    state: Literal["hot", "outside", "not known"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatDoubt:
    """Readings of one probe that do not count."""

    probe: int
    start: datetime
    end: datetime
    why: Literal["stuck", "pulled", "unchecked"]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatSlip:
    """A reading whose number was probably of the other degrees; it counts as it was told."""

    reading_id: str
    other: Degrees
    last_c: float
    """What its probe read before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitJudged:
    """A figure beside a limit of its own unit, or beside what is usual by its own method."""

    figure: HeapFigure
    list: str
    low: float | None
    """In `unit`."""
    high: float | None
    """In `unit`; of a limit of law the high end alone, of "none" what a laboratory can see."""
    unit: str
    """Of the limit or range."""
    kept: bool | None
    """None where figure and limit have different units or methods, and are not held against each other."""
    binding: bool
    """A limit of law, which holds the compost back; what is usual does not."""
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassJudged:
    """A figure in the classes of one list of stability or of harm to plants."""

    figure: HeapFigure
    list: str
    class_: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BeansJudged:
    """What one test with beans says."""

    read: BeansRead
    verdict: Literal["sound", "slow", "weedkiller_likely", "not_shown"]
    freed: bool
    """The heap was freed of it, with a reason."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapJudged:
    """What a heap shows, and whether it may be used."""

    heap_id: str
    verdict: HeapVerdict
    total_days: float
    unbroken_days: float
    most_total_days: float
    """If all that is not known had been hot."""
    most_unbroken_days: float
    needed_days: float
    unbroken: bool
    """Whether the rule asks for days without a break."""
    turns: int
    needed_turns: int
    lowest_c: float
    highest_c: float | None
    """None where the rule has no upper limit."""
    deciding_from: datetime | None
    deciding_to: datetime | None
    deciding_why: str
    """A word of science.compost.heat, or `carbon_nitrogen`."""
    stretches: tuple[Stretch, ...]
    doubts: tuple[HeatDoubt, ...]
    slips: tuple[HeatSlip, ...]
    unlikely: tuple[str, ...]
    """Ids of readings by hand that a heap hardly gives; they count as they were told."""
    turned_at: tuple[datetime, ...]
    """Turns told within a few minutes of one another are one."""
    reheat_hours: tuple[float | None, ...]
    """From each turn until it was hot again, in order of time; None where it was not."""
    carbon_nitrogen: tuple[float, float, float] | None
    """Of the fresh mix, low, middle, high; None where nobody told."""
    carbon_nitrogen_asked: tuple[float, float] | None
    lethality: float | None
    """How many times over the heat would have done by the yardstick for sludge; None above 100 degC."""
    beans: Literal["sound", "slow", "weedkiller_likely", "not_shown"] | None
    bean_tests: tuple[BeansJudged, ...]
    """Each by itself, oldest first."""
    limits: tuple[LimitJudged, ...]
    classes: tuple[ClassJudged, ...]
    may_be_used: bool
    why_not: tuple[str, ...]
    """Of one that may not, a line each: what is wrong and what would be right."""
    rule_source: str
