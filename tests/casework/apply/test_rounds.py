"""Why a stop is in no round, and that nothing else is said of it."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from rootcase.casework.apply.rounds import rounds_of_day
from rootcase.science.rounds.day import Break, Crew, Day, OnBoard, Source, Stop

THERE = np.array([[0.0, 40.0, 45.0], [40.0, 0.0, 10.0], [45.0, 10.0, 0.0]])
STOP = Stop(node=1, product="extract", demand_l=200.0, service_min=30.0)
SOURCE = Source(node=0, product="extract", fill_min=10.0, use_by_min=120.0)
CREW = Crew(start=0, home=0, tank_l=600.0, back_by_min=480.0)
DAY = Day(THERE, (STOP,), (SOURCE,), (CREW,))


@pytest.mark.property
@pytest.mark.parametrize(("day", "why"), [
    (replace(DAY, sources=()), "no_source"),
    (replace(DAY, sources=(replace(SOURCE, use_by_min=70.0),)), "age"),
    (replace(DAY, sources=(replace(SOURCE, use_by_min=inf, keeps_min=60.0),)), "age"),
    (replace(DAY, sources=(), crews=(replace(CREW, on_board=OnBoard("extract", 400.0, use_by_min=50.0)),)), "age"),
    (replace(DAY, sources=(replace(SOURCE, ready_min=450.0, use_by_min=600.0),)), "day"),
    (replace(DAY, stops=(replace(STOP, windows=((0.0, 30.0),)),)), "window"),
    (replace(DAY, stops=(replace(STOP, demand_l=900.0),)), "tank"),
    (replace(DAY, stops=(replace(STOP, crews=frozenset({7})),)), "no_crew"),
    (replace(DAY, crews=(replace(CREW, back_by_min=100.0),)), "day"),
    (replace(DAY, crews=(replace(CREW, back_by_min=125.0, rest=Break(100.0, 110.0, 60.0)),)), "day"),
    (replace(DAY, stops=(STOP, replace(STOP, node=2), replace(STOP, node=2))), "no_room"),
    (replace(DAY, stops=(replace(STOP, demand_l=900.0, crews=frozenset({7})),)), "tank"),
])
def test_a_stop_left_out_says_why(day: Day, why: str) -> None:
    found = rounds_of_day(day, 1, lambda: 0.0)
    assert found.proven
    assert {each.why for each in found.left_out} == {why}


@pytest.mark.property
def test_chips_and_water_go_ahead_without_extract() -> None:
    stops = (STOP, Stop(node=2, service_min=20.0), Stop(node=1, product="water", demand_l=100.0))
    day = replace(DAY, stops=stops, sources=(replace(SOURCE, use_by_min=0.0), Source(node=0, product="water")))
    found = rounds_of_day(day, 1, lambda: 0.0)
    assert found.plan.served == {1, 2}
    assert [(each.stop, each.why) for each in found.left_out] == [(0, "age")]


@pytest.mark.property
def test_a_stop_in_the_yard_is_served_whatever_is_aboard() -> None:
    here = np.zeros((2, 2))
    day = Day(here, (STOP,), (SOURCE,), (replace(CREW, on_board=OnBoard("water", 200.0)),))
    found = rounds_of_day(day, 1, lambda: 0.0)
    assert found.plan.served == {0}


def test_nobody_waits_for_a_rest_that_they_need_not_take() -> None:
    day = replace(DAY, sources=(replace(SOURCE, product="water"),), stops=(replace(STOP, product="water"),),
                  crews=(replace(CREW, rest=Break(200.0, 300.0, 30.0)),))
    assert [(step.kind, step.start_min) for step in rounds_of_day(day, 1, lambda: 0.0).plan.rounds[0]] == [
        ("fill", 0.0), ("stop", 50.0)]


def test_a_day_that_ends_before_its_rest_has_none() -> None:
    late = replace(CREW, rest=Break(300.0, 400.0, 30.0))
    day = replace(DAY, stops=(STOP, Stop(node=1, service_min=20.0)), crews=(late,))
    assert "rest" not in {step.kind for step in rounds_of_day(day, 1, lambda: 0.0).plan.rounds[0]}
