"""A week: every job on a day that allows it, by a crew that may do it, extract young enough."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from rootcase.casework.apply.week import Asked, laid_out, week_of
from rootcase.ground.errors import Missing
from rootcase.records.apply.rounds import Fleet, Week, Whereabouts
from tests.casework.apply.weeks import MONDAY, random_week
from tests.science.routing.test_rounds import turns


def planned(asked: Asked, many: int = 8) -> Week:
    return week_of(asked, 1, turns(many))


@pytest.mark.property
def test_every_job_is_on_a_day_that_allows_it_or_is_left_out_with_a_reason() -> None:
    for seed in range(3):
        asked = random_week(seed)
        week = planned(asked)
        jobs = {each.job.id: each for each in asked.waiting}
        crews = {crew.id: crew for crew in asked.fleet.crews}
        batches = {batch.id: batch for batch in asked.batches}
        seen: Counter[str] = Counter()
        for each in week.rounds:
            for step in each.steps:
                for job in step.job_ids:
                    seen[job] += 1
                    assert each.day in jobs[job].days
                    assert crews[each.crew_id].licensed or not jobs[job].licence
                if step.load_age_minutes is not None:
                    batch = batches[step.batch_id]
                    assert batch.day == each.day
                    assert step.ends_min <= batch.use_by_min + 1e-6
                    assert step.load_age_minutes == pytest.approx(step.ends_min - batch.ready_min)
        left = {each.job.id for each in week.left_out}
        assert set(seen) | left == set(jobs)
        assert len(seen) > len(jobs) // 2


@pytest.mark.property
def test_what_no_tank_holds_is_done_in_parts() -> None:
    asked = random_week(3, crews=1, stops_a_day=1, days=1)
    [first, *_] = asked.waiting
    tank = asked.fleet.trucks[0].tank_l
    job = replace(first.job, product="water", litres=tank * 2.5)
    week = planned(replace(asked, waiting=(replace(first, job=job, days=frozenset((MONDAY,)), licence=False),)))
    stops = [step for each in week.rounds for step in each.steps if step.kind == "stop"]
    assert len(stops) == 3
    assert sum(step.litres for step in stops) == pytest.approx(tank * 2.5)
    assert all(step.litres <= tank for step in stops)


@pytest.mark.property
def test_the_rest_of_a_day_begins_where_the_crews_are() -> None:
    asked = random_week(5, crews=2, stops_a_day=4, days=1)
    refused = replace(asked, batches=(), whereabouts=tuple(
        Whereabouts(crew_id=crew.id, at_min=600.0, property_id=asked.waiting[0].job.property_id, rested=True)
        for crew in asked.fleet.crews))
    week = planned(refused)
    assert {each.job.id for each in week.left_out} >= {each.job.id for each in asked.waiting
                                                       if each.job.product == "extract"}
    assert all(step.starts_min >= 600.0 for each in week.rounds for step in each.steps)
    assert any(step.kind == "stop" for each in week.rounds for step in each.steps)


def test_a_yard_and_a_crew_are_asked_for() -> None:
    asked = random_week(1)
    with pytest.raises(Missing, match="no yard"):
        laid_out(replace(asked, fleet=Fleet()))
    with pytest.raises(Missing, match="no crew works"):
        laid_out(replace(asked, fleet=replace(asked.fleet, crews=())))
