"""Orders that a person arranged over a week stay, and what they break is told by jobs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest

from rootcase.casework.apply.arranged import week_as_arranged
from rootcase.casework.apply.week import Asked, week_of
from rootcase.records.apply.rounds import GivenRound, Week
from tests.casework.apply.weeks import MONDAY, random_week
from tests.science.routing.test_rounds import turns

TUESDAY = MONDAY + timedelta(days=1)


def jobs_of(given: GivenRound) -> list[str]:
    return [job for step in given.steps for job in step.job_ids]


def orders_of(week: Week) -> dict[tuple[date, str], list[str]]:
    return {(each.day, each.crew_id): jobs_of(each) for each in week.rounds}


def one_crew(seed: int, **changed: object) -> Asked:
    asked = random_week(seed, crews=1, stops_a_day=4, days=2)
    every = frozenset((MONDAY, TUESDAY))
    return replace(asked, waiting=tuple(
        replace(each, days=every, licence=False, job=replace(each.job, product="", litres=0.0))
        for each in asked.waiting), **changed)


def whys(week: Week) -> Sequence[str]:
    return [each.why for each in week.broken]


@pytest.mark.property
def test_a_week_that_was_found_breaks_nothing_when_it_is_arranged_just_so() -> None:
    for seed in range(3):
        asked = random_week(seed, stops_a_day=2, days=2)
        found = week_of(asked, 1, turns(4))
        arranged = week_as_arranged(asked, orders_of(found))
        assert orders_of(arranged) == orders_of(found)
        assert [each for each in whys(arranged) if each != "batch"] == []  # each round takes the batch that suits it
        assert {each.job.id for each in arranged.left_out} == {each.job.id for each in found.left_out}
        assert all(each.moved_by_hand for each in arranged.rounds)


@pytest.mark.property
def test_an_order_stays_as_it_was_arranged() -> None:
    asked = one_crew(4)
    order = [each.job.id for each in asked.waiting][::-1]
    week = week_as_arranged(asked, {(MONDAY, "c0"): order[:3], (TUESDAY, "c0"): order[3:5]})
    assert [jobs_of(each) for each in week.rounds] == [order[:3], order[3:5]]
    assert {each.job.id for each in week.left_out} == set(order[5:])
    assert {each.why for each in week.left_out} == {"by_hand"}


def test_a_job_moved_to_a_day_that_does_not_allow_it_is_done_and_told() -> None:
    asked = one_crew(4)
    first, *others = asked.waiting
    asked = replace(asked, waiting=(replace(first, days=frozenset((MONDAY,))), *others))
    week = week_as_arranged(asked, {(TUESDAY, "c0"): [first.job.id]})
    assert [(each.why, each.day, each.job_ids) for each in week.broken] == [("closed", TUESDAY, (first.job.id,))]
    assert jobs_of(week.rounds[0]) == [first.job.id]


def test_a_licence_a_crew_that_is_gone_and_a_long_day_are_told() -> None:
    asked = one_crew(4)
    first, *others = asked.waiting
    crew, = asked.fleet.crews
    unlicensed = replace(asked.fleet, crews=(replace(crew, licensed=False, back_by_min=crew.leaves_min + 60.0),))
    asked = replace(asked, fleet=unlicensed, waiting=(replace(first, licence=True), *others))
    order = [each.job.id for each in asked.waiting]
    told = week_as_arranged(asked, {(MONDAY, "c0"): order, (TUESDAY, "c9"): order[:1]})
    assert whys(told) == ["licence", "home"]
    assert whys(week_as_arranged(asked, {(MONDAY, "c9"): order[:1]})) == ["no_crew"]


def test_extract_is_told_by_its_age_and_where_there_is_none() -> None:
    asked = one_crew(4)
    first = asked.waiting[0]
    job = replace(first.job, product="extract", litres=50.0, pace=replace(first.job.pace, minutes=85.0))
    far = replace(first, job=job, latitude_deg=36.07)
    batch = replace(asked.batches[0], day=MONDAY, ready_min=450.0, use_by_min=510.0, litres=40.0)
    asked = replace(asked, waiting=(far,), batches=(batch,))
    week = week_as_arranged(asked, {(MONDAY, "c0"): [job.id]})
    age, batch_told = week.broken
    assert (age.why, age.allowed) == ("age", 60.0)
    step = next(each for each in week.rounds[0].steps if each.kind == "stop")
    assert age.is_ == pytest.approx(step.ends_min - 450.0) == step.load_age_minutes
    assert (batch_told.why, batch_told.is_, batch_told.allowed) == ("batch", 50.0, 40.0)
    nothing = week_as_arranged(replace(asked, batches=()), {(MONDAY, "c0"): [job.id]})
    assert whys(nothing) == ["no_source"]
    fill = nothing.rounds[0].steps[0]
    assert (fill.kind, fill.fill_point_id, fill.batch_id) == ("fill", "", "")


def test_jobs_that_are_done_are_passed_over() -> None:
    asked = one_crew(4)
    week = week_as_arranged(asked, {(MONDAY, "c0"): ["done", asked.waiting[0].job.id]})
    assert jobs_of(week.rounds[0]) == [asked.waiting[0].job.id]


def test_a_place_that_is_come_to_twice_stays_two_stops() -> None:
    asked = one_crew(4)
    first, between, again = asked.waiting[:3]
    same = replace(again, job=replace(again.job, property_id=first.job.property_id, place_id=first.job.place_id),
                   latitude_deg=first.latitude_deg, longitude_deg=first.longitude_deg)
    order = [each.job.id for each in (first, between, same)]
    known = replace(asked, waiting=(first, between, same))

    def stops(asked: Asked) -> list[tuple[str, ...]]:
        [given] = week_as_arranged(asked, {(MONDAY, "c0"): order}).rounds
        return [step.job_ids for step in given.steps if step.job_ids]

    assert stops(known) == [(order[0], order[2]), (order[1],)]
    assert stops(replace(known, visits={job: at for at, job in enumerate(order)})) == [(each,) for each in order]


def test_a_job_in_parts_is_named_as_often() -> None:
    asked = one_crew(4)
    first = asked.waiting[0]
    tank = asked.fleet.trucks[0].tank_l
    job = replace(first.job, product="water", litres=tank * 2.0)
    asked = replace(asked, waiting=(replace(first, job=job),))
    week = week_as_arranged(asked, {(MONDAY, "c0"): [job.id], (TUESDAY, "c0"): [job.id]})
    assert [[step.litres for step in each.steps if step.kind == "stop"] for each in week.rounds] == [[tank], [tank]]
