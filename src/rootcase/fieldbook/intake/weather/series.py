"""A station's days as one series, and what is missing in it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from rootcase.fieldbook.store.schema import WEATHER_FIGURES
from rootcase.fieldbook.store.weather import WeatherDay
from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.observe import Station, Weather

_DAY = timedelta(days=1)
_ALWAYS = ("t_min_c", "t_max_c", "rain_mm", "et0_mm", "wind_m_s")
_SOMETIMES = ("t_dew_c", "humidity_min_pct", "humidity_max_pct", "humidity_mean_pct", "solar_mj_m2_day",
              "wind_height_m")
_NEEDED = {"t_min_c": "lowest", "t_max_c": "highest", "rain_mm": "rain"}
_MANY_MONTHS = 12
"""JUDGEMENT: more lines than this nobody reads; then the gaps are told by year."""


def series(station: str, days: Sequence[WeatherDay], place: Station | None = None) -> Weather:
    """Every day from the first to the last; what is not known is NaN."""
    if not days:
        return Weather(station, (), (), (), (), (), (), "", place=place)
    known = {day.day: day for day in days}
    run = [days[0].day + n * _DAY for n in range((days[-1].day - days[0].day).days + 1)]
    whole = [known.get(day, WeatherDay(day)) for day in run]

    def column(name: str) -> tuple[float, ...]:
        return tuple(math.nan if getattr(day, name) is None else getattr(day, name) for day in whole)

    columns: dict[str, Any] = {name: column(name) for name in _ALWAYS}
    columns |= {name: column(name) for name in _SOMETIMES if any(getattr(day, name) is not None for day in days)}
    return Weather(station, tuple(run), **columns, source="; ".join(sorted({day.source for day in days})),
                   marks=tuple(day.filled for day in whole) if any(day.filled for day in days) else (), place=place)


def beside_held(held: Sequence[WeatherDay], days: Sequence[WeatherDay]) -> list[WeatherDay]:
    """New days, with what they say nothing of on any day as it is held: rain in one file, temperatures in another."""
    silent = [name for name in WEATHER_FIGURES if all(getattr(day, name) is None for day in days)]
    if "wind_m_s" not in silent and "wind_height_m" in silent:
        silent.remove("wind_height_m")
    here = {day.day: day for day in held}
    return [_beside(here[day.day], day, silent) if day.day in here else day for day in days]


def _beside(old: WeatherDay, new: WeatherDay, silent: Sequence[str]) -> WeatherDay:
    kept: dict[str, Any] = {name: getattr(old, name) for name in silent if getattr(old, name) is not None}
    low, high = (kept.get(name, getattr(new, name)) for name in ("t_min_c", "t_max_c"))
    if low is not None and high is not None and low > high:
        kept = {name: value for name, value in kept.items() if name not in ("t_min_c", "t_max_c")}
    if not kept:
        return new
    source = "; ".join(dict.fromkeys([*old.source.split("; "), new.source]))
    return replace(new, **kept, source=source, filled=old.filled if kept.keys() & _NEEDED.keys() else "")


def with_own_gauge(weather: Weather, gauge: Sequence[WeatherDay]) -> Weather:
    """The property's own rain in the station's place, day by day; what the gauge did not see stays the station's."""
    rain: Mapping[date, float] = {day.day: day.rain_mm for day in gauge if day.rain_mm is not None}
    own = [day in rain for day in weather.days]
    if not any(own):
        return weather
    marks = weather.marks or ("",) * len(weather.days)
    told = say("weather.own_gauge")
    return replace(weather, rain_mm=tuple(rain.get(day, had) for day, had in zip(
        weather.days, weather.rain_mm, strict=True)), marks=tuple(
        "; ".join(filter(None, (mark, told if here else ""))) for mark, here in zip(marks, own, strict=True)))


def gaps(weather: Weather) -> tuple[str, ...]:
    """What is missing, month by month, and where the weather ends.

    >>> nan, two_days = float("nan"), (date(2014, 6, 1), date(2014, 6, 2))
    >>> gaps(Weather("X", two_days, (1.0, nan), (9.0, 9.0), (0.0, 0.0), (nan, nan), (nan, nan), ""))
    ('1 day missing in June 2014', 'weather ends 2 June 2014')
    """
    if not weather.days:
        return ()
    needed = {name: getattr(weather, name) for name in _NEEDED}
    never = [name for name, values in needed.items() if all(math.isnan(value) for value in values)]
    kept = [values for name, values in needed.items() if name not in never]
    lost = [day for day, *figures in zip(weather.days, *kept, strict=True)
            if any(math.isnan(figure) for figure in figures)]
    return (*(say(f"weather.never_{_NEEDED[name]}") for name in never), *_counted(lost),
            say("intake.weather_ends", day=show_date(weather.ends)))


def _counted(lost: Sequence[date]) -> list[str]:
    months = say("dates.months").split()
    by_month = Counter((day.year, day.month) for day in lost)
    if len(by_month) > _MANY_MONTHS:
        by_year = Counter(day.year for day in lost)
        return [say("weather.one_day_missing_in_year", year=year) if count == 1 else
                say("weather.days_missing_in_year", count=count, year=year) for year, count in sorted(by_year.items())]
    return [say("intake.one_day_missing", month=months[month - 1], year=year) if count == 1 else
            say("intake.days_missing", count=count, month=months[month - 1], year=year)
            for (year, month), count in sorted(by_month.items())]
