"""A week is planned, kept, given out, arranged by hand, and the rest of a day planned anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import monotonic

import pytest

from rootcase.casework.apply.batches import JudgedBatch, extract_to_plan
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.records.apply.rounds import GivenRound, GivenStep, Waiting, Week
from rootcase.services import week as services
from rootcase.services.fleet import fleet, take, usual_cells
from rootcase.services.week import (
    Known,
    Move,
    arrange,
    broken_now,
    give_round,
    keep_arranged,
    known_of,
    plan_week,
    proposed,
    replan_day,
    take_round_back,
    whole_week,
)
from tests.casework.apply.weeks import MONDAY, YARD_DEG, random_week

TUESDAY = MONDAY + timedelta(days=1)
DAYS = (MONDAY, TUESDAY)
NOW = datetime(2026, 4, 6, 10, 0, tzinfo=UTC)  # six in the yard


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_fieldbook(tmp_path / "own.sqlite", now=lambda: NOW) as opened:
        for what, cells in (
                ("fill_point", {"name": "yard", "where": f"{YARD_DEG[0]}, {YARD_DEG[1]}", "fill": "15", "yard": "yes",
                                "time_zone": "America/New_York"}),
                ("truck", {"name": "truck 1", "tank": "300 gal"}),
                ("crew", usual_cells("crew", "us") | {"name": "crew 1", "truck": "truck 1", "people": "rs"}),
                ("batch", {"day": "2026-04-06", "ready": "7:30", "volume": "300 gal"}),
                ("batch", {"day": "2026-04-07", "ready": "7:30", "volume": "300 gal"})):
            assert not take(opened, what, cells, "rs", "us")  # type: ignore[arg-type]
        yield opened


def jobs(days: tuple = DAYS) -> tuple[Waiting, ...]:  # type: ignore[type-arg]
    """Two with extract near by, one with water, two with neither."""
    made = random_week(2, crews=1, stops_a_day=5, days=1).waiting
    products = (("extract", 150.0), ("extract", 150.0), ("water", 200.0), ("", 0.0), ("", 0.0))
    pace = replace(made[0].job.pace, minutes=10.0)
    return tuple(replace(each, days=frozenset(days), licence=False, latitude_deg=YARD_DEG[0] + 0.004 * at,
                         longitude_deg=YARD_DEG[1],
                         job=replace(each.job, product=product, litres=litres, pace=pace))
                 for at, (each, (product, litres)) in enumerate(zip(made, products, strict=True)))


def now_known(book: Fieldbook, waiting: tuple[Waiting, ...]) -> Known:
    return known_of(book, waiting, {}, MONDAY, DAYS)


def served(week: Week) -> set[str]:
    return {job for each in week.rounds for step in each.steps for job in step.job_ids}


def stops(given: GivenRound) -> list[tuple[str, ...]]:
    return [step.job_ids for step in given.steps if step.kind == "stop"]


def test_a_week_is_planned_once_and_kept(book: Fieldbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    waiting = jobs()
    shut = replace(waiting[-1], days=frozenset())
    known = replace(now_known(book, (*waiting[:-1], shut)),
                    closed={(shut.job.id, MONDAY): "saturated", (shut.job.id, TUESDAY): "saturated"})
    assert proposed(known, tmp_path / "kept", 1.0) is None
    week = plan_week(known, tmp_path / "kept", 1.0)
    assert served(week) == {each.job.id for each in waiting[:-1]}
    assert [(each.job.id, each.why) for each in week.left_out] == [(shut.job.id, "saturated")]
    monkeypatch.setattr(services, "week_of", None)
    assert plan_week(known, tmp_path / "kept", 1.0) == week == proposed(known, tmp_path / "kept", 1.0)
    assert proposed(replace(known, waiting=waiting[:2]), tmp_path / "kept", 1.0) is None


def test_a_round_that_was_given_stands_and_the_rest_is_planned_beside_it(book: Fieldbook) -> None:
    waiting = jobs()
    week = plan_week(now_known(book, waiting), seconds=1.0)
    first = week.rounds[0]
    give_round(book, first, "rs")
    known = now_known(book, waiting)
    assert [(each.day, each.given_by, each.steps) for each in known.given] == [(first.day, "rs", first.steps)]
    again = plan_week(known, seconds=1.0)
    assert not served(again) & {job for jobs in stops(first) for job in jobs}
    assert (first.day, first.crew_id) not in {(each.day, each.crew_id) for each in again.rounds}
    assert served(whole_week(known, again)) == {each.job.id for each in waiting}
    assert broken_now(known) == ()
    take_round_back(book, known.given[0], "rs")
    assert now_known(book, waiting).given == ()


@pytest.mark.parametrize("hour", ["12:45", None])
def test_a_round_whose_batch_is_gone_says_so_and_nothing_reckoned_by_another(book: Fieldbook, hour: str | None) -> None:
    waiting = jobs((MONDAY,))
    given = plan_week(now_known(book, waiting), seconds=1.0).rounds[0]
    give_round(book, given, "rs")
    fill = next(step for step in given.steps if step.batch_id)
    gets = [step.job_ids for step in given.steps if step.load_age_minutes is not None]
    planned = {"day": "2026-04-06", "ready": "7:30", "volume": "300 gal"}
    assert not take(book, "batch", planned | {"id": fill.batch_id, "gone": "yes"}, "rs", "us")
    if hour:
        assert not take(book, "batch", planned | {"ready": hour}, "rs", "us")
    found = broken_now(now_known(book, waiting))
    assert [(each.why, each.job_ids) for each in found if each.why == "batch_gone"] == [("batch_gone", gets[0])]
    assert not {each.why for each in found} & {"age", "no_source"}


def test_an_order_moved_by_hand_is_respected_kept_and_checked_again(book: Fieldbook) -> None:
    waiting = jobs()
    known = now_known(book, waiting)
    week = plan_week(known, seconds=1.0)
    moved_jobs = stops(week.rounds[0])[-1]
    crew = known.fleet.crews[0].id
    arranged, touched = arrange(known, week, Move(moved_jobs, MONDAY, crew, 0))
    assert stops(arranged.rounds[0])[0] == moved_jobs
    assert touched == ((MONDAY, crew),)
    keep_arranged(book, known, arranged, touched, "rs")
    known = now_known(book, waiting)
    assert [(each.given_by, each.moved_by_hand) for each in known.given] == [("", True)]
    assert stops(known.given[0])[0] == moved_jobs
    # The soil is read anew, and Monday is closed for it.
    shut = tuple(replace(each, days=frozenset((TUESDAY,))) if each.job.id in moved_jobs else each for each in waiting)
    before = {(each.why, each.job_ids) for each in arranged.broken}
    assert {(each.why, each.job_ids) for each in broken_now(now_known(book, waiting))} == before
    assert {(each.why, each.job_ids) for each in broken_now(now_known(book, shut))} == before | {("closed", moved_jobs)}


def test_a_round_that_comes_to_a_place_twice_is_checked_as_it_stands(book: Fieldbook) -> None:
    # Joined, the two would be asked of one tank at the first visit.
    first, other, *_, chips = jobs((MONDAY,))
    there = replace(first, job=replace(first.job, id="again"))
    known = now_known(book, (first, chips, there))
    crew = known.fleet.crews[0].id

    def stop(job: Waiting, at: float) -> GivenStep:
        return GivenStep(kind="stop", starts_min=at, ends_min=at + 20.0, property_id=job.job.property_id,
                         job_ids=(job.job.id,), litres=job.job.litres)

    given = GivenRound(id="r", day=MONDAY, crew_id=crew, given_by="rs",
                       steps=(stop(first, 480.0), stop(chips, 520.0), stop(there, 560.0)))
    seen = []

    def spied(asked: object, orders: object, *more: object) -> Week:
        seen.append(asked)
        return services_arranged(asked, orders, *more)  # type: ignore[arg-type]

    services_arranged = services.week_as_arranged
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(services, "week_as_arranged", spied)
        broken_now(replace(known, given=(given,)))
    assert {job: at for asked in seen for job, at in asked.visits.items()} == {  # type: ignore[attr-defined]
        first.job.id: 0, chips.job.id: 1, "again": 2}
    assert other.job.place_id == first.job.place_id


def test_a_stop_goes_to_another_day_and_out_of_all_rounds(book: Fieldbook) -> None:
    waiting = jobs()
    known = now_known(book, waiting)
    week = plan_week(known, seconds=1.0)
    here = week.rounds[0]
    there = TUESDAY if here.day == MONDAY else MONDAY
    jobs_moved = stops(here)[0]
    give_round(book, here, "rs")
    known = now_known(book, waiting)
    arranged, touched = arrange(known, whole_week(known, None), Move(jobs_moved, there, here.crew_id, 5))
    assert {each.day: jobs_moved in stops(each) for each in arranged.rounds} == {here.day: False, there: True}
    keep_arranged(book, known, arranged, touched, "hz")
    known = now_known(book, waiting)
    assert {each.day: each.given_by for each in known.given} == {here.day: "hz", there: ""}
    out, touched = arrange(known, whole_week(known, None), Move(jobs_moved))
    assert touched == ((there, here.crew_id),)
    keep_arranged(book, known, out, touched, "hz")
    assert [each.day for each in now_known(book, waiting).given] == [here.day]
    with pytest.raises(Missing, match="crew"):
        arrange(known, whole_week(known, None), Move(jobs_moved, MONDAY + timedelta(days=6), here.crew_id))


def test_a_stop_moved_in_the_middle_of_a_day_leaves_what_is_behind_and_begins_where_the_crew_is(book: Fieldbook
                                                                                              ) -> None:
    waiting = jobs((MONDAY,))
    [given] = plan_week(now_known(book, waiting), seconds=1.0).rounds
    give_round(book, given, "rs")
    first, *_, last = stops(given)
    now = next(step.ends_min for step in given.steps if step.job_ids == first) + 1.0
    left = tuple(each for each in waiting if each.job.id not in first)
    known = replace(now_known(book, left), now_min=now)
    arranged, touched = arrange(known, whole_week(known, None), Move(last, MONDAY, given.crew_id, 0))
    [moved] = arranged.rounds
    behind = tuple(step for step in given.steps if step.ends_min < now)
    assert moved.steps[:len(behind)] == behind
    assert all(step.starts_min >= now for step in moved.steps[len(behind):])
    assert stops(moved)[:2] == [first, last]
    assert served(arranged) == {each.job.id for each in waiting}
    keep_arranged(book, known, arranged, touched, "hz")
    again = replace(now_known(book, left), now_min=now)
    shut = replace(again, waiting=tuple(replace(each, days=frozenset((TUESDAY,))) if each.job.id in last else each
                                        for each in left))
    assert [(each.why, each.job_ids) for each in broken_now(shut) if each.why == "closed"] == [("closed", last)]
    with pytest.raises(ImpossibleValue, match="logged already"):
        arrange(again, whole_week(again, None), Move(first, MONDAY, given.crew_id, 3))


def test_a_refused_batch_plans_the_rest_anew_and_chips_and_water_go_ahead(book: Fieldbook) -> None:
    waiting = jobs((MONDAY,))
    week = plan_week(now_known(book, waiting), seconds=1.0)
    [given] = week.rounds
    assert served(week) == {each.job.id for each in waiting}
    give_round(book, given, "rs")
    known = now_known(book, waiting)
    refused = JudgedBatch(id="b", day=MONDAY, ended_min=455.0, fit=False)
    planned = [each for each in known.extract.batches if each.day == MONDAY]
    known = replace(known, now_min=470.0, extract=extract_to_plan(planned, [refused], MONDAY, 470.0))
    first = waiting[3].job.id
    rest = replace(known, waiting=tuple(each for each in waiting if each.job.id != first))
    at = next(at for at, step in enumerate(given.steps) if step.job_ids == (first,))
    rest = replace(rest, logged={(MONDAY, given.crew_id): frozenset({at})})
    start = monotonic()
    new = replan_day(rest)
    assert monotonic() - start < 5.0
    assert served(new) >= {waiting[2].job.id, waiting[4].job.id}
    assert {each.job.id: each.why for each in new.left_out} == {each.job.id: "no_source" for each in waiting[:2]}
    assert all(not step.batch_id for step in new.rounds[0].steps)
    assert all(step.starts_min >= 470.0 for step in new.rounds[0].steps if first not in step.job_ids)
    assert new.rounds[0].given_by == ""


def test_the_rest_of_a_day_takes_what_is_left_of_a_job_that_no_tank_holds(book: Fieldbook) -> None:
    (wet, *_) = jobs((MONDAY,))
    tank_l = fleet(book).trucks[0].tank_l
    large = replace(wet, job=replace(wet.job, litres=1.6 * tank_l))
    known = now_known(book, (large,))
    plenty = tuple(replace(each, litres=5.0 * tank_l, use_by_min=900.0) for each in known.extract.batches)
    known = replace(known, extract=replace(known.extract, batches=plenty))
    [given] = plan_week(known, seconds=1.0).rounds
    halves = [at for at, step in enumerate(given.steps) if step.kind == "stop"]
    assert [(given.steps[at].part, given.steps[at].litres) for at in halves] == [(1, 0.8 * tank_l), (2, 0.8 * tank_l)]
    left = replace(large, job=replace(large.job, litres=1.1 * tank_l, applied_l=0.5 * tank_l, parts_before=1))
    passed = given.steps[halves[0]].ends_min
    now = replace(known, given=(replace(given, given_by="rs"),), now_min=passed, waiting=(left,),
                  logged={(MONDAY, given.crew_id): frozenset(halves[:1])})
    stops_now = [step for step in replan_day(now).rounds[0].steps if step.kind == "stop"]
    assert [step.part for step in stops_now] == [1, 2, 3]
    assert stops_now[0] == given.steps[halves[0]]
    assert sum(step.litres for step in stops_now[1:]) == pytest.approx(1.1 * tank_l)


def test_what_a_round_that_was_given_leaves_of_a_job_is_planned_beside_it(book: Fieldbook) -> None:
    (wet, *_) = jobs((MONDAY, TUESDAY))
    known = now_known(book, (wet,))
    step = GivenStep(kind="stop", starts_min=500.0, ends_min=520.0, property_id=wet.job.property_id,
                     job_ids=(wet.job.id,), litres=0.5 * wet.job.litres, part=1)
    given = GivenRound(id="r", day=MONDAY, crew_id=known.fleet.crews[0].id, steps=(step,), given_by="rs")

    def beside(step: GivenStep, *logged: int) -> list[tuple[float, int]]:
        one = replace(known, given=(replace(given, steps=(step,)),),
                      logged={(MONDAY, given.crew_id): frozenset(logged)})
        week = plan_week(one, seconds=0.5)
        return [(each.litres, each.part) for each in week.rounds[0].steps if each.kind == "stop"] if week.rounds else []

    assert beside(step) == [(0.5 * wet.job.litres, 2)]
    assert beside(replace(step, litres=0.95 * wet.job.litres)) == []
    assert beside(step, 0) == [(wet.job.litres, 0)]


def test_a_late_batch_is_left_out_until_its_hour_is_told_anew(book: Fieldbook) -> None:
    waiting = jobs((MONDAY,))
    give_round(book, plan_week(now_known(book, waiting), seconds=1.0).rounds[0], "rs")
    known = now_known(book, waiting)
    late = replace(known, now_min=480.0, extract=extract_to_plan(known.extract.batches, [], MONDAY, 480.0))
    assert {each.why for each in replan_day(late).left_out} == {"no_source"}
    later = [replace(each, ready_min=540.0, use_by_min=600.0) for each in known.extract.batches if each.day == MONDAY]
    in_time = replace(late, extract=extract_to_plan(later, [], MONDAY, 480.0))
    new = replan_day(in_time)
    assert not new.left_out
    assert all(step.starts_min >= 540.0 for step in new.rounds[0].steps if step.batch_id)


def test_nothing_is_planned_anew_where_nothing_was_given(book: Fieldbook) -> None:
    with pytest.raises(Missing, match="given"):
        replan_day(now_known(book, jobs()))
    assert fleet(book).crews


@pytest.mark.parametrize(("loaded_l", "left_l"), [(0.0, 500.0), (300.0, 500.0), (500.0, 500.0), (700.0, 300.0)])
def test_what_is_loaded_of_a_made_batch_is_not_taken_off_once_more_by_its_rounds(book: Fieldbook, loaded_l: float,
                                                                                 left_l: float) -> None:
    """1,000 L were made and the rounds that were given take 500: others may have what neither loads nor rounds took."""
    waiting = jobs((MONDAY,))
    [given] = plan_week(now_known(book, waiting), seconds=1.0).rounds
    [planned] = [each for each in now_known(book, waiting).extract.batches if each.day == MONDAY]
    steps = tuple(replace(step, litres=500.0 if step.batch_id else step.litres) for step in given.steps)
    made = replace(planned, id="b", made=True, litres=1000.0 - loaded_l, loaded_l=loaded_l)
    [less] = services._less((made,), (replace(given, steps=steps),), {planned.id: "b"})
    assert less.litres == left_l
