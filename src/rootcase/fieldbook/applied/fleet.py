"""The kinds of events of trucks, crews, fill points, planned batches and rounds; they belong to the practice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.body import Body
from rootcase.records.apply.rounds import GivenStep


@dataclass(frozen=True, slots=True, kw_only=True)
class TruckTold(Body):
    """A truck with its tank; the newest word of its slot holds, as of all that is told here."""

    KIND = "truck_told"
    truck: str
    name: str
    tank_l: float
    by: str
    """A code, never a name."""
    payload_kg: float | None = None
    gone: bool = False
    """There is none any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewTold(Body):
    KIND = "crew_told"
    crew: str
    name: str
    truck: str
    people: tuple[str, ...]
    """Codes."""
    by: str
    leaves_min: float
    """After midnight by the yard's clock, as the following."""
    back_by_min: float
    rest_min: float
    rest_from_min: float
    rest_to_min: float
    works_days: tuple[int, ...]
    """Monday is 0."""
    licensed: bool = False
    gone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class FillPointTold(Body):
    KIND = "fill_point_told"
    fill_point: str
    name: str
    latitude_deg: float
    longitude_deg: float
    fill_min: float
    by: str
    is_yard: bool = False
    time_zone: str = ""
    gone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TravelTold(Body):
    """How long drives take; what is empty is as the table has it."""

    KIND = "travel_told"
    by: str
    road_pct: float | None = None
    """Of a drive, by the straight line."""
    speed_km_h: float | None = None
    places: tuple[str, ...] = ()
    drives_min: tuple[tuple[float, ...], ...] = ()
    """From each place to each, in their order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchPlanned(Body):
    KIND = "batch_planned"
    batch: str
    day: date
    ready_min: float
    """End of extraction, after midnight by the yard's clock."""
    use_by_min: float
    volume_l: float
    fill_point: str
    by: str
    gone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundGiven(Body):
    """A round was given to its crew, or arranged by hand; the newest word for a crew's day holds."""

    KIND = "round_given"
    round: str
    day: date
    crew: str
    at: str
    """UTC, such as 2015-11-05T09:30:00.000Z."""
    by: str
    steps: tuple[GivenStep, ...] = ()
    given: bool = True
    """False: it was arranged and is not given yet."""
    moved_by_hand: bool = False
    gone: bool = False
    """It is planned anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarTaken(Body):
    """Fit days that a calendar file told, so that a later one calls off what is gone; the newest word holds."""

    KIND = "calendar_taken"
    by: str
    """A code."""
    number: int
    """Higher with each file that said something else."""
    days: tuple[tuple[str, date], ...]
    """Mark and day of each that lay ahead."""
    off: tuple[str, ...] = ()
    """Marks of those among them that were called off."""


FLEET_EVENTS: tuple[type[Body], ...] = (TruckTold, CrewTold, FillPointTold, TravelTold, BatchPlanned, RoundGiven,
                                        CalendarTaken)
