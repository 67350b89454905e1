"""One make of extract, from the clean vat to the verdict, and the loads that were filled from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from rootcase.tables.load import table

Step = Literal["vat", "water", "chlorine", "neutraliser", "compost", "additive", "start", "oxygen", "end", "slide",
               "smell", "lab", "gallons"]
"""In the order of the work."""
REPEATED: tuple[Step, ...] = ("oxygen", "slide", "lab", "gallons")
"""May be told again and again; of the others the newest word takes the place of the one before."""
AFTERWARDS: tuple[Step, ...] = ("oxygen", "slide", "lab", "gallons")
"""May still be told of a batch that was judged; nothing of them changes the verdict to fit."""
TAKEN_BACK: tuple[Step, ...] = REPEATED
"""May be taken back with a reason; any other step is told anew."""
MOST_LOAD_L = 1e5
"""No tank holds more."""
BatchVerdict = Literal["fit", "refused"]
LOWEST_FLOOR_MG_L = float(table("tank/oxygen_floors").row(rule="lowest")["floor_mg_l"])
"""A floor below it would be a way round the verdict."""
FLOOR_MG_L, HOLDING_H, HEIGHT_M = (LOWEST_FLOOR_MG_L, 20.0), (0.1, 24.0), (-400.0, 6000.0)
"""Between what a practice may set its floor of oxygen, its limit of age and the height of its yard; JUDGEMENT but for
the lowest floor."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of a step."""

    name: str
    """With its unit, such as total_chlorine_mg_l."""
    value: float
    """In the unit that its name ends with."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldStep:
    """What was told of one step, as it stands."""

    id: str
    step: Step
    at: datetime
    by: str
    figures: tuple[Figure, ...] = ()
    words: Mapping[str, str]
    """By name, such as origin: mains."""

    def figure(self, name: str) -> float | None:
        """The figure of this name, None where it was not told."""
        return next((each.value for each in self.figures if each.name == name), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class StepTakenBack:
    """A step that was told by mistake, with the reason; it stays on record and counts no longer."""

    told: ToldStep
    reason: str
    at: datetime
    by: str
    since: tuple[ToldStep, ...] = ()
    """What was told of the same step behind it, and stands, in that order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One tank that was filled from a batch."""

    id: str
    batch_id: str
    at: datetime
    volume_l: float
    by: str
    oxygen_mg_l: float | None = None
    air_gap_m: float | None = None
    tank: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """Whether a batch may be loaded, as it was judged once and for all."""

    verdict: BatchVerdict
    at: datetime
    by: str
    why: tuple[str, ...] = ()
    """Of a refused one: what was wrong and what would have been right, a line each; the first decides."""
    ended_at: datetime | None = None
    """End of extraction, from which every load's age runs."""
    good_until: datetime | None = None
    """Of a fit one: no load after it."""
    own_limit_h: float | None = None
    """The practice's own limit by measured oxygen; None: the hour of the rule."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """Somebody who had of a batch that was called back was told."""

    property_id: str
    at: datetime
    by: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchRules:
    """What the practice set itself for its batches."""

    oxygen_floor_mg_l: float
    holding_h: float | None = None
    """Its own limit of age; longer than the rule's hour only where measured oxygen bears it. None: the rule's."""
    elevation_m: float = 0.0
    """Of the yard, by which water holds less oxygen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapUse:
    """What a batch asks of its heap."""

    name: str
    may_be_used: bool
    """The heat rule is met, nobody holds it, its limits are kept and no beans were twisted."""
    why_not: tuple[str, ...]
    """Of one that may not, a line each."""
    time_zone: str
    """In which the batch's times are said, by its name in the time zone database."""
    held: str = ""
    """Why it is held; empty: nobody holds it."""
    invented: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class AdditiveTest:
    """A laboratory's counts of a batch that had an additive. [CFU per 100 mL]"""

    batch_id: str
    heap_id: str
    additive: str
    vat: str
    at: datetime
    e_coli: float | None = None
    """[CFU per 100 mL]"""
    enterococci: float | None = None
    """[CFU per 100 mL]"""
    from_below: tuple[str, ...] = ()
    """Organisms whose count is only known to lie above its figure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TankEvenness:
    """The first and the last gallon out of a tank."""

    told_id: str
    tank: str
    measured: Literal["count", "solids"]
    first: float
    """Cells in a mL, or solids in mg/L; of one unit with the last."""
    last: float
    """As `first`."""
    stays_mixed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchSums:
    """What follows from the steps as they stand; None where too little is told."""

    neutraliser_needed_g: float | None = None
    """By the advice that was chosen."""
    compost_per_water_kg_l: float | None = None
    saturation_mg_l: float | None = None
    """What water holds at the newest reading's temperature and the yard's height."""
    share_of_saturation_pct: float | None = None
    uptake_mg_l_h: tuple[float, float, float] | None = None
    """Rate and the ends of its 95 % interval, from readings with the air off."""
    hours_to_floor: float | None = None
    """By the upper end of the uptake, from the newest reading with the air off; infinite where none was used."""
    beyond_made_l: float | None = None
    """How much more was loaded than the batch made."""
    tanks: tuple[TankEvenness, ...] = ()
    """In the order told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchFinding:
    """What a batch would be judged at a moment."""

    verdict: BatchVerdict
    why: tuple[str, ...]
    """Of a refused one, a line each; the first decides."""
    read_again: tuple[str, ...]
    """What cannot be, such as oxygen above what water holds; while the newest is such, nothing is judged."""
    ended_at: datetime | None
    good_until: datetime | None
    own_limit_h: float | None
    limit_note: str
    """Whose limit of age it is, and on what it rests."""
    sums: BatchSums
    cautions: tuple[str, ...] = ()
    """What is to be used with care and refuses nothing."""


_WITH_COMPOST: tuple[Step, ...] = ("compost", "start")


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """A batch as it stands."""

    id: str
    number: int
    """Never given twice, and never anew to a batch made again."""
    heap_id: str
    started_at: datetime
    by: str
    steps: tuple[ToldStep, ...]
    """In the order they were told."""
    judgement: Judgement | None
    loads: tuple[Load, ...]
    ended_as: Literal["", "compost_water", "poured_out"] = ""
    """What became of a refused one, or of what was left of another."""
    ended_where: str = ""
    refused_since: str = ""
    """Why a fit one was called back afterwards; empty: it was not."""
    rung: tuple[Ring, ...] = ()
    """Who was told of it, first call first."""
    every_step: tuple[ToldStep, ...] = ()
    """All that was ever told of its steps, in that order; what a newer word took the place of is in it too."""
    taken_back: tuple[StepTakenBack, ...] = ()
    """What was taken back with a reason, in that order; it is in neither of the two above."""

    def newest(self, step: Step) -> ToldStep | None:
        """What was told last of a step."""
        return next((each for each in reversed(self.steps) if each.step == step), None)

    def told(self, step: Step) -> tuple[ToldStep, ...]:
        """All that stands of a step."""
        return tuple(each for each in self.steps if each.step == step)

    def ever(self, step: Step) -> tuple[ToldStep, ...]:
        """All that was ever told of a step, in that order."""
        return tuple(each for each in self.every_step or self.steps if each.step == step)

    @property
    def begun_at(self) -> datetime | None:
        """The earliest start of extraction that was ever told: what was read since is of the liquid."""
        return min((each.at for each in self.ever("start")), default=None)

    @property
    def soaked_at(self) -> datetime | None:
        """When compost came into the water, by the earliest word of it or of the start that was ever told."""
        return min((each.at for step in _WITH_COMPOST for each in self.ever(step)), default=None)

    @property
    def may_be_loaded(self) -> bool:
        """Whether it was judged fit and not called back; its age is another matter."""
        return self.judgement is not None and self.judgement.verdict == "fit" and not self.refused_since
