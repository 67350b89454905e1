"""A crew's round as it is drawn: stops, what is in the tank, and how old each make of extract gets."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

StopWork = Literal["extract", "chips", "water", "other"]
"""What is put on, as pictures tell it apart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayStop:
    """One stop, by minutes after midnight of the yard's clock as all here."""

    number: int
    """In driving order, from 1."""
    property_id: str
    job_ids: tuple[str, ...]
    works: tuple[StopWork, ...]
    """Each once; empty: its work is done."""
    batch_id: str
    """Of the extract that is put on here; empty: none is."""
    starts_min: float
    """After midnight."""
    ends_min: float
    """After midnight."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLoad:
    """One tank of a make of extract."""

    filled_min: float
    """After midnight, when it is full; of a tank that is on its way the start of its first stop."""
    last_use_min: float
    """After midnight."""
    litres: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DayMake:
    """One make of extract: a batch that is made, or planned."""

    batch_id: str
    number: int
    """Of a batch that is made; 0: it is planned."""
    refused: bool
    """It was made and refused, or is late or gone: nothing of it is there."""
    loads: tuple[DayLoad, ...]
    starts_min: float | None = None
    """Start of extraction, after midnight; None: nobody told."""
    ends_min: float | None = None
    """End of extraction, after midnight, from which its age runs; None of a refused one."""
    use_by_min: float | None = None
    """After midnight; None of a refused one."""

    @property
    def last_use_min(self) -> float:
        return max(load.last_use_min for load in self.loads)

    @property
    def in_hand_min(self) -> float | None:
        """From its last use until it is too old; below 0: it is too old before."""
        return None if self.use_by_min is None else self.use_by_min - self.last_use_min


@dataclass(frozen=True, slots=True, kw_only=True)
class CrewDay:
    """One crew on one day."""

    day: date
    crew_id: str
    tank_l: float
    stops: tuple[DayStop, ...]
    makes: tuple[DayMake, ...]
    """In the order of their first loads."""
    tank: tuple[tuple[float, float], ...]
    """Minutes after midnight and litres aboard, from corner to corner."""
    rests: tuple[tuple[float, float], ...]
    """Begin and end of each, in minutes after midnight."""
    drives: tuple[tuple[float, float], ...]
    """Time between two things of the round, in minutes after midnight."""
