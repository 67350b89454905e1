"""A station's days as one series, and what is missing in it."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
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
NEEDED = ("t_min_c", "t_max_c", "rain_mm")
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
    return replace(new, **kept, source=source, filled=old.filled if kept.keys() & set(NEEDED) else "")


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


def gaps(weather: Weather, needed: Sequence[str] = NEEDED) -> tuple[str, ...]:
    """What is missing of the figures needed, month by month, and where the weather ends.

    >>> nan, days = float("nan"), (date(2014, 6, 1), date(2014, 6, 2), date(2014, 6, 3))
    >>> gaps(Weather("X", days, (1.0, nan, nan), (9.0, 9.0, nan), (0.0, 0.0, nan), (nan,) * 3, (nan,) * 3, ""))
    ('1 day missing in June 2014', 'lowest temperature missing on 1 day in June 2014', 'weather ends 3 June 2014')
    """
    if not weather.days:
        return ()
    lost = {name: {day for day, value in zip(weather.days, getattr(weather, name), strict=True) if math.isnan(value)}
            for name in needed}
    never = [name for name, days in lost.items() if len(days) == len(weather.days)]
    told = {name: days for name, days in lost.items() if name not in never}
    whole: set[date] = set.intersection(*told.values()) if told else set()
    apart = {name: days - whole for name, days in told.items()}
    by_year = len({(day.year, day.month) for days in told.values() for day in days}) > _MANY_MONTHS
    return (*(say("weather.never", what=say(f"weather.name_{name}")) for name in never),
            *_counted("days", whole, by_year), *(line for name, days in apart.items() for line in _counted(
                "figures", days, by_year, what=say(f"weather.name_{name}"))),
            say("intake.weather_ends", day=show_date(weather.ends)))


def _counted(form: str, lost: Iterable[date], by_year: bool, **words: str) -> list[str]:
    months = say("dates.months").split()
    counted = sorted(Counter((day.year, 0 if by_year else day.month) for day in lost).items())
    return [say(f"weather.{'one_missing' if count == 1 else 'missing'}.{form}", count=f"{count:,}", **words,
                when=f"{months[month - 1]} {year}" if month else year) for (year, month), count in counted]
