"""Whether a place may be worked on a day, and why not."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

DayState = Literal["fit", "not_fit", "not_known"]
Gate = Literal["season", "soil_temperature", "frozen", "saturated", "too_dry", "rain_to_come", "frost",
               "wind", "heat", "bloom", "use", "law", "locate", "permit"]
"""In the order in which they are told; a later one may hold as well."""
UNTOLD: tuple[Gate, ...] = ("locate", "permit")
"""Gates that somebody has to tell of: where they are not known they stop work."""
Basis = Literal["read", "observed", "computed", "forecast", "told", "usual", "none"]
"""How the figure is known; `usual`: what this time of year usually brings; `none`: nothing is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One gate on one day."""

    gate: Gate
    state: DayState
    basis: Basis
    figure: float | None = None
    """In `unit`, as the following."""
    low: float | None = None
    """Nine in ten lie between it"""
    high: float | None = None
    """and this."""
    unit: str = ""
    limit: float | None = None
    """At which the gate closes, in `unit`."""
    says: str = ""
    """What was told: name of the use, number of the locate, the law's place."""
    until: date | None = None
    """Last day it holds, where that is known."""
    decides: bool = False
    """It closes the day, or has to be known and is not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceDay:
    """One day of one job, or of jobs that ask the same."""

    day: date
    state: DayState
    """`not_fit` where a gate is; else `not_known` where a gate that has to be known is not; else `fit`."""
    findings: tuple[Finding, ...]
    """All gates this remedy has, those that close the day first."""
    chance: float | None
    """That the day is as it is told, 0 to 1, falling with its distance; None for what is not known."""

    @property
    def bars(self) -> tuple[Finding, ...]:
        """What stops the work: gates that are closed, and what has to be told and is not."""
        return tuple(each for each in self.findings
                     if each.state == "not_fit" or (each.state == "not_known" and each.gate in UNTOLD))

    @property
    def locate(self) -> Finding | None:
        """What is told of buried lines; None where the ground is not opened."""
        return next((each for each in self.findings if each.gate == "locate"), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Windows:
    """The days ahead of one remedy at one place."""

    property_id: str
    place_id: str
    remedy: str
    job_ids: tuple[str, ...]
    days: tuple[PlaceDay, ...]
    """In order, from today."""
    forecast_issued: str = ""
    """As the service said it; empty: there is none."""
