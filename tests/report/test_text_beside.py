"""What stands beside the waterfall: what was found, and the three kinds of nothing, each said as what it is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rootcase.records.observe import Nothing, PropertyRecord, Reading
from rootcase.report.pdf.report import report_pdf
from rootcase.report.terminal import explanation_text, plan_text, summary
from rootcase.report.text import whole_property
from rootcase.report.text.beside import beside, beside_readings, stop
from rootcase.report.text.cases import tree_cases
from tests.report.fixtures import casework_fixture
from tests.report.test_pdf import pages


def with_readings(*told: tuple[str, float | str | None, Nothing | None]) -> PropertyRecord:
    """The fixture with nothing but these readings at its first tree."""
    record = casework_fixture().record
    tree, first = record.trees[0], record.readings[0]
    own = tuple(Reading(
        f"{first.id[:-3]}f{i:02d}", kind, tree.id, first.visit_id, first.day, "AB",
        value if isinstance(value, float) else None, value if isinstance(value, str) else None, "=", nothing, "")
        for i, (kind, value, nothing) in enumerate(told))
    return replace(record, readings=(*(r for r in record.readings if r.of != tree.id), *own))


def said(*told: tuple[str, float | str | None, Nothing | None]) -> str:
    record = with_readings(*told)
    statement = beside(record.trees[0], record)
    return statement.text if statement else ""


def test_a_buried_flare_is_told_with_its_depth_and_what_is_not_known() -> None:
    text = said(("root_flare_state", "none", None), ("first_root_depth", 178.0, None))
    assert text.startswith("The root flare is buried. The first root lies 7 in (18 cm) down. "
                           "What this takes from the growth is not known.")


@pytest.mark.parametrize(("told", "words"), [
    (("borer_hole_count", None, "none seen"), "Looked for and not seen: borer holes."),
    (("borer_hole_count", 0.0, None), "Looked for and not seen: borer holes."),
    (("borer_hole_count", None, "not read"), "Tried, could not be read: borer holes."),
    (("borer_hole_count", 7.0, None), "Borer holes in the trunk: 7."),
    (("tie_or_wire", "biting", None), "A tie, stake or wire bites into the bark."),
    (("mower_wounds", "no", None), "Looked for and not seen: mower wounds."),
    (("mower_wounds", "yes", None), "Mowers or trimmers have wounded the bark."),
    (("canker_share", 0.4, None), "Sunken dead bark goes 40 % of the way round the trunk."),
    (("stipple", "heavy", None), "Fine pale dots on leaves: on more than 3 in 10."),
    (("pest_name", "oak lace bug", None), "Seen on it: oak lace bug."),
])
def test_each_state_is_said_as_what_it_is(told: tuple[str, float | str | None, Nothing | None], words: str) -> None:
    assert words in said(told)


def test_not_looked_and_never_asked_are_one_sentence_apart_from_none_seen() -> None:
    text = said(("encircling_share", None, "not looked"), ("root_flare_state", "not_looked", None),
                ("structural_concern", "none_seen", None))
    assert text == ("Looked for and not seen: anything that could fail (this clears nothing). "
                    "Not looked at: a buried root flare, roots that squeeze the trunk and borer holes.")


def test_the_newest_reading_holds() -> None:
    text = said(("mower_wounds", "no", None), ("mower_wounds", "yes", None))
    assert "have wounded" in text
    assert "mower wounds" not in text


def test_what_could_fail_stops_work_and_stands_first_everywhere() -> None:
    record = with_readings(("structural_concern", "seen", None))
    casework = replace(casework_fixture(), record=record)
    words = "No work under oak 1. Pass it to a qualified risk assessor."
    assert stop(record.trees[0], record) == words
    assert stop(record.trees[1], record) == ""
    text = pages(report_pdf(casework))
    assert words in text[0]
    assert whole_property.proposed(tree_cases(casework), casework)[0].text == words
    assert text[2].index(words) < text[2].index("What takes the growth")
    for screen in (summary(casework), plan_text(casework)):
        block = screen.split("\noak 1", 1)[1]
        assert words in " ".join(block.split())[:700]


def test_it_stands_on_the_page_the_screens_and_leads_to_its_readings() -> None:
    casework = casework_fixture()
    page = pages(report_pdf(casework))[2]
    assert "Seen at the tree. The root flare is buried." in page
    assert "The root flare is buried." in summary(casework)
    assert "The root flare is buried." in explanation_text(casework.record, casework.explanations)
    kinds = {r.kind for r in casework.record.readings
             if r.id in beside_readings(casework.record.trees[0], casework.record)}
    assert kinds == {"root_flare_state"}
