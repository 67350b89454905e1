"""Where a crew is by what is logged, and which extract there still is."""

from __future__ import annotations

from dataclasses import replace

from rootcase.casework.apply.batches import JudgedBatch, extract_to_plan
from rootcase.casework.apply.underway import rest_of, steps_passed, whereabouts_of
from rootcase.records.apply.rounds import GivenRound, GivenStep, PlannedBatch
from tests.casework.apply.weeks import MONDAY

BATCH = PlannedBatch(id="b", day=MONDAY, ready_min=450.0, use_by_min=510.0, litres=800.0, fill_point_id="yard")
NOON = replace(BATCH, id="n", ready_min=720.0, use_by_min=780.0)
STEPS = (GivenStep(kind="fill", starts_min=450.0, ends_min=465.0, fill_point_id="yard", batch_id="b", litres=300.0),
         GivenStep(kind="stop", starts_min=475.0, ends_min=490.0, property_id="p1", job_ids=("j1", "j2"), litres=100.0,
                   batch_id="b"),
         GivenStep(kind="stop", starts_min=495.0, ends_min=505.0, property_id="p2", job_ids=("j3",), litres=200.0,
                   batch_id="b"),
         GivenStep(kind="rest", starts_min=660.0, ends_min=690.0),
         GivenStep(kind="stop", starts_min=700.0, ends_min=740.0, property_id="p3", job_ids=("j4",)))
GIVEN = GivenRound(id="r", day=MONDAY, crew_id="c0", steps=STEPS, given_by="rs", moved_by_hand=True)


def test_a_crew_is_at_its_last_logged_stop_with_what_is_left() -> None:
    there = whereabouts_of(GIVEN, {1}, 500.0, 420.0, {"b": BATCH})
    assert (there.property_id, there.product, there.litres, there.batch) == ("p1", "extract", 200.0, BATCH)
    assert (there.at_min, there.rested) == (500.0, False)


def test_what_is_not_logged_counts_as_not_done() -> None:
    there = whereabouts_of(GIVEN, (), 700.0, 420.0, {"b": BATCH})
    assert (there.property_id, there.litres, there.rested) == ("yard", 300.0, True)
    assert [step.kind for step in steps_passed(GIVEN, (), 700.0)] == ["fill", "rest"]


def test_a_refused_batch_is_not_aboard_and_before_the_day_the_crew_is_in_the_yard() -> None:
    there = whereabouts_of(GIVEN, {1}, 500.0, 420.0, {})
    assert (there.product, there.litres, there.batch) == ("", 0.0, None)
    early = whereabouts_of(GIVEN, (), 300.0, 420.0, {"b": BATCH})
    assert (early.property_id, early.product, early.at_min) == ("", "", 420.0)


def test_an_empty_tank_holds_nothing() -> None:
    there = whereabouts_of(GIVEN, {1, 2}, 520.0, 420.0, {"b": BATCH})
    assert (there.property_id, there.product, there.litres) == ("p2", "", 0.0)


def test_a_round_goes_on_with_what_is_new() -> None:
    passed = steps_passed(GIVEN, {1}, 500.0)
    new = replace(GIVEN, steps=STEPS[-1:])
    on = rest_of(GIVEN, passed, new)
    assert on.steps == (*STEPS[:2], STEPS[-1])
    assert (on.given_by, on.moved_by_hand, on.id) == ("", False, "r")
    assert rest_of(GIVEN, passed, None).steps == STEPS[:2]


def test_a_batch_that_was_made_takes_the_place_of_the_nearest_that_was_planned() -> None:
    fit = JudgedBatch(id="m", day=MONDAY, ended_min=700.0, fit=True, use_by_min=760.0, litres=500.0)
    found = extract_to_plan([BATCH, NOON], [fit], MONDAY, 400.0)
    assert found.made_of == {"n": "m"}
    assert {each.id for each in found.batches} == {"m", "b"}
    made = next(each for each in found.batches if each.made)
    assert (made.ready_min, made.use_by_min, made.litres, made.fill_point_id) == (700.0, 760.0, 500.0, "yard")


def test_a_refused_and_a_late_batch_leave_nothing() -> None:
    refused = JudgedBatch(id="m", day=MONDAY, ended_min=455.0, fit=False)
    found = extract_to_plan([BATCH, NOON], [refused], MONDAY, 730.0)
    assert (found.batches, found.made_of, found.late) == ((), {"b": ""}, (NOON,))
    assert extract_to_plan([NOON], [], MONDAY, 715.0).batches == (NOON,)
