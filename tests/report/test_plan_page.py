"""The plan's own page: work by its time, a row a tree, what stands beside the doses once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rootcase.records.estimate import Estimate
from rootcase.records.prescribe import Dose, PlanItem, Step
from rootcase.records.report import Casework
from rootcase.report.pdf.course import course_page
from rootcase.report.pdf.report import report_pdf
from rootcase.report.terminal import summary
from rootcase.report.text.doses import beside_together
from tests.report.fixtures import casework_fixture
from tests.report.pictures.test_frontier import with_frontier
from tests.report.test_pdf import pages

GAIN = Estimate(20.0, 20.0, 10.0, 30.0, 15.0, 25.0)
CHIPS = Dose(10.0, depth_m=0.075, volume_m3=0.75)
WATER = Dose(10.0, water_mm=10.0, litres=100.0, every_days=3, unknown="no_audit", trunk_rule_l_week=50.0)


def steps(water: Dose) -> tuple[Step, ...]:
    return (*(Step(year, "may_september", "water", water, 20.0) for year in (1, 2)),
            Step(1, "spring", "mulch", CHIPS, 30.0), Step(4, "spring", "mulch", CHIPS, 30.0, "renew"))


@pytest.fixture(scope="module")
def casework() -> Casework:
    whole = casework_fixture()
    of = tuple(PlanItem(tree.id, "water+mulch", CHIPS, 100.0, GAIN, steps(water)) for tree, water in zip(
        whole.record.trees[:2], (WATER, replace(WATER, litres=19.0, trunk_rule_l_week=200.0)), strict=True))
    return replace(whole, plan=replace(with_frontier(whole.plan), items=of))


def test_work_stands_once_its_trees_beneath_it_and_the_same_again_in_one_row(casework: Casework) -> None:
    page = course_page(casework)
    assert page is not None
    this_year, later = page["years"]
    assert [work["work"] for work in this_year["works"]] == [
        "This year, in spring: wood-chip mulch",
        "This year and the one after, in the growing season, May to September: watering in summer"]
    assert [row[2] for row in this_year["works"][1]["rows"]] == ["20 each year", "20 each year"]
    first, second = (tree.label for tree in casework.record.trees[:2])
    assert later["works"][0]["rows"] == [[f"{first[0].upper()}{first[1:]} and {second}", "as before", "60"]]
    unpriced = replace(casework.plan, items=tuple(
        replace(item, steps=tuple(replace(step, cost=None) for step in item.steps)) for item in casework.plan.items))
    priceless = course_page(replace(casework, plan=unpriced))
    assert priceless is not None
    assert priceless["years"][1]["works"][0]["rows"][0][2] == "not priced"


def test_what_stands_beside_the_doses_is_told_once_with_its_trees() -> None:
    notes = beside_together([("oak 5", WATER), ("oak 8", replace(WATER, litres=19.0, trunk_rule_l_week=200.0)),
                             ("oak 9", replace(WATER, unknown="label", trunk_rule_l_week=None))], "metric")
    assert len(notes) == 4
    assert notes[0].startswith("Oak 9: How much the product's label says")
    assert "moved about: 5 × at oak 5, 1 × at oak 8." in notes[1]
    assert notes[2].startswith(
        "By the inch of trunk it would get too little: we reckon by the ground. A week, by the inch of trunk")
    assert "50 L (13.2 gal) and 233 L (61.6 gal) at oak 5." in notes[2]
    assert notes[3].startswith("The inch rule gives more than the ground asks for")


def test_the_plan_has_one_page_with_its_budgets_and_wishes(casework: Casework) -> None:
    found = [page for page in pages(report_pdf(casework)) if "The plan, year by year" in page]
    assert len(found) == 1
    for words in ("More money, or less", "USD this year", "5,200 USD", "Minutes on the controller"):
        assert words in found[0], words
    assert found[0].count("Minutes on the controller") == 1


def test_the_screen_has_a_line_a_step_and_its_notes_after(casework: Casework) -> None:
    tree = next(each for each in casework.plan.trees if each.chosen)
    outcomes = tuple(replace(each, steps=steps(WATER)) if each.remedy == tree.chosen else each
                     for each in tree.remedies)
    trees = tuple(replace(each, remedies=outcomes) if each is tree else each for each in casework.plan.trees)
    lines = summary(replace(casework, plan=replace(casework.plan, trees=trees))).splitlines()
    begins = [line for line in lines if line.startswith("  · ")]
    assert [line[:29] for line in begins if "pring" in line][:1] == ["  · This year, in spring: woo"]
    assert max(map(len, lines)) <= 80
    note = next(at for at, line in enumerate(lines) if line.startswith("  Minutes on the controller"))
    assert any(line.startswith("  · In year 4") for line in lines[:note])
