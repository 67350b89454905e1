"""Rounds: a week of five crews, the rest of a day planned anew, published instances, small days proven."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import replace

from bench.work import Work
from rootcase.casework.apply.rounds import rounds_of_day
from rootcase.casework.apply.week import Asked, week_of
from rootcase.records.apply.rounds import Week, Whereabouts
from rootcase.science.rounds.day import travel_of_plan
from rootcase.science.routing.exact import best_plan
from tests.casework.apply.weeks import random_week
from tests.science.routing.test_rounds import PROVEN, PUBLISHED, solomon_day, tank_day, vrp_day

WEEK_S, LONGER_S, INSTANCE_S, REST_S = 50.0, 240.0, 10.0, 4.0


def clock(seconds: float) -> Callable[[], float]:
    began = time.monotonic()
    return lambda: max(0.0, 1.0 - (time.monotonic() - began) / seconds)


def big_week() -> Asked:
    return random_week(1, crews=5, stops_a_day=12)


def told(week: Week) -> str:
    return f"{week.drive_minutes:,.0f} min of driving, {len(week.left_out)} of {5 * 12 * 5} jobs left out"


def gap(name: str) -> str:
    day = solomon_day(name) if name in ("C101", "R101") else vrp_day(name)
    drive = travel_of_plan(day, rounds_of_day(day, 1, clock(INSTANCE_S)).plan)
    return f"{name} {100.0 * (drive / PUBLISHED[name] - 1.0):.2f} %"


def about() -> Work:
    asked = big_week()
    start = time.monotonic()
    week = week_of(asked, 1, clock(WEEK_S))
    took = time.monotonic() - start
    longer = week_of(asked, 2, clock(LONGER_S))
    start = time.monotonic()
    rest = week_of(rest_of_day(asked), 1, clock(REST_S))
    anew = time.monotonic() - start
    start = time.monotonic()
    m1 = best_plan(tank_day("tank_m1"))
    proof = time.monotonic() - start
    assert m1 is not None
    return Work(what=f"A week of 5 crews x 12 stops a day in {took:.0f} s (bar 60 s): {told(week)}; in {LONGER_S:.0f} "
                     f"s: {told(longer)}. The rest of a day after its batches were refused, {len(rest.rounds)} crews "
                     f"out: {anew:.1f} s (bar 5 s). Over the published least in {INSTANCE_S:.0f} s (bar 0.5 %): "
                     f"{', '.join(gap(name) for name in PUBLISHED)}. tank_m1 proven at "
                     f"{travel_of_plan(tank_day('tank_m1'), m1):.0f} min ({PROVEN['tank_m1']:.0f}) in {proof:.1f} s "
                     "(bar: within 3 % in 20 s).",
                unit="day", units=1)


def rest_of_day(asked: Asked) -> Asked:
    """Ten o'clock on the first day, every batch refused."""
    day = asked.days[0]
    waiting = tuple(each for each in asked.waiting if day in each.days)[:60]
    return replace(asked, days=(day,), batches=(), waiting=waiting, whereabouts=tuple(
        Whereabouts(crew_id=crew.id, at_min=600.0, property_id=waiting[at].job.property_id)
        for at, crew in enumerate(asked.fleet.crews)))


def run() -> Mapping[str, Callable[[], object]]:
    small, large = tank_day("tank_p3"), tank_day("tank_m1")
    return {"8 stops, 2 crews, proven": lambda: best_plan(small), "14 stops, 2 crews, proven": lambda: best_plan(large)}
