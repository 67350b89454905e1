"""Trees of a list that nobody read are told of once, and never as if they had been judged."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from rootcase.records.estimate import Estimate
from rootcase.records.report import Casework
from rootcase.report.pdf.behind import marks_and_readings
from rootcase.report.pdf.report import report_pdf
from rootcase.report.pictures import draw_plan, draw_shares
from rootcase.report.pictures.shares import worth_drawing
from rootcase.report.pictures.signs import Layout
from rootcase.report.screen.case import lines
from rootcase.report.screen.trees import STANDINGS, tree_lines
from rootcase.report.terminal import summary
from rootcase.report.text import one_tree, whole_property
from rootcase.report.text.cases import TreeCase, tree_cases
from rootcase.report.text.ledger import Ledger, results_of
from rootcase.report.text.meaning import meaning
from rootcase.report.text.plan import choices
from rootcase.report.text.signed import alone_line, looks_ahead, tree_names
from rootcase.web.pages.sign import _courses
from tests.casework.prescribe.test_offer import signed as signed_plan
from tests.report.cases import CASES
from tests.report.fixtures import casework_fixture, casework_of
from tests.report.pictures.marks import root_of, texts
from tests.report.test_pdf import pages

UNREAD = 30
BECAUSE = "Too little was read to propose anything"


def listed_trees() -> Casework:
    """Two trees that were read and thirty of a list."""
    unread = tuple(replace(CASES[7], label=f"lime {n}", verdict="leave it alone") for n in range(UNREAD))
    casework = casework_of((CASES[0], CASES[6], *unread))
    trees = tuple(replace(each, reason="read_first") if n > 1 else each for n, each in enumerate(casework.plan.trees))
    return replace(casework, plan=replace(casework.plan, trees=trees))


def test_the_picture_counts_what_it_draws_and_the_other_trees_share_a_row() -> None:
    text = pages(report_pdf(listed_trees()))
    assert "Only trees whose shoots were read are drawn; at 30 none were." in text[0]
    assert "Not judged: no shoots were read at 30 trees (lime 0, lime 1, " in text[0]
    assert "Leave oak 7 alone." in text[0]
    assert sum(page.count(BECAUSE) for page in text) == 1


def test_of_many_that_were_read_the_twelve_furthest_behind_are_drawn() -> None:
    many = casework_of(tuple(replace(CASES[n % 6], label=f"oak {n}") for n in range(UNREAD)))
    assert "Only the 12 trees furthest behind are drawn" in pages(report_pdf(many))[0]


def test_the_terminal_tells_them_in_one_sentence() -> None:
    told = " ".join(summary(listed_trees(), 80).split())
    assert told.count(BECAUSE) == 1
    assert "lime 28 and lime 29: not judged. Too little was read" in told


def with_share(median: float, high: float) -> TreeCase:
    case = next(case for case in tree_cases(casework_fixture()) if case.comparison and case.share)
    assert case.comparison
    share = Estimate(median, median, median / 2, high, median * 0.8, median * 1.3)
    return replace(case, comparison=replace(case.comparison, share=share))


def test_a_tree_that_may_lag_is_not_said_to_grow_like_its_kind() -> None:
    words = "may grow less than its kind: what was read does not settle it."
    may, well = with_share(0.55, 1.07), with_share(0.8, 1.3)
    assert one_tree.headline(may) == [f"{may.tree.label.capitalize()} {words}"]
    assert "grows like its kind" in one_tree.headline(well)[0]
    found = [said.text for said in whole_property.found((may, well), casework_fixture())]
    assert [words in text for text in found] == [True, False]


def test_the_readings_table_names_the_extract_and_leaves_no_comma_where_no_reader_is_known() -> None:
    casework = casework_fixture()
    oak = casework.record.trees[0].id
    shoot = casework.record.of(oak, kind="shoot_length_by_year")[0]
    salt = replace(shoot, kind="ece", attributes={"extract": "1_5"}, observer="", growth_year=None)
    record = replace(casework.record, readings=(salt, replace(salt, id="another", attributes={"extract": "paste"})))
    line = replace(casework.comparison.trees[0], reading_ids=tuple(r.id for r in record.readings))
    told = replace(casework, record=record, comparison=replace(casework.comparison, trees=(line,)))
    ledger = Ledger(results_of(told, tree_cases(told)))
    ledger.mark(f"{oak}/share")
    rows = marks_and_readings(ledger, record)["readings"]
    assert [row["kind"] for row in rows] == ["salinity of the saturation extract (ECe) (1:5)",
                                             "salinity of the saturation extract (ECe) (saturated paste)"]
    assert {row["when"] for row in rows} == {"2 October 2015"}


def test_a_tree_that_nobody_read_is_not_judged_wherever_it_is_told_of() -> None:
    casework = listed_trees()
    unread = next(case for case in tree_cases(casework) if case.tree.label == "lime 3")
    line = next(each for each in tree_lines(casework, casework.record) if each.label == "lime 3")
    stage = lines(unread, casework, casework.record, None)[3]
    signed = signed_plan(casework.plan)
    paper = alone_line(signed, tree_names(casework.record, signed))
    every = (line.proposed, stage.told, one_tree.verdict(unread), paper)
    assert all("ot judged" in str(told) for told in every)
    assert not any("eave it alone" in str(told) for told in every[:3])
    assert line.missing.startswith("how long its shoots grew")
    assert one_tree.not_looked_at(unread, casework.record).startswith("We did not look at: shoot length")
    assert not any(choice.chosen for choice in choices(unread, casework.record).shown)


def test_trees_that_nobody_read_are_read_at_the_next_visit_and_never_left_as_they_are() -> None:
    casework = listed_trees()
    unread = next(case for case in tree_cases(casework) if case.not_judged)
    said = one_tree.verdict(unread)
    assert said
    assert said.text.endswith("That is for the next visit.")
    signed = signed_plan(casework.plan)
    first, *later = looks_ahead(signed, tree_names(casework.record, signed))
    assert first.startswith("Read at the next visit: ")
    assert "lime 0" in first
    assert "lime" not in " ".join(later)
    assert "Read at the next visit: " in " ".join(row.text for _, row in meaning(tree_cases(casework), casework))
    drawn = " ".join(texts(root_of(draw_plan(casework.record, casework.plan).bare)))
    assert "Left as they are oak 7 Not judged lime 0, lime 1" in drawn
    assert "30 were not judged, the others are left as they are" in drawn
    [(value, label), *_] = _courses(casework.plan.trees[-1], "USD")
    assert (value, label) == ("", "Not judged: its shoots were not read")


def test_there_is_nothing_to_sign_where_no_tree_was_judged() -> None:
    plan = listed_trees().plan
    assert plan.judged
    assert not replace(plan, trees=plan.trees[2:]).judged


@pytest.mark.parametrize(("changed", "told"), [
    ({"verdict": "treat", "chosen": "mulch"}, "Wood-chip mulch"),
    ({"verdict": "treat", "chosen": None}, "Nothing can be proposed yet"),
    ({"verdict": "leave it alone", "reason": "like_its_kind"}, "Leave it alone"),
    ({"verdict": "leave it alone", "reason": "not_the_soil", "first_look": "borer_holes"},
     "Before all else: borer holes"),
    ({"verdict": "nothing on our list helps", "reason": "past_our_means"}, "Nothing on our list helps"),
    ({"verdict": "nothing on our list helps", "reason": "wishes_bar"}, "Nothing helps within what is allowed here"),
    ({"verdict": "nothing on our list helps", "reason": "too_dear"}, "Nothing: what would help costs more than"),
])
def test_leaving_it_alone_is_proposed_only_where_that_is_the_verdict(changed: dict[str, Any], told: str) -> None:
    case = tree_cases(casework_fixture())[0]
    assert case.prescription
    plan = replace(case.prescription, **{"chosen": None, "reason": "", "first_look": "", **changed})
    assert one_tree.proposed(replace(case, prescription=plan)).startswith(told)


def test_trees_that_need_something_stand_first_and_only_what_was_read_is_drawn() -> None:
    casework = listed_trees()
    rows = tree_lines(casework, casework.record)
    order = [STANDINGS.index(row.standing) for row in rows]
    assert order == sorted(order)
    assert (rows[0].label, rows[-1].label[:4]) == ("oak 1", "lime")
    drawn, note = worth_drawing(casework.comparison)
    assert [tree.tree_id for tree in drawn.trees] == [rows[0].tree_id, rows[1].tree_id]
    assert "at 30 none were" in note


@pytest.mark.parametrize("layout", ["wide", "column", "phone"])
def test_where_no_tree_was_read_the_picture_stands_without_a_tree_of_its_kind(layout: Layout) -> None:
    casework = casework_of((CASES[7],))
    unread = tuple(replace(each, yardstick_typical_mm=None) for each in casework.comparison.trees)
    picture = draw_shares(casework.record, replace(casework.comparison, trees=unread), layout)
    assert any("100 %" in each for each in texts(root_of(picture.bare)))
