"""The next reading in plain words: what, with what, how long, to what use, and what stays in doubt."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rootcase.records.explain import NextReading
from rootcase.report.pdf.report import report_pdf
from rootcase.report.terminal import explanation_text, summary
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.next_reading import next_reading
from rootcase.tables.load import table
from rootcase.tables.readings import kind_of
from tests.report.fixtures import casework_fixture
from tests.report.test_pdf import pages

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
