"""Trucks, crews, where tanks are filled, and the rounds that were given out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from rootcase.records.apply.jobs import Job


@dataclass(frozen=True, slots=True, kw_only=True)
class Truck:
    """With one tank."""

    id: str
    name: str
    tank_l: float
    payload_kg: float | None = None
    """By the door label, with people and tools aboard."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Crew:
    """People who drive one truck; codes, never names."""

    id: str
    name: str
    """What the practice calls it, such as crew 1."""
    truck_id: str
    people: tuple[str, ...]
    """Codes."""
    leaves_min: float = 420.0
    """After midnight by the yard's clock."""
    back_by_min: float = 930.0
    """After midnight."""
    rest_minutes: float = 30.0
    """0: none."""
    rest_from_min: float = 660.0
    """Earliest start, after midnight."""
    rest_to_min: float = 780.0
    """Latest start, after midnight."""
    licensed: bool = False
    """Somebody in it may put on what asks for a licence."""
    works_days: tuple[int, ...] = (0, 1, 2, 3, 4)
    """Monday is 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FillPoint:
    """Where a tank is filled with water, or the yard."""

    id: str
    name: str
    latitude_deg: float
    longitude_deg: float
    fill_minutes: float
    is_yard: bool = False
    """Where crews begin and end, and where batches are."""
    time_zone: str = ""
    """Of the yard, by its name in the time zone database: minutes after midnight are by its clock."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Travel:
    """How long drives take, as the practice told it."""

    road_factor: float | None = None
    """Of a drive, by the straight line; None: as the table has it."""
    speed_km_h: float | None = None
    """None: as the table has it."""
    places: tuple[str, ...] = ()
    """Names of properties and fill points whose drives were measured."""
    minutes: tuple[tuple[float, ...], ...] = ()
    """From each of them to each, in their order. [min]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fleet:
    """What there is to drive with."""

    trucks: tuple[Truck, ...] = ()
    crews: tuple[Crew, ...] = ()
    fill_points: tuple[FillPoint, ...] = ()
    travel: Travel = Travel()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedBatch:
    """Extract there will be, or is."""

    id: str
    """Of a batch that was made; else of the plan alone."""
    day: date
    ready_min: float
    """End of extraction; each load's age runs from then."""
    use_by_min: float
    """Its age is over, after midnight."""
    litres: float
    fill_point_id: str
    """The yard where it is made."""
    made: bool = False
    loaded_l: float = 0.0
    """In loads of it already; litres are without it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Whereabouts:
    """Where a crew is when the rest of its day is planned anew."""

    crew_id: str
    at_min: float
    """After midnight."""
    property_id: str = ""
    """Or of a fill point; empty: in the yard."""
    latitude_deg: float | None = None
    """Of the property."""
    longitude_deg: float | None = None
    product: str = ""
    """Aboard; empty: nothing."""
    litres: float = 0.0
    batch: PlannedBatch | None = None
    """Of extract aboard."""
    rested: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """A job that may be put into a round."""

    job: Job
    days: frozenset[date]
    """On which it may be done."""
    latitude_deg: float
    longitude_deg: float
    licence: bool = False
    """Only by a crew in which somebody is licensed."""


StepKind = Literal["fill", "stop", "rest"]


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenStep:
    """One thing of a round, with its time."""

    kind: StepKind
    starts_min: float
    """After midnight by the yard's clock."""
    ends_min: float
    """After midnight by the yard's clock, as all minutes here."""
    property_id: str = ""
    job_ids: tuple[str, ...] = ()
    """Of a stop: all that is done there."""
    fill_point_id: str = ""
    batch_id: str = ""
    """What a fill takes of; empty: water."""
    litres: float = 0.0
    """Into the tank at a fill; out of it at a stop."""
    load_age_minutes: float | None = None
    """Of extract at a stop: from the end of extraction to the end of its work."""
    part: int = 0
    """Of a job that is put on in parts: which this one is, those that are logged counted; 0: all of it is done here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenRound:
    """The round of one crew on one day, as it stands."""

    id: str
    day: date
    crew_id: str
    steps: tuple[GivenStep, ...]
    given_by: str = ""
    """Empty: it is proposed, not given."""
    moved_by_hand: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftOutJob:
    job: Job
    why: str
    """Key of the words under route.why, `by_hand` where a person left it out, or of a gate that closes its days."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """What an order arranged by hand breaks."""

    why: str
    """`closed`: the day is not among the job's; `licence`, `no_crew`, `no_source`, `age`, `empty`, `late`, `home`,
    `rest`, `batch`, `batch_gone`."""
    day: date
    crew_id: str
    job_ids: tuple[str, ...]
    is_: float
    """Minutes or litres, as `why` has it."""
    allowed: float
    """In the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """Which jobs on which day for which crew."""

    days: tuple[date, ...]
    rounds: tuple[GivenRound, ...]
    left_out: tuple[LeftOutJob, ...]
    drive_minutes: float
    proven_days: tuple[date, ...] = ()
    """Days whose rounds no other plan beats."""
    broken: tuple[Broken, ...] = ()
