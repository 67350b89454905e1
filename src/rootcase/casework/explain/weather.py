"""Which year's shoots the model is run for, and the days of weather it needs."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.observe import Weather
from rootcase.science.tree.season import DailyWeather, growing_days, season_of


def shoots_weather(weather: Weather, shoot_years: Iterable[int], latitude_deg: float,
                   spring_window_days: int) -> tuple[tuple[DailyWeather, ...], tuple[int, ...]]:
    """The days that decide the shoots of every year they were read in.

    Parameters
    ----------
    weather : daily weather of the property's station; a day without a value is NaN.
    shoot_years : growing seasons of which shoots were read; none: the newest whole season is taken.
    latitude_deg : north above zero. [deg]
    spring_window_days : days from bud break in which the kind's shoots grow. [d]

    Returns
    -------
    (days, seasons), oldest first: for each season whose weather is whole the days from the year before.

    Raises
    ------
    Missing : as `growth_weather`.

    Notes
    -----
    A season of the shoots whose weather has a gap is left out; where none is whole, `growth_weather` takes the newest
    that is.

    References
    ----------
    docs/model.md, 1.7: JUDGEMENT.

    Examples
    --------
    >>> from datetime import date, timedelta
    >>> days = tuple(date(2012, 1, 1) + timedelta(n) for n in range(1300))
    >>> flat = (10.0,) * 1300
    >>> whole = Weather("s", days, flat, flat, flat, flat, flat, "made up")
    >>> shoots_weather(whole, [2014, 2013, 2011], 47.0, 45)[1]
    (2013, 2014)
    """
    read = sorted(set(shoot_years))
    whole = {}
    for year in read:
        days, season = growth_weather(weather, [year], latitude_deg, spring_window_days)
        if season == year:
            whole[season] = days
    if not whole:
        days, season = growth_weather(weather, read, latitude_deg, spring_window_days)
        whole[season] = days
    return tuple(whole.values()), tuple(whole)


def growth_weather(weather: Weather, shoot_years: Iterable[int], latitude_deg: float,
                   spring_window_days: int) -> tuple[DailyWeather, int]:
    """The days that decide the newest shoots whose weather is whole.

    Parameters
    ----------
    weather : daily weather of the property's station; a day without a value is NaN.
    shoot_years : growing seasons of which shoots were read; none: the newest whole season is taken.
    latitude_deg : north above zero. [deg]
    spring_window_days : days from bud break in which the kind's shoots grow. [d]

    Returns
    -------
    (days, season): the weather without gaps from the year before, and the season whose shoots it decides.

    Raises
    ------
    Missing : no season is whole: from the first day of the year before to the end of the shoots without a gap.

    Notes
    -----
    Seasons are named as in the records: in the south after the year they end in. A season of which no shoot was
    read is taken only where no season of the shoots is whole.

    References
    ----------
    docs/model.md, 1.7: JUDGEMENT.

    Examples
    --------
    >>> from datetime import date, timedelta
    >>> days = tuple(date(2013, 1, 1) + timedelta(n) for n in range(900))
    >>> flat = (10.0,) * 900
    >>> whole = Weather("s", days, flat, flat, flat, flat, flat, "made up")
    >>> growth_weather(whole, [2014, 2012], 47.0, 45)[1]
    2014
    """
    southern = latitude_deg < 0
    arrays = [np.asarray(values, dtype=float)
              for values in (weather.t_min_c, weather.t_max_c, weather.rain_mm, weather.et0_mm)]
    dates = np.array(weather.days, dtype="datetime64[D]")
    newest = weather.days[-1].year if weather.days else 0
    seasons = sorted(set(shoot_years), reverse=True) + list(range(newest + southern, newest - 60, -1))
    for season in seasons:
        days = _whole_days(dates, arrays, season - southern, southern)
        if days is None:
            continue
        try:
            cut = growing_days(days, season - southern)
            season_of(cut, spring_window_days)
        except Missing:
            continue
        return cut, season
    span = f"{weather.days[0]} to {weather.days[-1]}" if weather.days else say("explain.no_days")
    raise Missing(say("explain.weather_too_short"), where=weather.station, value=span,
                  right=say("explain.weather_right"))


def _whole_days(dates: np.ndarray, arrays: list[np.ndarray], year: int, southern: bool) -> DailyWeather | None:
    """The days from the start of the year before the shoots until the first gap; None where they do not begin."""
    first = np.datetime64(f"{year - 1}-{7 if southern else 1:02d}-01", "D")
    start = int(np.searchsorted(dates, first))
    if start == len(dates) or dates[start] != first:
        return None
    known = np.all([np.isfinite(values[start:]) for values in arrays], axis=0)
    follows = dates[start:] == first + np.arange(len(dates) - start)
    whole = known & follows
    end = start + (len(whole) if whole.all() else int(np.argmin(whole)))
    if end == start:
        return None
    kept = dates[start:end]
    years = kept.astype("datetime64[Y]")
    t_min, t_max, rain, et0 = (values[start:end] for values in arrays)
    return DailyWeather(year=years.astype(np.int64) + 1970, day_of_year=(kept - years).astype(np.int64) + 1,
                        t_min_c=t_min, t_max_c=t_max, rain_mm=rain, et0_mm=et0, southern=southern)
