"""Hours into days, in the station's own standard time.

A day's extremes and means want twenty hours of it, its sums all twenty-four (JUDGEMENT): a lost hour of rain may have
been the storm, a lost hour of temperature seldom moves the day.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.store.weather import WeatherDay

HOURS_A_DAY = 24
HOURS_OF_A_MEAN = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Hour:
    """What was measured in an hour; None is not known."""

    hour: int
    """Of the day, the one that ends at 01:00 being 1."""
    temperature_c: float | None = None
    t_dew_c: float | None = None
    humidity_pct: float | None = None
    wind_m_s: float | None = None
    solar_mj_m2: float | None = None
    rain_mm: float | None = None
    rain_hours: int = 1
    """How many hours, this one the last, the rain fell in."""


def days_of(hours: Mapping[date, Sequence[Hour]], source: str, wind_height_m: float | None) -> list[WeatherDay]:
    """The days in order."""
    return [_day(day, hours[day], source, wind_height_m) for day in sorted(hours)]


def _day(day: date, hours: Sequence[Hour], source: str, wind_height_m: float | None) -> WeatherDay:
    def of(name: str, make: Callable[[list[float]], float]) -> float | None:
        known = [(each.hour, value) for each in hours if (value := getattr(each, name)) is not None]
        enough = len({hour for hour, _ in known}) >= HOURS_OF_A_MEAN
        return round(make([value for _, value in known]), 9) if enough else None

    def mean(values: list[float]) -> float:
        return sum(values) / len(values)

    wind = of("wind_m_s", mean)
    return WeatherDay(
        day, t_min_c=of("temperature_c", min), t_max_c=of("temperature_c", max), t_dew_c=of("t_dew_c", mean),
        humidity_min_pct=of("humidity_pct", min), humidity_max_pct=of("humidity_pct", max),
        humidity_mean_pct=of("humidity_pct", mean), wind_m_s=wind, rain_mm=_rain(hours), solar_mj_m2_day=_sun(hours),
        wind_height_m=None if wind is None else wind_height_m, source=source)


def _sun(hours: Sequence[Hour]) -> float | None:
    known = {each.hour: each.solar_mj_m2 for each in hours if each.solar_mj_m2 is not None}
    return round(sum(known.values()), 9) if len(known) >= HOURS_A_DAY else None


def _rain(hours: Sequence[Hour]) -> float | None:
    """An hour that stands twice, when clocks are put back, has rained twice."""
    known = [each for each in hours if each.rain_mm is not None]
    covered = {hour for each in known for hour in range(max(each.hour - each.rain_hours, 0), each.hour)}
    return round(sum(each.rain_mm or 0.0 for each in known), 9) if len(covered) >= HOURS_A_DAY else None
