"""What the people of a ground are told of one day's work: before it, and after."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.records.apply.done import Application
from rootcase.records.apply.jobs import Job
from rootcase.records.observe import Practice, PropertyRecord, Rule, System


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """Of one property and day."""

    practice: Practice
    record: PropertyRecord
    system: System
    day: date
    jobs: tuple[Job, ...]
    """That rounds of the day lead to, and that are not done; of rounds that were given, where one of them does."""
    done: tuple[Application, ...]
    """What was put on that day."""
    rules: tuple[Rule, ...] = ()
    """Laws that ask for a notice beforehand or a sign on the ground, for this work."""
    starts_min: float | None = None
    """Of the first stop, after midnight by the yard's clock; None: no round leads there."""
    ends_min: float | None = None
    """Of the last stop, after midnight."""
    proposed: bool = False
    """Nobody gave the rounds that lead there to a crew."""
    recalled: tuple[str, ...] = ()
    """Of each batch that was called back after its extract was put on there that day, what is known, as at a call."""
