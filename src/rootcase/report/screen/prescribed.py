"""The stage Prescribe of a case page: every choice at a tree as a row, its gain drawn on one scale."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor

from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.estimate import Estimate
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import Dose, RemedyOutcome
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.figures import signed
from rootcase.report.text.plan import Choice, choices

_TICKS = (5, 10, 20, 50, 100, 200, 500)
_MOST_TICKS = 6


@dataclass(frozen=True, slots=True)
class Scale:
    """Points of gain along the width of a column."""

    low: int
    high: int
    step: int

    def at(self, points: float) -> float:
        """Where a gain stands, 0 to 1."""
        return (points - self.low) / (self.high - self.low)

    @property
    def ticks(self) -> list[tuple[float, str]]:
        """Places and words of round gains."""
        return [(self.at(points), signed(points)) for points in range(self.low, self.high + 1, self.step)]


@dataclass(frozen=True, slots=True)
class Row:
    """A choice with what it gains and takes."""

    choice: Choice
    gain: Estimate | None
    """None where leaving it alone is the base of every gain."""
    lawn: str
    """Turf that goes for it."""


@dataclass(frozen=True, slots=True)
class Rows:
    shown: list[Row]
    more: list[Row]
    others: tuple[str, ...]
    """What is of no use or not to be had here, by why."""
    scale: Scale


def remedy_rows(case: TreeCase, record: PropertyRecord) -> Rows:
    """Return the choices of a tree, leaving it alone first, and the scale that all their gains stand on."""
    every = choices(case, record)
    outcomes = {each.remedy: each for each in case.prescription.remedies} if case.prescription else {}

    def rows(chosen: Iterable[Choice]) -> list[Row]:
        return [Row(choice, None if choice.remedy == "nothing" else outcomes[choice.remedy].gain_points,
                    _lawn(outcomes[choice.remedy], record)) for choice in chosen]

    shown, more = rows(every.shown), rows(every.more)
    return Rows(shown, more, every.others, _scale([row.gain for row in (*shown, *more) if row.gain]))


def _scale(gains: list[Estimate]) -> Scale:
    """From the lowest end of all intervals to the highest, zero among them, to round points."""
    low, high = min([0.0, *(gain.low for gain in gains)]), max([5.0, *(gain.high for gain in gains)])
    step = next((each for each in _TICKS if (high - low) / each <= _MOST_TICKS), _TICKS[-1])
    return Scale(step * floor(low / step), step * ceil(high / step), step)


def _lawn(outcome: RemedyOutcome, record: PropertyRecord) -> str:
    """What turf it takes: of several steps the most, as they work the same ground."""
    doses: list[Dose | None] = [step.dose for step in outcome.steps] or [outcome.dose]
    turf = max((dose.turf_m2 or 0.0 for dose in doses if dose), default=0.0)
    return show(turf, "m2", record.property.system) if turf else say("case.no_lawn")
