"""The next reading in plain words: what, with what, how long, to what use, and what stays in doubt."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from rootcase.records.explain import NextReading
from rootcase.records.prescribe import PlanReading
from rootcase.report.casework_json import casework_json
from rootcase.report.pdf.report import report_pdf
from rootcase.report.terminal import explanation_text, plan_text, summary
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.next_reading import before_spending, next_reading
from rootcase.tables.load import table
from rootcase.tables.readings import kind_of
from tests.report.fixtures import casework_fixture
from tests.report.test_pdf import pages
from tests.report.test_text_signs import GIRDLED, having

ROD = NextReading("probe_depth", "rod", "soil_moist", 8, 1.9, None, True, False, 0.13, 0.068)
SAMPLE = NextReading("sample_cores", "corer", "any", 1, 15.5, 10, True, True, 0.021, 0.0014)
SMALL = replace(ROD, kind="dbh", share_removed=0.019, share_removed_per_minute=0.06)


def told(*readings: NextReading, stays: float | None = 0.66) -> str:
    casework = casework_fixture()
    explanation = replace(casework.explanations[0], next_readings=readings, doubt_no_reading_removes=stays)
    return next_reading(TreeCase(casework.record.trees[0], None, explanation, None))


def test_one_sentence_for_the_reading_and_one_for_what_stays() -> None:
    assert told(ROD, SAMPLE) == (
        "The next reading worth taking: how deep a rod goes in (rod; about 2 minutes; when the soil is moist; buried "
        "lines located first). It would take away about an eighth of the doubt about the causes. About two thirds of "
        "it no reading here takes away; only trees treated and left alone side by side do.")


def test_where_the_signs_lead_their_look_comes_before_any_reading_of_the_soil() -> None:
    casework = casework_fixture()
    case = TreeCase(casework.record.trees[0], None, casework.explanations[0], None)
    case = having(case, GIRDLED, outside=True)
    assert case.explanation is not None
    outside = replace(case.explanation, next_readings=(ROD,), doubt_no_reading_removes=0.66)
    text = next_reading(replace(case, explanation=outside))
    assert text.startswith("The next look worth taking is the one above: open the collar, and see how much of the "
                           "trunk's girth roots squeeze. Of the soil, after it: how deep a rod goes in (rod;")
    alone = next_reading(replace(case, explanation=replace(outside, next_readings=())))
    assert alone.startswith("The next look worth taking is the one above: open the collar")
    assert "Of the soil" not in alone


def test_a_laboratory_s_days_and_what_was_read_before_are_told() -> None:
    assert told(SAMPLE).startswith(
        "The reading worth taking again: what a laboratory, for its fee, finds in a soil sample (corer; about 16 "
        "minutes; at any season; the answer after about 10 days; buried lines located first).")


def test_a_reading_that_takes_next_to_nothing_is_not_proposed() -> None:
    assert told(SMALL).startswith("No single reading here would take away much of the doubt about the causes. About")
    assert "how deep a rod goes in" in told(SMALL, ROD)


@pytest.mark.parametrize(("stays", "words"), [
    (0.97, "Nearly all of it no reading here takes away"), (0.01, "of the doubt about the causes."), (None, "")])
def test_what_stays(stays: float | None, words: str) -> None:
    text = told(ROD, stays=stays)
    assert text.endswith(words) if stays == 0.01 else words in text
    assert (text == "") is (stays is None)


def test_every_reading_that_may_be_proposed_has_its_words() -> None:
    for row in table("explain/next_readings").rows:
        kind = kind_of(str(row["reading"]))
        assert kind.tools
        assert told(replace(ROD, kind=kind.kind, tools=kind.tools, season=kind.season)).count(":") == 1


def test_page_screen_and_stage_say_it() -> None:
    casework = casework_fixture()
    explanations = tuple(replace(each, next_readings=(ROD, SAMPLE), doubt_no_reading_removes=0.66)
                         for each in casework.explanations)
    whole = replace(casework, explanations=explanations)
    words = "The next reading worth taking: how deep a rod goes in"
    assert words in summary(whole, 400)
    stage = explanation_text(whole.record, explanations, 400)
    assert words in stage
    assert "13 %" in stage
    assert "6.8 %" in stage
    text = pages(report_pdf(whole))
    plain = pages(report_pdf(casework))
    assert len(text) == len(plain)
    assert words in text[2]


def test_the_readings_and_the_growth_disagree_wherever_the_explanation_is_shown() -> None:
    casework = casework_fixture()
    explanations = tuple(replace(each, conditioned=each.conditioned and replace(each.conditioned, disagree=True))
                         for each in casework.explanations)
    whole, words = replace(casework, explanations=explanations), "The readings and the growth disagree"
    assert words in summary(whole, 400)
    assert words in explanation_text(whole.record, explanations, 400)
    assert words in pages(report_pdf(whole))[2]


ASKED = PlanReading("irrigation_kind", "ask, look", "any", 0.5, None, False, False, 0.0, 0.6, 196.0, 27.0, "water",
                    0.23, "mulch")
SENT = PlanReading("sample_cores", "corer", "soil_unfrozen", 15.5, 10, True, False, 40.0, 61.2, 80.0, 15.0, "water",
                   0.04, "nothing")


def told_of_the_plan(at: int, *readings: PlanReading, enough: bool | None = False) -> str:
    casework = casework_fixture()
    prescription = replace(casework.plan.trees[at], next_for_plan=readings, enough_read=enough)
    return before_spending(TreeCase(casework.record.trees[at], None, None, prescription), "USD")


def test_before_the_money_is_spent() -> None:
    plan = casework_fixture().plan
    treated = next(at for at, tree in enumerate(plan.trees) if tree.chosen)
    cost = next(each.cost for each in plan.trees[treated].remedies if each.remedy == plan.trees[treated].chosen)
    label = casework_fixture().record.trees[treated].label
    assert told_of_the_plan(treated, ASKED, SENT) == (
        f"Before {cost:,.0f} USD are spent at {label}, read: how it is watered (ask, look; about a minute; at any "
        "season). In about 2 of 10 outcomes the plan there would change, most likely to wood-chip mulch. That is worth "
        "about 196 USD to the plan; the reading costs about 1 USD.")


def test_before_a_tree_is_decided_on_with_its_fee_and_its_caution() -> None:
    plan = casework_fixture().plan
    left = next(at for at, tree in enumerate(plan.trees) if not tree.chosen)
    label = casework_fixture().record.trees[left].label
    told = told_of_the_plan(left, SENT)
    assert told.startswith(f"Before {label} is decided on, read: what a laboratory, for its fee, finds in a soil")
    assert "the answer after about 10 days; buried lines located first)." in told
    assert "In fewer than 1 of 10 outcomes the plan there would change, then most likely to leave it alone." in told
    assert told.endswith("the reading costs about 61 USD, the laboratory's 40 USD in it.")


def test_enough_is_said_and_what_was_not_weighed_is_not() -> None:
    assert told_of_the_plan(0, enough=True) == "No further reading would change the plan by more than it costs."
    assert told_of_the_plan(0, enough=None) == ""


def test_the_plan_s_reading_stands_on_the_page_the_screen_and_the_plan() -> None:
    casework = casework_fixture()
    trees = tuple(replace(each, next_for_plan=(ASKED,), enough_read=False) for each in casework.plan.trees)
    whole = replace(casework, plan=replace(casework.plan, trees=trees))
    words = "In about 2 of 10 outcomes the plan there would change"
    assert words in summary(whole, 400)
    assert plan_text(whole, 400).count(words) == len(trees)
    assert words in pages(report_pdf(whole))[2]
    first = json.loads(casework_json(whole))["trees"][0]
    assert (first["next_for_plan"][0]["worth"], first["enough_read"]) == (196.0, False)
