"""The work year by year, several budgets and the price of wishes, in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rootcase.records.estimate import Estimate
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import ConstraintPrice, Dose, FrontierPoint, Plan, PlanItem, Step
from rootcase.records.what_if import TreeChange, WhatIf
from rootcase.report.terminal.what_if import what_if_text
from rootcase.report.text.course import frontier_rows, hours_line, no_fit, price_lines, step_lines
from rootcase.report.text.meaning import given_up
from tests.report.fixtures import casework_fixture

GAIN = Estimate(20.0, 20.0, 10.0, 30.0, 15.0, 25.0)
STEPS = (Step(1, "autumn", "mulch", Dose(10.0), 50.0),
         Step(2, "early_spring", "slow_nitrogen", Dose(10.0), 5.0, "if_short"),
         Step(3, "early_spring", "slow_nitrogen", Dose(10.0), 5.0, "if_short"),
         Step(4, "spring", "mulch", Dose(10.0), 50.0, "renew"))


@pytest.fixture(scope="module")
def record() -> PropertyRecord:
    return casework_fixture().record


@pytest.fixture
def plan(record: PropertyRecord) -> Plan:
    first, second = record.trees[:2]
    items = (PlanItem(first.id, "mulch", Dose(10.0), 100.0, GAIN, STEPS[:1]),)
    points = (FrontierPoint(80.0, 80.0, 120.0, 500.0, 500.0, ((first.id, "mulch"),)),
              FrontierPoint(300.0, 290.0, 900.0, 2000.0, 2000.0, ((first.id, "mulch"), (second.id, "water"))))
    return replace(casework_fixture().plan, items=items, frontier=points, crew_hours=6.4, machine_hours=0.2,
                   budget=100.0, gain_points_m2=500.0, currency="USD")


def test_years_of_the_same_work_stand_on_one_line() -> None:
    lines = step_lines(STEPS)
    assert [(line.time, line.when) for line in lines] == [
        ("this_year", "this year, in early autumn"),
        ("next_year", "each year from year 2 to 3, in early spring"), ("later", "in year 4, in spring")]
    assert lines[1].what == "slow nitrogen (only while a test says it is short)"
    other = replace(STEPS[2], dose=Dose(11.0))
    assert len(step_lines((STEPS[1], other))) == 2  # another dose is other work


def test_a_wish_that_gives_up_a_part_is_not_called_keeping_all(plan: Plan, record: PropertyRecord) -> None:
    place, tree = record.places[0], record.trees[0]
    wishes = (("wish_lawn", "part"), ("wish_bed_line", "may_grow"), ("wish_chips", "no"))
    told = replace(plan, prices=tuple(ConstraintPrice(*wish, place.id, tree.id, 9.2, 0.0, 0.0) for wish in wishes))
    assert [line.split(" costs ")[0] for line in price_lines(told, record)] == [
        f"Giving up no more of the lawn at {place.name} than to that line",
        f"Letting the bed at {place.name} grow no further than to that line", f"Having no chips at {place.name}"]


def test_chips_come_before_the_water_of_the_same_year() -> None:
    water, chips = Step(1, "may_september", "water", Dose(1.0), 20.0), Step(1, "spring", "mulch", Dose(1.0), 20.0)
    assert [line.first.remedy for line in step_lines((water, chips))] == ["mulch", "water"]
    late = replace(chips, season="autumn")
    assert [line.first.remedy for line in step_lines((late, water))] == ["water", "mulch"]
    assert [line.first.remedy for line in step_lines((water, late), southern=True)] == ["mulch", "water"]


def test_the_turf_that_goes_under_chips_is_told(plan: Plan, record: PropertyRecord) -> None:
    item = replace(plan.items[0], remedy="mulch", steps=(), dose=Dose(60.0, turf_m2=40.0))
    assert "Of it 431 ft² (40 m²) are turf, which goes." in given_up(replace(plan, items=(item,)), record)
    bare = replace(item, dose=Dose(60.0, turf_m2=0.0))
    assert "turf" not in given_up(replace(plan, items=(bare,)), record)


def test_several_budgets_and_the_plan_s_own(plan: Plan) -> None:
    assert frontier_rows(plan) == [
        ("this year", "in all", "trees", "gain"), ("80 USD", "120 USD", "1", "25 %, this plan"),
        ("290 USD", "900 USD", "2", "100 %")]
    assert frontier_rows(replace(plan, frontier=plan.frontier[:1])) == []


def test_what_a_wish_costs(plan: Plan, record: PropertyRecord) -> None:
    place, tree = record.places[0], record.trees[0]
    told = replace(plan, prices=(
        ConstraintPrice("wish_lawn", "stays", place.id, tree.id, 9.2, 100.0, -40.0),
        ConstraintPrice("budget", "100", record.property.id, tree.id, 6.0, 0.0, 0.0)))
    assert price_lines(told, record) == [
        (f"Keeping the lawn at {place.name} as it is costs {tree.label} about 9 % of the growth of a healthy tree. "
         "Without it the whole plan would gain about 20 % more, and cost 40 USD less over five years."),
        f"The ceiling of 100 USD this year costs {tree.label} about 6 % of the growth of a healthy tree."]


def test_no_plan_fits_and_the_cheapest_that_would(plan: Plan, record: PropertyRecord) -> None:
    assert no_fit(plan, record) == ""
    place = record.places[0]
    no_money = replace(plan.trees[0], verdict="treat", reason="no_money", chosen=None)
    none = replace(plan, fits=False, items=(), trees=(no_money,), budget=50.0)
    says = "No plan fits the wishes, the hours and the money there are (50 USD)."
    assert no_fit(none, record) == f"{says} Cheapest that would: 80 USD this year."
    chips = ConstraintPrice("wish_chips", "no", place.id, no_money.tree_id, 9.2, 100.0, 40.0)
    crew = ConstraintPrice("crew_hours", "3", record.property.id, no_money.tree_id, 9.2, 100.0, 40.0)
    bound = replace(none, prices=(chips, replace(crew, points_m2=0.0), replace(crew, constraint="budget")))
    assert no_fit(bound, record) == ("No plan fits within the wishes and 3 USD this year. "
                                     f"Cheapest that would: 80 USD this year, or allow chips at {place.name}.")
    assert no_fit(replace(bound, frontier=(), prices=(crew,), budget=None), record) == (
        "No plan fits within 3 person-hours this year. What would: more than 3 person-hours this year.")
    assert no_fit(replace(none, frontier=()), record) == says


def test_what_else_keeps_a_plan_from_fitting(plan: Plan, record: PropertyRecord) -> None:
    assert no_fit(replace(plan, fits=False, first_year_cost=120.0), record) == (
        "What is insisted on costs 120 USD this year, more than the money there is (100 USD).")
    unpriced = replace(plan.trees[0], verdict="treat", reason="not_priced", chosen=None)
    assert no_fit(replace(plan, fits=False, items=(), trees=(unpriced,)), record) == (
        "No plan can be made: the price book has no line for what would help.")
    assert no_fit(replace(plan, fits=False, items=(), trees=(unpriced,), currency=""), record) == (
        "No plan can be made: no currency is told for this property.")


def test_hours_of_this_year(plan: Plan) -> None:
    assert hours_line(plan) == (
        "This year's work takes the crew about 6 person-hours, driving and setting up with them.")
    assert hours_line(replace(plan, crew_hours=0.0)) == ""


def test_the_plan_as_it_would_be(plan: Plan, record: PropertyRecord) -> None:
    tree = record.trees[0]
    then = replace(plan, items=(), gain_points_m2=0.0, total_cost=0.0)
    text = what_if_text(record, WhatIf(plan, then, (TreeChange(tree.id, ("mulch", 20.0, 100.0), (None, 0.0, 0.0)),)))
    assert f"· {tree.label}: wood-chip mulch (+20 points, 100 USD) becomes leave it alone." in text
    assert "No tree's work changes." in what_if_text(record, WhatIf(plan, plan, ()))
