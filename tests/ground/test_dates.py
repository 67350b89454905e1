"""Days as people write them, and seasons on both halves of the earth."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.dates import last_finished_season, read_date, season_day, season_year, show_date
from rootcase.ground.errors import UnreadableValue

NORTH, SOUTH = 47.6, -37.8
DAYS = st.dates(date(1850, 1, 1), date(2100, 12, 31))


@pytest.mark.parametrize("text", [
    "2015-11-04", "2015/11/4", "2015-11-04 00:00:00", "4 Nov 2015", "4 November 2015", "4. Nov. 2015",
    "4th November 2015", "Nov 4, 2015", "november 4th 2015", "4-Nov-2015", "  4  Nov 2015 ",
])
def test_one_day_in_many_forms(text: str) -> None:
    assert read_date(text) == date(2015, 11, 4)


def test_a_day_that_can_be_two_days_names_both_and_an_order_decides() -> None:
    with pytest.raises(UnreadableValue, match=r"4 November 2015 or 11 April 2015 .*write it as 2015-11-04"):
        read_date("11/4/2015")
    assert read_date("11/4/2015", "month_first") == date(2015, 11, 4)
    assert read_date("11/4/2015", "day_first") == date(2015, 4, 11)


@pytest.mark.parametrize(("text", "day"), [("11/13/2015", date(2015, 11, 13)), ("13.11.2015", date(2015, 11, 13)),
                                           ("4/4/2015", date(2015, 4, 4)), ("29 Feb 2012", date(2012, 2, 29))])
def test_only_one_reading_is_possible(text: str, day: date) -> None:
    assert read_date(text) == day


@pytest.mark.parametrize("text", ["", "spring", "31/4/2015", "30 Feb 2015", "29 Feb 2015", "11/4/15", "4 Nav 2015",
                                  "2015-13-01", "4 J 2015"])
def test_what_is_no_day_is_refused(text: str) -> None:
    with pytest.raises(UnreadableValue, match=r"this is not a date .*write it as 2015-11-04 or 4 Nov 2015"):
        read_date(text)


def test_an_order_is_not_bent() -> None:
    with pytest.raises(UnreadableValue, match="not a date"):
        read_date("13/11/2015", "month_first")


@given(DAYS)
def test_what_is_shown_is_read_back(day: date) -> None:
    assert read_date(show_date(day)) == read_date(day.isoformat()) == day


@given(DAYS)
def test_in_the_south_a_season_runs_july_to_june(day: date) -> None:
    assert season_year(day, NORTH) == day.year
    assert season_year(day, SOUTH) == season_year(day + timedelta(days=184), NORTH) or day.month in (6, 7)
    assert season_year(date(day.year, 7, 1), SOUTH) == season_year(date(day.year + 1, 6, 30), SOUTH) == day.year + 1


@pytest.mark.parametrize(("day", "latitude", "season"), [
    (date(2015, 6, 20), NORTH, 2014), (date(2015, 6, 21), NORTH, 2015), (date(2015, 12, 31), NORTH, 2015),
    (date(2015, 12, 20), SOUTH, 2015), (date(2015, 12, 21), SOUTH, 2016), (date(2016, 6, 30), SOUTH, 2016),
    (date(2016, 7, 1), SOUTH, 2016),
])
def test_the_last_finished_season_turns_at_midsummer(day: date, latitude: float, season: int) -> None:
    assert last_finished_season(day, latitude) == season


@given(DAYS)
def test_a_day_of_the_southern_season_lies_half_a_year_off(day: date) -> None:
    north, south = season_day(day, NORTH), season_day(day, SOUTH)
    assert north == day.timetuple().tm_yday
    assert 1 <= south <= 366
    assert abs(north - south) == 183
