"""Which days count, north and south."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.science.tree.season import DailyWeather, growing_days, is_watered, season_of
from tests.archetypes import greensboro_twice, seattle


@pytest.mark.reference
def test_buds_break_when_the_prototype_saw_them_break() -> None:
    season = season_of(greensboro_twice(), 45)
    assert str(greensboro_twice().dates[season.spring[0]]) == "2002-03-28"
    assert len(season.rain_mm) == 496
    breaks = [str(seattle(year).dates[season_of(seattle(year), 45).spring[0]])[5:] for year in (2013, 2014, 2015)]
    assert min(breaks) == "03-21"
    assert max(breaks) == "04-23"


@pytest.mark.property
def test_the_bud_set_window_is_from_15_july_to_15_september_of_the_year_before() -> None:
    season = season_of(seattle(2013), 45)  # 2012 is a leap year
    dates = seattle(2013).dates
    assert (str(dates[season.bud_set[0]]), str(dates[season.bud_set[1] - 1])) == ("2012-07-15", "2012-09-15")
    assert season.spring[1] - season.spring[0] == 45


@pytest.mark.property
def test_leaves_grow_stand_and_fall() -> None:
    season = season_of(greensboro_twice(), 45)
    assert season.leaf[0] == 0.0
    assert season.leaf[200] == 1.0
    first_bud_break = 86
    assert season.leaf[first_bud_break] == 0.0
    assert season.leaf[first_bud_break + 15] == pytest.approx(0.5)
    assert season.leaf[288 + 15] == pytest.approx(0.5)  # 16 October is day 289
    assert season.leaf[340] == 0.0
    assert season.leaf[-1] == 1.0


@pytest.mark.property
def test_the_south_has_the_same_year_six_months_later() -> None:
    north = greensboro_twice()
    dates = np.datetime64("2001-07-01") + np.arange(730)
    year = dates.astype("datetime64[Y]").astype(np.int64) + 1970
    south = replace(north, year=year, southern=True,
                    day_of_year=(dates - dates.astype("datetime64[Y]")).astype(np.int64) + 1)
    ours, theirs = season_of(south, 45), season_of(north, 45)
    assert ours.spring == theirs.spring
    assert (str(dates[ours.bud_set[0]]), str(dates[ours.bud_set[1] - 1])) == ("2002-01-15", "2002-03-15")
    assert growing_days(south, 2002).dates[0] == np.datetime64("2001-07-01")
    assert ours.leaf[int(np.flatnonzero(dates == np.datetime64("2002-05-01"))[0])] == pytest.approx(0.5)


@pytest.mark.property
def test_weather_that_ends_too_early_says_how_far_it_must_reach() -> None:
    weather = seattle(2015)
    cut = DailyWeather(**{name: getattr(weather, name)[:470] for name in (
        "year", "day_of_year", "t_min_c", "t_max_c", "rain_mm", "et0_mm")})
    with pytest.raises(Missing, match=r"ends before the shoots do .got 2015-04-15.; it must reach 2015-05-04"):
        season_of(cut, 45)


@pytest.mark.property
def test_weather_that_begins_too_late_or_has_a_gap_is_refused() -> None:
    with pytest.raises(Missing, match="it must begin by 2013-01-01"):
        growing_days(seattle(2015), 2014)
    weather = greensboro_twice()
    with pytest.raises(OutOfRange, match=r"a gap or a day twice .got after 2001-01-09"):
        replace(weather, day_of_year=np.where(np.arange(730) == 9, 11, weather.day_of_year))
    with pytest.raises(OutOfRange, match="rain_mm is not a number on every day"):
        replace(weather, rain_mm=np.full(730, np.nan))
    for name in ("rain_mm", "et0_mm"):
        with pytest.raises(OutOfRange, match=rf"{name} is outside its range .got -999 mm"):
            replace(weather, **{name: np.full(730, -999.0)})


@pytest.mark.property
def test_buds_that_never_break_are_named() -> None:
    cold = replace(greensboro_twice(), t_min_c=np.full(730, -5.0), t_max_c=np.full(730, 5.0))
    with pytest.raises(Missing, match="buds do not break in this weather"):
        season_of(cold, 45)


@pytest.mark.property
def test_watering_keeps_its_days() -> None:
    year = np.arange(1, 366)
    assert is_watered(3, 121, 273, year).sum() == 51  # 153 days, every third
    assert np.flatnonzero(is_watered(10, 350, 20, year)).tolist() == [4, 14, 349, 359]  # over New Year


def test_windows_that_overlap_are_refused() -> None:
    season = season_of(greensboro_twice(), 45)
    with pytest.raises(OutOfRange, match=r"the windows overlap .got bud set to day 500, spring from day"):
        replace(season, bud_set=(195, 500))
