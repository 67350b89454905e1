"""Every plan can be driven, small ones are the best there is, and published ones are found."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from math import inf
from pathlib import Path

import numpy as np
import pytest

from rootcase.science.rounds.day import Crew, Day, Plan, Source, Step, Stop, travel_of_plan
from rootcase.science.rounds.legal import faults_of_plan
from rootcase.science.routing import order as of_order
from rootcase.science.routing.exact import best_plan
from rootcase.science.routing.large import orders_of_large_day
from rootcase.science.routing.order import round_in_order, timed
from rootcase.science.routing.packed import packed
from rootcase.science.routing.search import searched_plan
from tests.science.routing.every_round import least_drive
from tests.science.routing.random_days import random_day

DATA = Path(__file__).parents[2] / "data" / "routing"
PROVEN = {"tank_p1": 169.0, "tank_p2": 172.0, "tank_p3": 279.0, "tank_p4": 288.0, "tank_m1": 319.0}
"""Minutes driven; proven by two other programs, see tests/data/README.md."""
PUBLISHED = {"E-n22-k4": 375.0, "A-n32-k5": 784.0, "C101": 8273.0, "R101": 16377.0}
"""Best known and proven: the instances' own comments and .sol files; C101 and R101 in tenths (DIMACS rounding)."""


def turns(many: int) -> Callable[[], float]:
    count = iter(range(many, -1, -1))
    return lambda: next(count, 0) / many


def tank_day(name: str) -> Day:
    told = json.loads((DATA / f"{name}.json").read_text(encoding="utf-8"))
    keeps = told["max_load_age_min"]
    sources = tuple(Source(node=at, product="liquid", fill_min=told["fill_min"][where],
                           keeps_min=inf if keeps is None else keeps)
                    for at, where in enumerate(("depot", "hydrant")))
    stops = tuple(Stop(node=at, product="liquid", demand_l=told["demand_l"][at], service_min=told["service_min"][at],
                       windows=(tuple(told["window"][at]),)) for at in range(2, len(told["node_names"])))
    crew = Crew(start=0, home=0, tank_l=told["tank_l"], back_by_min=told["day_min"])
    return Day(np.array(told["travel_min"], dtype=float), stops, sources, (crew,) * told["crews"])


@pytest.mark.reference
@pytest.mark.parametrize("name", PROVEN)
def test_tank_days_are_solved_to_their_proven_least(name: str) -> None:
    day = tank_day(name)
    plan = best_plan(day)
    assert plan is not None
    assert faults_of_plan(day, plan) == ()
    assert len(plan.served) == len(day.stops)
    assert travel_of_plan(day, plan) == PROVEN[name]


@pytest.mark.property
def test_small_days_are_the_best_there_is(long: bool) -> None:
    """Against trying everything."""
    for seed in range(400 if long else 12):
        day = random_day(seed, stops=2 + seed % (3 if long else 2), crews=1 + seed % 2)
        day = replace(day, sources=tuple(replace(source, holds_l=inf) for source in day.sources))
        plan = best_plan(day)
        assert plan is not None
        assert faults_of_plan(day, plan) == (), seed
        served, drive = least_drive(day)
        assert sum(day.stops[stop].weight for stop in plan.served) == served, seed
        assert travel_of_plan(day, plan) == pytest.approx(drive), seed


@pytest.mark.property
def test_every_plan_can_be_driven(long: bool) -> None:
    served = 0
    for seed in range(2000 if long else 50):
        day = random_day(1000 + seed)
        start = orders_of_large_day(day, seed, turns(20)) if seed % 3 == 0 else ()
        plan = searched_plan(day, seed, turns(15), start)
        assert faults_of_plan(day, plan) == (), seed
        served += len(plan.served)
    assert served > 0


@pytest.mark.property
def test_a_tighter_age_never_makes_a_day_cheaper(long: bool) -> None:
    for seed in range(200 if long else 12):
        day = random_day(5000 + seed, stops=5, crews=2)
        before = (inf, 0.0)
        for age in (30.0, 60.0, 90.0, 150.0, 300.0, inf):
            loose = replace(day, sources=tuple(replace(source, keeps_min=age, holds_l=inf) for source in day.sources))
            plan = best_plan(loose)
            assert plan is not None
            undone = sum(stop.weight for at, stop in enumerate(day.stops) if at not in plan.served)
            now = (undone, travel_of_plan(loose, plan))
            assert now <= (before[0], before[1] + 1e-9), (seed, age)
            before = now


@pytest.mark.property
def test_an_order_that_is_given_stays() -> None:
    for seed in range(40):
        day = random_day(9000 + seed, stops=4, crews=1)
        order = [int(each) for each in np.random.default_rng(seed).permutation(4)]
        steps = round_in_order(day, 0, order)
        if steps is not None:
            assert [step.index for step in steps if step.kind == "stop"] == order
            assert [fault for fault in faults_of_plan(day, Plan((steps,))) if fault.why != "batch"] == []


@pytest.mark.property
def test_one_order_is_timed_as_the_search_times_it_and_nothing_is_compiled_for_it(
        monkeypatch: pytest.MonkeyPatch) -> None:
    days = [random_day(9000 + seed, stops=4, crews=1) for seed in range(25)]
    searched = [timed(day, packed(day), 0, [2, 0]) for day in days]
    assert len([each for each in searched if each]) > 3

    def compiles(*_: object) -> None:
        raise AssertionError("a compiled loop was called")

    for loop in ("extend", "best_home"):
        monkeypatch.setattr(of_order, loop, compiles)
    assert [round_in_order(day, 0, [2, 0]) for day in days] == searched
    assert not [name for name, each in of_order._as_written().items() if hasattr(each, "signatures")]


@pytest.mark.published
@pytest.mark.parametrize("name", ["E-n22-k4", "A-n32-k5", "C101", "R101"])
def test_published_instances_are_met(name: str, long: bool) -> None:
    """Within 0.5 % with the turns of ten seconds; the quick tier has fewer and stays within 5 %."""
    day = solomon_day(name) if name in ("C101", "R101") else vrp_day(name)
    many = (4000, 300) if long else (150, 2)
    start = orders_of_large_day(day, 1, turns(many[0]))
    plan = searched_plan(day, 1, turns(many[1]), start)
    assert faults_of_plan(day, plan) == ()
    assert len(plan.served) == len(day.stops)
    drive = travel_of_plan(day, plan)
    assert PUBLISHED[name] <= drive <= PUBLISHED[name] * (1.005 if long else 1.05)


def vrp_day(name: str) -> Day:
    rows: dict[str, list[list[str]]] = {}
    section, capacity = "", 0.0
    for line in (DATA / f"{name}.vrp").read_text(encoding="utf-8").splitlines():
        words = line.split() or [""]
        if words[0].isupper() and words[0].endswith("_SECTION"):
            section = words[0]
        elif words[0].startswith("CAPACITY"):
            capacity = float(words[-1])
        elif section and words[0] != "EOF":
            rows.setdefault(section, []).append(words)
    places = np.array([[float(each) for each in row[1:]] for row in rows["NODE_COORD_SECTION"]])
    drives = np.rint(np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1)))
    stops = tuple(Stop(node=at, product="goods", demand_l=float(row[1]))
                  for at, row in enumerate(rows["DEMAND_SECTION"]) if at)
    crew = Crew(start=0, home=0, tank_l=capacity, back_by_min=99_999.0)
    return Day(drives, stops, (Source(node=0, product="goods"),), (crew,) * int(name[-1]))


def solomon_day(name: str) -> Day:
    lines = [line.split() for line in (DATA / f"{name}.txt").read_text(encoding="utf-8").splitlines()]
    capacity = float(lines[next(at for at, words in enumerate(lines) if words[:1] == ["NUMBER"]) + 1][1])
    rows = np.array([[float(each) for each in words] for words in lines if len(words) == 7 and words[0].isdigit()])
    drives = np.floor(10.0 * np.hypot(*(rows[:, None, 1:3] - rows[None, :, 1:3]).transpose(2, 0, 1)) + 1e-9)
    stops = tuple(Stop(node=at, product="goods", demand_l=row[3], service_min=10.0 * row[6],
                       windows=((10.0 * row[4], 10.0 * row[5]),)) for at, row in enumerate(rows) if at)
    crew = Crew(start=0, home=0, tank_l=capacity, back_by_min=10.0 * rows[0, 5])
    return Day(drives, stops, (Source(node=0, product="goods"),), (crew,) * 25)


@pytest.mark.property
@pytest.mark.parametrize(("change", "why"), [
    ({"sources": lambda day: tuple(replace(each, use_by_min=30.0) for each in day.sources)}, "age"),
    ({"sources": lambda day: tuple(replace(each, ready_min=500.0) for each in day.sources)}, "before_ready"),
    ({"sources": lambda day: tuple(replace(each, holds_l=10.0) for each in day.sources)}, "batch"),
    ({"sources": lambda day: tuple(replace(each, product="other") for each in day.sources)}, "product"),
    ({"stops": lambda day: tuple(replace(each, windows=((0.0, 1.0),)) for each in day.stops)}, "late"),
    ({"stops": lambda day: tuple(replace(each, service_min=99.0) for each in day.stops)}, "length"),
    ({"stops": lambda day: tuple(replace(each, crews=frozenset({9})) for each in day.stops)}, "crew"),
    ({"crews": lambda day: tuple(replace(each, tank_l=1.0) for each in day.crews)}, "empty"),
    ({"crews": lambda day: tuple(replace(each, back_by_min=20.0) for each in day.crews)}, "home"),
    ({"travel_min": lambda day: day.travel_min * 3.0}, "too_soon"),
])
def test_the_checker_sees_each_thing_broken(change: dict[str, Callable[[Day], object]], why: str) -> None:
    day = tank_day("tank_p3")
    plan = best_plan(day)
    assert plan is not None
    broken = replace(day, **{name: made(day) for name, made in change.items()})
    assert why in {fault.why for fault in faults_of_plan(broken, plan)}


def test_the_checker_sees_a_stop_served_twice() -> None:
    day = Day(np.zeros((1, 1)), (Stop(node=0),), (), (Crew(start=0, home=0, tank_l=0.0, back_by_min=60.0),))
    twice = Plan(((Step("stop", 0, 0.0, 0.0), Step("stop", 0, 0.0, 0.0)),))
    assert [fault.why for fault in faults_of_plan(day, twice)] == ["twice"]


@pytest.mark.property
def test_a_fill_is_not_put_off_beyond_the_age_of_its_batch_for_the_sake_of_a_later_stop() -> None:
    there = np.array([[0.0, 10.0], [10.0, 0.0]])
    day = Day(there, (Stop(node=1, product="extract", demand_l=50.0, service_min=20.0),
                      Stop(node=1, windows=((300.0, 400.0),))),
              (Source(node=0, product="extract", use_by_min=100.0, keeps_min=80.0),),
              (Crew(start=0, home=0, tank_l=600.0, back_by_min=480.0),))
    steps = round_in_order(day, 0, [0, 1])
    assert steps is not None
    assert faults_of_plan(day, Plan((steps,))) == ()
