"""A file of weather at a glance: what shows that it was read in the wrong unit or column, before it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rootcase.fieldbook.store.weather import WeatherDay

_DAYS_A_YEAR = 365.25
_LEAST_DAYS = 365
"""JUDGEMENT: less than a year of days says nothing of the rain of one, which has its season."""


@dataclass(frozen=True, slots=True)
class Glance:
    """The first row, the ends of the temperatures and the rain of a year, as they were read."""

    first: WeatherDay
    warmest: WeatherDay | None
    """None where no day has a temperature."""
    coldest: WeatherDay | None
    rain_mm_year: float | None
    """Mean over the days whose rain is known; None where these are less than a year."""


def glance(days: Sequence[WeatherDay]) -> Glance | None:
    """What a file's own days look like; None where there are none.

    >>> from datetime import date
    >>> found = glance([WeatherDay(date(2015, 5, n), t_max_c=20.0 + n, rain_mm=1.0) for n in (1, 2)])
    >>> found.warmest.t_max_c, found.coldest, found.rain_mm_year
    (22.0, None, None)
    """
    if not days:
        return None
    rain = [day.rain_mm for day in days if day.rain_mm is not None]
    return Glance(days[0], max((day for day in days if day.t_max_c is not None), key=lambda day: day.t_max_c or 0.0,
                               default=None),
                  min((day for day in days if day.t_min_c is not None), key=lambda day: day.t_min_c or 0.0,
                      default=None),
                  sum(rain) / len(rain) * _DAYS_A_YEAR if len(rain) >= _LEAST_DAYS else None)
