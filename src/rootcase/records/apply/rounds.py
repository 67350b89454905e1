"""Trucks, crews, where tanks are filled, and the rounds that were given out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
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
    leaves: str = "07:00"
    """By the yard's clock."""
    back_by: str = "15:30"
    rest_minutes: float = 30.0
    """0: none."""
    rest_from: str = "11:00"
    rest_to: str = "13:00"
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Fleet:
    """What there is to drive with."""

    trucks: tuple[Truck, ...] = ()
    crews: tuple[Crew, ...] = ()
    fill_points: tuple[FillPoint, ...] = ()
    road_factor: float = 1.3
    """Road by straight line. [JUDGEMENT, table apply/travel]"""
    speed_km_h: float = 40.0


StepKind = Literal["fill", "stop", "rest"]


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenStep:
    """One thing of a round, with its time."""

    kind: StepKind
    starts: datetime
    ends: datetime
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
    """Key of the words under route.why, or of a gate that closes its days."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """What an order arranged by hand breaks."""

    why: str
    crew_id: str
    job_ids: tuple[str, ...]
    is_: float
    allowed: float


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
