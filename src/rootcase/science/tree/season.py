"""The days a run goes through: weather, bud break, leaves, and the two windows that count for growth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rootcase.ground.errors import Missing, OutOfRange, require_range
from rootcase.science.tree.fixed import Array, Lane, fixed
from rootcase.science.warmth.degree_days import average_degree_days_c

Days = NDArray[np.datetime64]
Indices = NDArray[np.int64]

# (month, day) in the north; six months later in the south.
FIRST_BUD_BREAK = (2, 16)
LEAF_FALL = (10, 16)
BUD_SET_FROM = (7, 15)
BUD_SET_TO = (9, 15)


@dataclass(frozen=True, slots=True, kw_only=True)
class DailyWeather:
    """Daily weather without gaps, oldest first."""

    year: Indices
    day_of_year: Indices
    t_min_c: Array
    t_max_c: Array
    rain_mm: Array
    et0_mm: Array
    """Reference evapotranspiration of short grass."""
    southern: bool = False

    def __post_init__(self) -> None:
        if np.any(np.diff(self.dates) != np.timedelta64(1, "D")):
            gap = int(np.argmax(np.diff(self.dates) != np.timedelta64(1, "D")))
            raise OutOfRange("the weather has a gap or a day twice", value=f"after {self.dates[gap]}",
                             right="one row for each day, oldest first")
        for name in ("t_min_c", "t_max_c", "rain_mm", "et0_mm"):
            values = getattr(self, name)
            if len(values) != len(self.year) or not np.all(np.isfinite(values)):
                raise OutOfRange(f"{name} is not a number on every day", right="fill the gaps before the run")
        for name in ("rain_mm", "et0_mm"):
            require_range(name, getattr(self, name), 0.0, np.inf, "mm")

    @property
    def dates(self) -> Days:
        new_year = (self.year - 1970).astype("datetime64[Y]").astype("datetime64[D]")
        return np.asarray(new_year + (self.day_of_year - 1).astype("timedelta64[D]"))


@dataclass(frozen=True, slots=True)
class Season:
    """What the day needs of the weather, and which days count: half-open index ranges."""

    rain_mm: Array
    et0_mm: Array
    leaf: Array
    """0 bare to 1 full, day by day."""
    day_of_year: Indices
    bud_set: tuple[int, int]
    spring: tuple[int, int]

    def __post_init__(self) -> None:
        if self.bud_set[1] > self.spring[0]:
            raise OutOfRange("the windows overlap", value=f"bud set to day {self.bud_set[1]}, spring from day "
                             f"{self.spring[0]}", right="buds are set before the spring in which they break")


def growing_days(weather: DailyWeather, growth_year: int) -> DailyWeather:
    """Which days of weather decide the shoots of one year?

    Parameters
    ----------
    weather : at least the year before the shoots grew and that year until they stopped
    growth_year : the year the shoots grew in; in the south, the one in which they began to

    Returns
    -------
    DailyWeather from 1 January (1 July in the south) of the year before to the end of the weather or of the year.

    Raises
    ------
    Missing : the weather does not begin early enough.

    Notes
    -----
    Section 1.7 of docs/model.md. `season_of` says whether the end is late enough.

    References
    ----------
    Shoots formed in the bud depend on the summer before; the choice of a year's lead JUDGEMENT.

    Examples
    --------
    >>> days = np.arange(np.datetime64("2013-01-01"), np.datetime64("2016-01-01"))
    >>> year = days.astype("datetime64[Y]").astype(int) + 1970
    >>> doy = (days - days.astype("datetime64[Y]")).astype(int) + 1
    >>> flat = np.full(len(days), 10.0)
    >>> weather = DailyWeather(year=year, day_of_year=doy, t_min_c=flat, t_max_c=flat, rain_mm=flat, et0_mm=flat)
    >>> str(growing_days(weather, 2015).dates[0])
    '2014-01-01'
    """
    first = _in_season(growth_year - 1, (1, 1), weather.southern)
    end = _in_season(growth_year + 1, (1, 1), weather.southern)
    dates = weather.dates
    if len(dates) == 0 or dates[0] > first:
        begins = str(dates[0]) if len(dates) else "no weather"
        raise Missing("the weather begins too late for the shoots of this year", value=begins,
                      right=f"it must begin by {first}")
    keep = (dates >= first) & (dates < end)
    return DailyWeather(year=weather.year[keep], day_of_year=weather.day_of_year[keep], t_min_c=weather.t_min_c[keep],
                        t_max_c=weather.t_max_c[keep], rain_mm=weather.rain_mm[keep], et0_mm=weather.et0_mm[keep],
                        southern=weather.southern)


def season_of(weather: DailyWeather, spring_window_days: int) -> Season:
    """When do buds break, leaves stand, and which days count for buds and for shoots?

    Parameters
    ----------
    weather : from 1 January (1 July in the south) of the year before, see `growing_days`
    spring_window_days : days from bud break in which shoots grow, 45 or 100. [d]

    Returns
    -------
    Season, cut at the end of the spring window.

    Raises
    ------
    Missing : the weather ends before the window does, or before buds break.
    OutOfRange : the weather does not begin where it must.

    Notes
    -----
    Bud break is the first day from 16 February on which warmth above 5 degrees since 1 January has reached 300
    degree days; leaves grow in 30 days from then and fall in 30 days from 16 October; buds are set from 15 July to
    15 September of the year before. Six months later in the south. Section 1.7 of docs/model.md.

    References
    ----------
    Thresholds: table tree/fixed, JUDGEMENT.

    Examples
    --------
    >>> days = np.arange(np.datetime64("2013-01-01"), np.datetime64("2015-01-01"))
    >>> year = days.astype("datetime64[Y]").astype(int) + 1970
    >>> doy = (days - days.astype("datetime64[Y]")).astype(int) + 1
    >>> flat = np.full(len(days), 10.0)
    >>> weather = DailyWeather(year=year, day_of_year=doy, t_min_c=flat, t_max_c=flat, rain_mm=flat, et0_mm=flat)
    >>> season_of(weather, 45).spring
    (424, 469)
    """
    dates = weather.dates
    months = 6 if weather.southern else 0
    year = int(weather.year[0]) + 1
    if dates[0] != _in_season(year - 1, (1, 1), weather.southern):
        raise OutOfRange("the run must begin with the year before", value=str(dates[0]),
                         right="cut the weather with growing_days")
    this_year = _in_season(year, (1, 1), weather.southern)
    warmth = average_degree_days_c(weather.t_min_c, weather.t_max_c, fixed("warmth_base_c"))
    breaks = [_bud_break(dates, warmth, _in_season(year_, (1, 1), months > 0),
                         _in_season(year_, FIRST_BUD_BREAK, months > 0)) for year_ in (year - 1, year)]
    end = breaks[1] + spring_window_days
    if end > len(dates):
        raise Missing("the weather ends before the shoots do", value=f"{dates[-1]}",
                      right=f"it must reach {dates[0] + np.timedelta64(end - 1, 'D')}")
    day = np.arange(end)
    fall = int((_in_season(year - 1, LEAF_FALL, months > 0) - dates[0]).astype(int))
    before = np.minimum(_ramp(day - breaks[0], fixed("leaf_out_days")),
                        1.0 - _ramp(day - fall, fixed("leaf_fall_days")))
    leaf = np.where(dates[:end] < this_year, before, _ramp(day - breaks[1], fixed("leaf_out_days")))
    bud_set = tuple(int((_in_season(year - 1, date, months > 0) - dates[0]).astype(int))
                    for date in (BUD_SET_FROM, BUD_SET_TO))
    return Season(rain_mm=weather.rain_mm[:end], et0_mm=weather.et0_mm[:end], leaf=leaf,
                  day_of_year=weather.day_of_year[:end], bud_set=(bud_set[0], bud_set[1] + 1), spring=(breaks[1], end))


def is_watered(every_days: Lane, first_day: Lane, last_day: Lane, day_of_year: ArrayLike) -> NDArray[np.bool_]:
    """Does a plan of watering fall on this day of the year?

    Parameters
    ----------
    every_days : scalar or one per lane. [d], from 1
    first_day, last_day : same shape, days of the year. 1 to 366
    day_of_year : scalar or one per day. 1 to 366

    Returns
    -------
    True or False, the common shape.

    Raises
    ------
    Nothing.

    Notes
    -----
    From the first day to the last, over New Year where the last comes before the first.

    References
    ----------
    None; bookkeeping.

    Examples
    --------
    >>> [bool(is_watered(3, 121, 273, day)) for day in (121, 122, 124, 274)]
    [True, False, True, False]
    """
    since, length = np.asarray(day_of_year) - np.asarray(first_day), np.asarray(last_day) - np.asarray(first_day)
    since = np.where((length < 0) & (since < 0), since + 365, since)
    length = np.where(length < 0, length + 365, length)
    return np.asarray((since >= 0) & (since <= length) & (since % every_days == 0))


def _in_season(year: int, date: tuple[int, int], southern: bool) -> np.datetime64:
    """A northern date in the growing year of this name, or the southern one six months later."""
    months = (year - 1970) * 12 + date[0] - 1 + (6 if southern else 0)
    month: np.datetime64 = np.datetime64(months, "M")
    first: np.datetime64 = month.astype("datetime64[D]")
    return first + np.timedelta64(date[1] - 1, "D")


def _bud_break(dates: Days, warmth: Array, from_day: np.datetime64, earliest: np.datetime64) -> int:
    in_year = (dates >= from_day) & (dates < from_day + np.timedelta64(365, "D"))
    reached = in_year & (dates >= earliest) & (np.cumsum(np.where(in_year, warmth, 0.0))
                                               >= fixed("bud_break_degree_days"))
    if not reached.any():
        raise Missing("buds do not break in this weather", value=f"{dates[-1]}",
                      right=f"{fixed('bud_break_degree_days'):g} degree days above "
                            f"{fixed('warmth_base_c'):g} °C must be reached")
    return int(np.argmax(reached))


def _ramp(days: Indices, length: float) -> Array:
    return np.asarray(np.clip(days / length, 0.0, 1.0))
