"""Days that a station missed, filled because somebody asked, and marked: temperatures between their neighbours, or all
after another station."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rootcase.fieldbook.intake.weather.series import series
from rootcase.fieldbook.store.weather import WeatherDay
from rootcase.ground.words import say
from rootcase.records.observe import Weather
from rootcase.science.lanes import Lanes
from rootcase.science.water.missing_days import after_another_station, between_neighbours

Flags = NDArray[np.bool_]
_FIELDS = ("rain_mm", "t_min_c", "t_max_c")


def filled_days(days: Sequence[WeatherDay], longest_days: int, other: Weather | None) -> list[WeatherDay]:
    """The days that are new or changed by filling gaps of at most so many days; rain only after another station."""
    weather = series("", days)
    held = {day.day: day for day in days}
    before = {name: np.array(getattr(weather, name)) for name in _FIELDS}
    found = {name: before[name].copy() for name in _FIELDS}
    how = say("weather.filled_between")
    if other is None:
        for name in ("t_min_c", "t_max_c"):
            found[name] = between_neighbours(before[name], longest_days)
    else:
        seen, there = _aligned(weather, _observed(weather)), _aligned(weather, _observed(other))
        after = after_another_station(*(days_of[name] for days_of in (seen, there) for name in _FIELDS))
        how = say("weather.filled_after", station=other.station, ratio=f"{after.ratio:.2f}",
                  days=f"{after.common_days:,}")
        for name, value in (("rain_mm", there["rain_mm"] * after.ratio), ("t_min_c", there["t_min_c"]
                            + after.warmer_min_c), ("t_max_c", there["t_max_c"] + after.warmer_max_c)):
            short = _short_gaps(before[name], longest_days)
            found[name][short] = value[short]
    return _changed(weather, held, before, found, how)


def _changed(weather: Weather, held: dict[date, WeatherDay], before: dict[str, Lanes],
             found: dict[str, Lanes], how: str) -> list[WeatherDay]:
    changed = []
    for at, day in enumerate(weather.days):
        new = [name for name in _FIELDS if math.isnan(before[name][at]) and math.isfinite(found[name][at])]
        old = held.get(day, WeatherDay(day))
        figures: dict[str, Any] = {name: round(float(found[name][at]), 9) for name in new}
        low, high = (figures.get(name, getattr(old, name)) for name in ("t_min_c", "t_max_c"))
        if not new or (low is not None and high is not None and low > high):
            continue
        what = ", ".join(say(f"weather.name_{name}") for name in new)
        mark = say("weather.filled", what=what, how=how)
        changed.append(replace(old, **figures, source=old.source or how,
                               filled="; ".join(filter(None, (old.filled, mark)))))
    return changed


def _short_gaps(values: Lanes, longest_days: int) -> Flags:
    """Where a gap of at most so many days is, at the ends of the series too."""
    lost: Flags = np.isnan(values)
    short: Flags = np.zeros(len(lost), dtype=np.bool_)
    start = 0
    for at in range(1, len(lost) + 1):
        if at == len(lost) or lost[at] != lost[start]:
            short[start:at] = lost[start] and at - start <= longest_days
            start = at
    return short


def _observed(weather: Weather) -> Weather:
    """Without the days of which something was filled: a guess tells nothing of how two stations differ."""
    if not weather.marks:
        return weather
    return replace(weather, **{name: tuple(math.nan if mark else value for mark, value in zip(
        weather.marks, getattr(weather, name), strict=True)) for name in _FIELDS})


def _aligned(weather: Weather, other: Weather) -> dict[str, Lanes]:
    where = {day: at for at, day in enumerate(other.days)}
    return {name: np.array([getattr(other, name)[where[day]] if day in where else math.nan for day in weather.days])
            for name in _FIELDS}
