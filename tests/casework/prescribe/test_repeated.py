"""Programmes: visits made, left out, missed and to come, whatever was agreed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.casework.prescribe.repeated import months_on, programme_state
from rootcase.records.offer import Programme

START = date(2016, 3, 1)
AGREED = Programme("1", "mark", 1, ((START, 3),), date(2017, 3, 1))


def states(programme: Programme, visits: list[date], today: date) -> list[tuple[date, str]]:
    return [(visit.due, visit.state) for visit in programme_state(programme, visits, today).visits]


def test_a_year_of_visits_made_missed_left_out_and_to_come() -> None:
    programme = replace(AGREED, skipped=((date(2016, 7, 1), "drought"),))
    assert states(programme, [date(2016, 3, 20)], date(2016, 8, 1)) == [
        (date(2016, 3, 1), "made"), (date(2016, 7, 1), "skipped"), (date(2016, 11, 1), "ahead")]
    assert states(AGREED, [], date(2016, 8, 1)) == [
        (date(2016, 3, 1), "missed"), (date(2016, 7, 1), "ahead"), (date(2016, 11, 1), "ahead")]
    assert programme_state(programme, [], START).visits[1].told == "drought"


def test_who_was_there_before_the_programme_began_made_none_of_its_visits() -> None:
    assert states(AGREED, [date(2016, 2, 20)], date(2016, 3, 10))[0] == (START, "ahead")
    renewed = replace(AGREED, years=(*AGREED.years, (date(2017, 3, 1), 3)))
    assert states(renewed, [date(2017, 2, 20)], date(2017, 3, 10))[0] == (date(2017, 3, 1), "made")


def test_a_renewal_ahead_of_time_leaves_the_running_year_in_sight() -> None:
    renewed = replace(AGREED, years=(*AGREED.years, (date(2017, 3, 1), 1)), price_until=date(2018, 3, 1))
    assert [due for due, _ in states(renewed, [], date(2017, 1, 10))] == [
        date(2016, 3, 1), date(2016, 7, 1), date(2016, 11, 1), date(2017, 3, 1)]
    assert [due for due, _ in states(renewed, [], date(2017, 3, 2))] == [date(2017, 3, 1)]
    assert programme_state(renewed, [], START).renewal_due == date(2018, 3, 1)


def test_the_price_is_held_to_its_day_and_not_once_it_is_stopped() -> None:
    assert programme_state(AGREED, [], date(2017, 3, 1)).price_held
    assert not programme_state(AGREED, [], date(2017, 3, 2)).price_held
    stopped = replace(AGREED, stopped=date(2016, 5, 1), stopped_because="sold")
    assert not programme_state(stopped, [], date(2016, 6, 1)).price_held
    assert states(stopped, [], date(2016, 6, 1)) == [(date(2016, 3, 1), "missed")]


@pytest.mark.property
@given(st.dates(date(2015, 1, 1), date(2030, 1, 1)), st.integers(1, 52), st.integers(0, 800),
       st.lists(st.integers(0, 500), max_size=6))
def test_visits_stand_in_order_within_the_year_and_each_day_makes_one_at_most(start: date, count: int, after: int,
                                                                             made: list[int]) -> None:
    programme = Programme("1", "mark", 1, ((start, count),), start)
    days = [start + timedelta(days=each) for each in made]
    found = programme_state(programme, days, start + timedelta(days=after))
    dues = [visit.due for visit in found.visits]
    assert len(dues) == count
    assert dues == sorted(dues)
    assert all(start <= due < found.renewal_due for due in dues)
    assert sum(visit.state == "made" for visit in found.visits) <= len(set(days))


@pytest.mark.property
@given(st.dates(date(2000, 1, 1), date(2100, 1, 1)), st.integers(0, 60))
def test_months_on_is_the_same_day_or_the_last_of_a_shorter_month(day: date, months: int) -> None:
    found = months_on(day, months)
    assert (found.year * 12 + found.month) - (day.year * 12 + day.month) == months
    assert found.day == day.day or (found.day < day.day and (found + timedelta(days=1)).day == 1)
