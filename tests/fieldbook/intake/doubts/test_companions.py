"""What a reading cannot say for want of another is told once, and doubts no value."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from rootcase.fieldbook.events import Body, VisitStarted
from rootcase.fieldbook.intake.doubts.adding import add_doubts
from rootcase.fieldbook.intake.doubts.companions import COMPANIONS
from tests.fieldbook.intake.doubts.made import drafts, standing, taken
from tests.fieldbook.sheets import SHEET, open_book, write_sheet

PUSH = taken("penetration_profile", "2 MPa", "pit 1", depth_from_m=0.15)
# The reading, what it needs, and the words where that is missing.
CASES: dict[str, tuple[Body, Body, str]] = {
    "position": (taken("shoot_length_last", "7.5 in"), taken("shoot_position", "upper"), "where on the crown"),
    "leaf_stage": (taken("shoot_length_by_year", "7.5 in", growth_year=2016), taken("leaf_stage", "full"),
                   "how far the leaves were"),
    "moisture": (PUSH, taken("soil_moisture_feel", "good", "pit 1", depth_from_m=0.1, depth_to_m=0.2), "moisture"),
    "cone": (PUSH, taken("penetrometer_cone", "small", "new"), "the cone is not said"),
    "stop": (taken("probe_depth", "7.5 in", "pit 1"), taken("probe_stop", "hard", "pit 1"), "what stopped the rod"),
    "view_depth": (taken("crown_transparency", "30 %"), taken("crown_view_depth", "6 m"), "how much crown"),
    "sky": (taken("crown_transparency", "30 %"), taken("sky_light", "even", "new"), "the light of the sky"),
    "colour_state": (taken("soil_colour", "10YR 3/2", "pit 1"), taken("soil_colour_state", "moist", "pit 1"),
                     "moist or dry"),
    "basis": (taken("planting_year", "2010 year"), taken("planting_year_basis", "record"), "who knows the year"),
}


def told(now: list[Body], before: list[Body]) -> list[str]:
    new = drafts(*now)
    found = add_doubts(new, standing(before))
    assert not any(getattr(body, "doubts", ()) for body in new.values())
    return found


@pytest.mark.parametrize("companion", CASES)
def test_a_lack_is_told_with_its_first_row_until_the_companion_is_there(companion: str) -> None:
    reading, needed, words = CASES[companion]
    lacking = [each for each in told([reading], []) if words in each]
    assert len(lacking) == 1
    assert lacking[0].startswith("row of ")
    assert not any(words in each for each in told([reading, needed], []))
    assert not any(words in each for each in told([reading], [needed]))  # it came earlier


@pytest.mark.parametrize("companion", sorted(CASES.keys() - {"basis"}))
def test_a_companion_of_another_visit_does_not_help(companion: str) -> None:
    reading, needed, words = CASES[companion]
    of = "old" if needed.of == "new" else needed.of  # type: ignore[attr-defined]
    other = taken(needed.kind, needed.typed, of, "old")  # type: ignore[attr-defined]
    assert any(words in each for each in told([reading], [other]))


def test_moisture_of_another_depth_does_not_help() -> None:
    shallow = taken("soil_moisture_feel", "good", "pit 1", depth_from_m=0.0, depth_to_m=0.05)
    assert any("moisture" in each for each in told([PUSH, shallow], []))


def test_many_readings_are_told_in_one_line_and_not_again() -> None:
    pushes: list[Body] = [taken("probe_depth", f"{n + 3} in", "pit 1", series=str(n)) for n in range(7)]
    line, = told(pushes, [])
    assert line == ("row of pit 1: Probe depth to refusal: what stopped the rod is not said, so they count as hard "
                    "soil, with more doubt (7 of them)")
    assert told(pushes, pushes) == []


@pytest.mark.parametrize(("shoot", "day"), [
    (taken("shoot_length_by_year", "7.5 in", growth_year=2015), date(2016, 7, 9)),
    (taken("shoot_length_by_year", "7.5 in", growth_year=2016), date(2016, 10, 9)),
    (taken("shoot_length_last", "7.5 in"), date(2016, 5, 9))])
def test_a_shoot_that_has_ended_needs_no_leaf_stage(shoot: Body, day: date) -> None:
    visit = VisitStarted(slot="new", visit="new", label="new", day=day)
    assert not any("how far the leaves were" in each for each in told([visit, shoot], []))


def test_a_shoot_on_the_page_of_shoots_has_its_position() -> None:
    shoot = taken("shoot_length_by_year", "7.5 in", growth_year=2015, attributes={"position": "upper"})
    assert not any("where on the crown" in each for each in told([shoot], []))


def test_every_companion_is_tried() -> None:
    assert COMPANIONS.keys() == CASES.keys()


def test_a_count_that_may_be_of_two_things_is_refused_without(tmp_path: Path) -> None:
    trees = [["tree", "place", "visit", "helper_count", "effort"], ["oak 1", "wood", "autumn", "7", "20 leaves"],
             ["oak 4", "lawn", "autumn", "7", ""]]
    with open_book(tmp_path / "f.sqlite") as book:
        result = book.import_sheet(write_sheet(tmp_path / "in", {**SHEET, "trees": trees, "pits": [["pit"]]}))
        fault, = result.faults
        assert fault.line == (
            'trees, row 3, helper_count: Helpers: predators, mummies, sick larvae: a count needs what it was counted '
            'on (got "7"); say it in a column effort: 10_taps, 20_leaves')
        kept, = (each for each in book.record(result.property_id).readings if each.kind == "helper_count")
        assert dict(kept.attributes) == {"effort": "20_leaves"}
