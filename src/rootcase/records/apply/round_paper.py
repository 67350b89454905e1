"""A crew's round as it is put on paper: the day, and all that stands on the page of each stop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from rootcase.records.apply.crew_day import CrewDay, DayMake
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.rounds import Crew, GivenRound, GivenStep, LeftOutJob, Truck
from rootcase.records.apply.windows import PlaceDay
from rootcase.records.field import FieldContact
from rootcase.records.observe import Practice, PropertyRecord, System


@dataclass(frozen=True, slots=True, kw_only=True)
class StopPaper:
    """One stop."""

    number: int
    """In driving order, from 1."""
    step: GivenStep
    jobs: tuple[Job, ...]
    """That wait; what is done is not among them."""
    record: PropertyRecord
    ahead: Mapping[str, PlaceDay]
    """How the day stands for each job, by its id."""
    licence_for: tuple[str, ...]
    """Ids of jobs that law has a licensed person do."""
    contacts: tuple[FieldContact, ...] = ()
    """Whom to greet and ring; without the code of the gate."""
    gate: str = ""
    """Its code; empty: none is on file, or who prints may not see it."""
    signed: str = ""
    """Who signed the plan, when, and its mark."""
    trials: tuple[tuple[str, ...], ...] = ()
    """Of each thing in doubt, who gets it and who does not."""
    make: DayMake | None = None
    """Of the extract that is put on here."""
    concerned: tuple[str, ...] = ()
    """Labels of trees that nobody works under, for something was seen that could fail."""
    parts: int = 1
    """Stops over which its jobs are parted, as no tank holds the whole; at each the same amount."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundPaper:
    """One crew's day."""

    practice: Practice
    system: System
    given: GivenRound
    day: CrewDay
    crew: Crew
    truck: Truck | None
    stops: tuple[StopPaper, ...]
    left_out: tuple[LeftOutJob, ...]
    """At the properties of the round."""
    left_out_elsewhere: int
    at: datetime
    """Of printing."""
    time_zone: str
    """Of the yard, whose clock the round goes by."""
