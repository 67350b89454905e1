"""Made up weather, one number a day, for the tests of the days ahead."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from math import nan

from rootcase.casework.apply.ahead import DayAhead, Felt, days_ahead, sky_of
from rootcase.casework.apply.windows import Site, windows_of
from rootcase.records.apply.jobs import Job, Pace
from rootcase.records.apply.told import GroundTold, Locate
from rootcase.records.apply.windows import PlaceDay
from rootcase.records.observe import Forecast, Rule, Weather
from rootcase.records.prescribe import Dose
from rootcase.science.water.workable import UpperSoil

TODAY = date(2016, 5, 2)  # a Monday
BEFORE = 60
SOIL = UpperSoil(total_mm=40.0, room_mm=30.0, drains_mm_day=10.0, coefficient=0.85, depletion_share=0.4)
FINE = {"lowest": 10.0, "highest": 20.0, "rain": 0.0, "reference": 0.0, "wind": 2.0}
"""Nothing falls and nothing dries: what is asked of a day is the one figure a test changes."""
LOCATED = GroundTold(locates=(Locate(id="l", number="412", first=TODAY, last=date(2016, 5, 20)),))


def weather(first: date, days: int, **changed: float | Sequence[float]) -> Weather:
    """Days in order; a figure that is given once is that of every day."""
    column = {name: tuple(float(each) for each in value) if isinstance(value, Sequence) else (float(value),) * days
              for name, value in (FINE | changed).items()}
    return Weather("made up", tuple(first + timedelta(n) for n in range(days)), column["lowest"], column["highest"],
                   column["rain"], column["reference"], column["wind"], "made up")


def ahead(days: int = 10, *, before: Mapping[str, float | Sequence[float]] | None = None, felt: Felt | None = None,
          shown: int | None = None, soil: UpperSoil = SOIL, no_forecast: bool = False,
          **changed: float | Sequence[float]) -> tuple[DayAhead, ...]:
    """Some days ahead; before: what is changed of the days observed; shown: days asked for; changed: forecast."""
    observed = weather(TODAY - timedelta(BEFORE), BEFORE, **(before or {}))
    forecast = None if no_forecast else Forecast(TODAY.isoformat(), weather(TODAY, days, **changed))
    sky = sky_of(observed, forecast, TODAY, TODAY + timedelta((shown or days - 1) - 1))
    return days_ahead(sky, soil, felt or Felt(), TODAY)


def job(remedy: str = "extract", **changed: object) -> Job:
    made = Job(id=remedy, property_id="p", place_id="lawn", tree_id="t", tree_label="oak 4", plan="44136f",
               remedy=remedy, dose=Dose(50.0), first=date(2016, 3, 15), last=date(2016, 11, 30), product="",
               litres=0.0, pace=Pace(minutes=30.0, source="made up", how_known="made up"))
    return replace(made, **changed)  # type: ignore[arg-type]


def days_of(a_job: Job, days: Sequence[DayAhead], told: GroundTold = LOCATED,
            rules: tuple[Rule, ...] = (), places: frozenset[str] = frozenset()) -> tuple[PlaceDay, ...]:
    (found,) = windows_of([a_job], Site({"lawn": days}, told, rules, permit_places=places))
    return found.days


def with_one(figures: Sequence[float], at: int, figure: float) -> tuple[float, ...]:
    """The figures with another one in one place."""
    return (*figures[:at], figure, *figures[at + 1:])


NOT_KNOWN = nan
