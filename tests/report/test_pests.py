"""Pests in words: codes have words, both thresholds are told, the report's page holds what the screen does."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from io import BytesIO

import pytest
from pypdf import PdfReader

from rootcase.casework.explain.pests import pests_of
from rootcase.ground.words import catalogue
from rootcase.records.observe import Weather
from rootcase.report.casework_json import casework_json
from rootcase.report.pdf.report import report_pdf
from rootcase.report.terminal.pests import pests_text
from rootcase.tables.load import table
from tests.casework.explain.test_pests import ground, read, spring
from tests.report.fixtures import casework_fixture

MAY = date(2015, 5, 21)
NOWHERE = Weather("s", (), (), (), (), (), (), "", told=("no station is named",))


def told(*readings, weather=NOWHERE, day=MAY, **of) -> str:  # type: ignore[no-untyped-def]
    record = ground(*readings, **of)
    return " ".join(pests_text(record, pests_of(record, weather, None, day), 80).split())


def test_every_code_has_its_words() -> None:
    words = catalogue("en")
    for row in table("explain/pest_groups").rows:
        assert f"pests.group.{row['group']}" in words
    acting = {row["group"] for row in table("explain/pest_thresholds").rows if "local" in row["verdict_if_worse"]}
    assert {f"pests.act.{group}" for group in acting} <= set(words)
    assert {f"pests.cue.{row['cue']}" for row in table("explain/pest_stages").rows if row["cue"]} <= set(words)


def test_not_enough_is_a_full_answer_with_both_thresholds_and_a_day() -> None:
    text = told(read("defoliation", 0.08, day=date(2015, 5, 20)), read("helper_count", 3.0, day=date(2015, 5, 20)))
    assert "leaf eaters: not enough to act on. Read on 20 May 2015: leaf area eaten or dropped 8 %." in text
    assert "The tree itself is in need from about 30 % of its leaf. People mind from about 10 %" in text
    assert "Leaving it untreated is a full answer" in text
    assert "Look again about 17 June 2015." in text


def test_borers_are_named_first_and_broad_products_never_proposed() -> None:
    text = told(read("borer_hole_count", 3.0, day=date(2015, 5, 20)), species="Fraxinus excelsior")
    assert "borers: act on local advice." in text
    assert "There is no tolerable level of these. Have the borer named first" in text
    assert "Products that act broadly are not proposed here" in text
    assert "Count helpers" in text


def test_a_look_is_told_as_a_span_with_its_hosts_and_both_scales() -> None:
    text = told(weather=spring(2013, 2014), day=date(2015, 1, 10), species="Fraxinus excelsior")
    assert ("Emerald ash borer, first adults: about 28 April 2015 to 25 May 2015. 450 to 500 degree days F "
            "(250 to 278 C). About when black locust blooms. At tree 1. Read borer exit holes and shape of the "
            "exit holes." in text)
    assert "A call to look, not a call to spray" in text
    assert "9 days of it have no temperature" in text


def test_without_weather_it_says_not_known_and_why() -> None:
    text = told(species="Fraxinus excelsior")
    assert "when: not known." in text
    assert "How warm the year was is not known, so no look can be told by its day. no station is named" in text
    assert "No pest was looked for at any tree. That is not the same as none." in text


def test_a_typical_year_that_stands_in_is_said() -> None:
    said = "A typical year stands in."
    typical = replace(spring(2013, 2014), typical=True, told=(said, "and by which formula"))
    text = told(weather=typical, day=date(2015, 1, 10), species="Fraxinus excelsior")
    assert said in text
    assert "formula" not in text


@pytest.fixture(scope="module")
def casework():  # type: ignore[no-untyped-def]
    record = ground(read("defoliation", 0.08))
    pests = pests_of(record, spring(2013, 2014), None, date(2015, 6, 3))
    made = casework_fixture()
    return replace(made, record=replace(made.record, trees=(*made.record.trees, *record.trees)), pests=pests)


def test_the_report_has_its_page_of_pests(casework) -> None:  # type: ignore[no-untyped-def]
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(BytesIO(report_pdf(casework))).pages).split())
    assert "Pests: what was counted" in text
    assert "leaf eaters: not enough to act on" in text
    assert "Fall webworm" in text


def test_the_numbers_behind_it_are_in_the_json(casework) -> None:  # type: ignore[no-untyped-def]
    pests = json.loads(casework_json(casework))["pests"]
    assert pests["trees"][0]["findings"][0]["verdict"] == "not enough to act on"
    assert pests["looks"][0]["state"] in {"due", "coming"}
    assert json.loads(casework_json(replace(casework, pests=None)))["pests"] is None
