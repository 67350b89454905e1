"""The weather a property is reckoned with, in short."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from math import isfinite

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing
from rootcase.records.observe import Property
from rootcase.services.run import Run
from rootcase.services.weather import weather_for

_LATELY_DAYS = 30


@dataclass(frozen=True, slots=True)
class WeatherSummary:
    """The days before today of a property's station, or of its typical year."""

    station: str
    source: str
    typical: bool
    """A typical year stands in: these are no days that were."""
    first_day: date | None
    """None: there are no days."""
    last_day: date | None
    days: int
    days_without_rain: int
    """Whose rain is not known."""
    days_without_et0: int
    rain_mm_lately: float | None
    """Of the last 30 days; None where the rain of none is known."""
    et0_mm_lately: float | None
    told: tuple[str, ...]
    """What is said wherever this weather is told, or why there is none."""
    forecast_issued_at: str
    """Empty: no forecast for the days to come."""
    forecast_days: tuple[date, ...]


def weather_summary(fieldbook: Fieldbook, ground: Property, run: Run) -> WeatherSummary:
    """How far a property's weather reaches, and what of it is not known."""
    forecast = fieldbook.forecast(ground.id)
    ahead = (forecast.issued_at, forecast.weather.days) if forecast else ("", ())
    try:
        weather = weather_for(fieldbook, ground, run)
    except Missing as missing:
        return WeatherSummary(ground.weather_station, "", False, None, None, 0, 0, 0, None, None, (str(missing),),
                              *ahead)
    return WeatherSummary(
        weather.station, weather.source, weather.typical, weather.days[0], weather.ends, len(weather.days),
        _unknown(weather.rain_mm), _unknown(weather.et0_mm), _lately(weather.rain_mm), _lately(weather.et0_mm),
        weather.told, *ahead)


def _unknown(values: tuple[float, ...]) -> int:
    return sum(not isfinite(each) for each in values)


def _lately(values: tuple[float, ...]) -> float | None:
    known = [each for each in values[-_LATELY_DAYS:] if isfinite(each)]
    return sum(known) if known else None
