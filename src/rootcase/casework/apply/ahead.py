"""The days ahead at a place: air, rain and wind as they are expected, and the soil as it follows from them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from math import exp, hypot, isfinite

import numpy as np
import numpy.typing as npt

from rootcase.casework.apply.gates import window_figure
from rootcase.records.apply.told import SoilState
from rootcase.records.apply.windows import Basis
from rootcase.records.observe import Forecast, Weather
from rootcase.science.inference.beyond import NINE_IN_TEN
from rootcase.science.warmth.soil_below_air import error_of_mean, faded, soil_below_air_c
from rootcase.science.water.workable import UpperSoil, Wet, fullness, next_day, rain_carried, wet_of
from rootcase.tables.load import table

Array = npt.NDArray[np.float64]
DAY = timedelta(days=1)
DAY_OF_ISSUE = 10
"""Letters of a moment in ISO 8601 that are its day."""


@dataclass(frozen=True, slots=True)
class Expected:
    """One figure of one day."""

    figure: float
    low: float
    high: float
    error: float
    basis: Basis


@dataclass(frozen=True, slots=True, kw_only=True)
class DayAhead:
    """What is expected of one day at one place; None: not known."""

    day: date
    forecast: bool
    """Whether the day is in the forecast at all."""
    soil_c: Expected | None
    full: Expected | None
    """Of water; see `fullness`."""
    rain_mm: Expected | None
    """The larger of this day's and the next one's."""
    lowest_c: Expected | None
    highest_c: Expected | None
    gust_m_s: Expected | None
    felt: SoilState | None = None
    """What hands said on that very day."""


@dataclass(frozen=True, slots=True)
class Felt:
    """What hands or a thermometer said of the soil of a place."""

    squeezed: tuple[tuple[date, SoilState, float], ...] = ()
    """Day, state, and fullness; in order of day."""
    warm_c: tuple[tuple[date, float], ...] = ()
    """In order of day."""


@dataclass(frozen=True)
class Sky:
    """Weather day by day without a break: observed, then forecast, then not known."""

    days: tuple[date, ...]
    lowest_c: Array
    highest_c: Array
    rain_mm: Array
    reference_mm: Array
    wind_m_s: Array
    lead: npt.NDArray[np.int64]
    """Days the forecast looks ahead; -1 where the day was observed, -2 where nothing is known of it."""
    past: Weather
    """Earlier years, which say what is usual."""

    def errors(self, column: str) -> Array:
        """Standard error of each day's forecast; 0 where it is none."""
        steps = np.array([row[column] for row in table("apply/forecast_errors").rows])
        return np.where(self.lead >= 0, steps[np.clip(self.lead, 0, steps.size - 1)], 0.0)

    def at(self, day: date) -> int:
        return (day - self.days[0]).days

    @cached_property
    def soil_c(self) -> Array:
        """By the air of the days before, as nobody has read it."""
        return _soil_c(self.lowest_c, self.highest_c)

    @cached_property
    def usual(self) -> _Usual:
        return _Usual(self.past)


def sky_of(weather: Weather, forecast: Forecast | None, today: date, until: date) -> Sky:
    """The weather of a station from the season before today to the last day that is asked for.

    Parameters
    ----------
    weather : as observed before today; a typical year only says what is usual.
    forecast : of the same station.
    today : the day that is asked on.
    until : the last day.

    Returns
    -------
    Sky. [degC, mm, m/s]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    A forecast looks ahead from the day it was issued, today where that cannot be read.

    References
    ----------
    Table apply/window_figures: JUDGEMENT.

    Examples
    --------
    >>> none = Weather("s", (), (), (), (), (), (), "")
    >>> sky_of(none, None, date(2016, 5, 2), date(2016, 5, 3)).lead.tolist()[-2:]
    [-2, -2]
    """
    first = today - int(window_figure("water_most_days")) * DAY
    days = tuple(first + n * DAY for n in range((until - first).days + 2))  # the day after the last: its rain
    lead = np.full(len(days), -2)
    figures = {name: np.full(len(days), np.nan) for name in ("t_min_c", "t_max_c", "rain_mm", "et0_mm", "wind_m_s")}
    sources: list[tuple[Weather, date | None]] = [] if weather.typical else [(weather, None)]
    if forecast is not None:
        sources.append((forecast.weather, _issued(forecast, today)))
    for source, issued in sources:
        for n, day in enumerate(source.days):
            at = (day - first).days
            if 0 <= at < len(days) and lead[at] == -2:
                lead[at] = -1 if issued is None else max((day - issued).days, 0)
                for name, column in figures.items():
                    column[at] = getattr(source, name)[n]
    return Sky(days, figures["t_min_c"], figures["t_max_c"], figures["rain_mm"], figures["et0_mm"],
               figures["wind_m_s"], lead, weather)


def days_ahead(sky: Sky, soil: UpperSoil, felt: Felt, today: date) -> tuple[DayAhead, ...]:
    """What is expected of each day at one place, from today on.

    Parameters
    ----------
    sky : the weather of its station.
    soil : what its upper soil holds.
    felt : what was felt and read in its soil.
    today : the day that is asked on.

    Returns
    -------
    One each day to the last of the sky but one. [degC, mm, m/s]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    A figure of a day is by what was read on it, else by the weather. Beyond the forecast it is what is usual.

    References
    ----------
    `soil_below_air_c`, `next_day`. Tables apply/window_figures and apply/forecast_errors: JUDGEMENT.

    Examples
    --------
    >>> none = Weather("s", (), (), (), (), (), (), "")
    >>> sky = sky_of(none, None, date(2016, 5, 2), date(2016, 5, 3))
    >>> [day.soil_c for day in days_ahead(sky, UpperSoil(40.0, 30.0, 10.0, 0.85, 0.4), Felt(), date(2016, 5, 2))]
    [None, None]
    """
    warm, full = _warm(sky, felt), _full(sky, soil, felt)
    gust = window_figure("gust")
    told = {day: state for day, state, _ in felt.squeezed}
    found = []
    for at in range(sky.at(today), len(sky.days) - 1):
        day, next_at = sky.days[at], at + 1
        rain = _larger(_of(sky, "rain_mm", at), _of(sky, "rain_mm", next_at))
        found.append(DayAhead(
            day=day, forecast=sky.lead[at] > -2, soil_c=warm[at] or sky.usual.of("soil_c", day), full=full[at],
            rain_mm=rain or sky.usual.of("rain_mm", day),
            lowest_c=_of(sky, "lowest_c", at) or sky.usual.of("lowest_c", day),
            highest_c=_of(sky, "highest_c", at) or sky.usual.of("highest_c", day),
            gust_m_s=_of(sky, "wind_m_s", at, gust) or sky.usual.of("wind_m_s", day), felt=told.get(day)))
    return tuple(found)


_ERRORS = {"rain_mm": "rain_mm", "lowest_c": "temperature_c", "highest_c": "temperature_c", "wind_m_s": "wind_m_s"}


def _of(sky: Sky, name: str, at: int, times: float = 1.0) -> Expected | None:
    value = float(getattr(sky, name)[at]) * times
    if not isfinite(value):
        return None
    basis: Basis = "observed" if sky.lead[at] == -1 else "forecast"
    return _expected(value, float(sky.errors(_ERRORS[name])[at]) * times, basis,
                     0.0 if name in ("rain_mm", "wind_m_s") else None)


def _larger(here: Expected | None, next_day: Expected | None) -> Expected | None:
    """Of two days' rain; as sure as the later one."""
    if here is None or next_day is None:
        return None
    return _expected(max(here.figure, next_day.figure), next_day.error, next_day.basis, 0.0)


def _expected(figure: float, error: float, basis: Basis, least: float | None = None) -> Expected:
    low = figure - NINE_IN_TEN * error
    return Expected(figure, low if least is None else max(low, least), figure + NINE_IN_TEN * error, error, basis)


def _warm(sky: Sky, felt: Felt) -> list[Expected | None]:
    """The soil's temperature day by day, drawn towards what a thermometer read."""
    model, reader, fades = (window_figure(name) for name in ("soil_error", "soil_read_error", "soil_read_fades"))
    ahead = error_of_mean(sky.errors("temperature_c"), int(window_figure("soil_mean_days")))
    read = {day: c for day, c in felt.warm_c if sky.days[0] <= day <= sky.days[-1]}
    last: tuple[int, float] | None = None
    found: list[Expected | None] = []
    for at, day in enumerate(sky.days):
        reckoned = float(sky.soil_c[at])
        if day in read:
            last = (at, read[day] - reckoned) if isfinite(reckoned) else last
            found.append(_expected(read[day], reader, "read"))
        elif not isfinite(reckoned) or sky.lead[at] == -2:
            found.append(None)
        else:
            since = at - last[0] if last else 0
            left = exp(-since / fades) if last else 0.0
            moved = float(faded(last[1], since, fades)) if last else 0.0
            error = hypot(model * (1.0 - left) + reader * left, float(ahead[at]))
            found.append(_expected(reckoned + moved, error, "forecast" if sky.lead[at] >= 0 else "computed"))
    return found


def _full(sky: Sky, soil: UpperSoil, felt: Felt) -> list[Expected | None]:
    """How full of water the upper soil is day by day, begun anew wherever a hand has squeezed it."""
    base, fresh, fades = (window_figure(name) for name in ("water_error", "water_felt_error", "water_felt_fades"))
    carried = rain_carried(sky.errors("rain_mm")) / soil.total_mm
    hands = {day: full for day, state, full in felt.squeezed if state != "frozen"}
    wet: Wet | None = None
    run, felt_at = 0, -1
    found: list[Expected | None] = []
    for at, day in enumerate(sky.days):
        if day in hands:
            wet, felt_at = wet_of(hands[day], soil), at
        start = fullness(wet, soil) if wet else None
        rain, taken = float(sky.rain_mm[at]), float(sky.reference_mm[at])
        if not (isfinite(rain) and isfinite(taken)):
            wet, run, felt_at = None, 0, -1
        else:
            wet, run = next_day(wet or Wet(soil.total_mm / 2.0, 0.0), rain, taken, soil), run + 1
        known = felt_at >= 0 or run > window_figure("water_least_days")
        if day in hands:
            found.append(_expected(hands[day], fresh, "read", 0.0))
        elif wet is None or start is None or not known:
            found.append(None)
        else:
            left = exp(-(at - felt_at) / fades) if felt_at >= 0 else 0.0
            error = hypot(base * (1.0 - left) + fresh * left, float(carried[at]))
            found.append(_expected(max(start, fullness(wet, soil)), error,
                                   "forecast" if sky.lead[at] >= 0 else "computed", 0.0))
    return found


def _soil_c(lowest_c: Sequence[float] | Array, highest_c: Sequence[float] | Array) -> Array:
    mean = (np.asarray(lowest_c, dtype=float) + np.asarray(highest_c, dtype=float)) / 2.0
    return soil_below_air_c(mean, int(window_figure("soil_mean_days")), int(window_figure("soil_least_days")))


def _issued(forecast: Forecast, today: date) -> date:
    try:
        return date.fromisoformat(forecast.issued_at[:DAY_OF_ISSUE])
    except ValueError:
        return today


class _Usual:
    """What the days around the same day of earlier years brought."""

    def __init__(self, past: Weather) -> None:
        rain = np.array(past.rain_mm, dtype=float)
        self._days = np.array([day.timetuple().tm_yday for day in past.days], dtype=float)
        self._figures = {
            "lowest_c": np.array(past.t_min_c, dtype=float), "highest_c": np.array(past.t_max_c, dtype=float),
            "rain_mm": np.maximum(rain, np.append(rain[1:], np.nan)) if rain.size else rain,
            "wind_m_s": np.array(past.wind_m_s, dtype=float) * window_figure("gust"),
            "soil_c": _soil_c(past.t_min_c, past.t_max_c)}
        self._within, self._least = window_figure("usual_days"), window_figure("usual_least")

    def of(self, name: str, day: date) -> Expected | None:
        """The middle and nine in ten; None where too few days are known."""
        apart = np.abs(self._days - day.timetuple().tm_yday)
        near = self._figures[name][np.minimum(apart, 366.0 - apart) <= self._within] if apart.size else apart
        known = near[np.isfinite(near)]
        if known.size < self._least:
            return None
        low, middle, high = (float(each) for each in np.quantile(known, (0.05, 0.5, 0.95)))
        return Expected(middle, low, high, 0.0, "usual")
