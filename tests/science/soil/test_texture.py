"""Truths about texture classes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange
from rootcase.science.soil.texture import BY_FEEL, central_fractions, texture_by_feel, texture_class
from rootcase.tables.load import table

pytestmark = pytest.mark.property

CLASSES = [row["texture"] for row in table("soil/texture_centres").rows]


@given(st.floats(0, 1), st.floats(0, 1))
def test_every_soil_has_a_class(first: float, second: float) -> None:
    sand, clay = min(first, second), 1.0 - max(first, second)
    assert texture_class(sand, max(0.0, 1.0 - sand - clay), clay) in CLASSES


@pytest.mark.parametrize("name", CLASSES)
def test_the_middle_of_a_class_belongs_to_it(name: str) -> None:
    sand, clay = central_fractions(name)
    assert texture_class(sand, 1.0 - sand - clay, clay) == name


def test_a_laboratory_may_round_to_a_tenth_of_a_percent_and_no_more() -> None:
    assert texture_class(0.333, 0.333, 0.333) == "clay_loam"
    with pytest.raises(ImpossibleValue, match=r"sand, silt and clay do not add up .got 99 %.; they must sum to 100 %"):
        texture_class(0.33, 0.33, 0.33)


def test_a_share_computed_as_what_others_leave_stays_on_its_border() -> None:
    assert 1 - 0.8 < 0.2
    assert texture_class(0.53, 0.27, 1 - 0.8) == "sandy_clay_loam"


def test_percent_given_for_a_share_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"sand is outside its range \(got 40\)"):
        texture_class(40, 40, 20)


def test_the_hand_finds_every_class_but_silt() -> None:
    felt = {texture_by_feel(True, ribbon_m, feel) for ribbon_m in (0.01, 0.03, 0.06) for feel in BY_FEEL["short"]}
    assert felt | {texture_by_feel(False, 0.0, "gritty"), texture_by_feel(True, 0.0, "gritty")} == {*CLASSES} - {"silt"}


def test_a_ribbon_on_the_border_counts_as_medium() -> None:
    assert [texture_by_feel(True, ribbon_m, "neither") for ribbon_m in (0.0249, 0.025, 0.05, 0.0501)] == [
        "loam", "clay_loam", "clay_loam", "clay"]


def test_what_is_not_on_the_chart_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"this feel is not on the chart .got sticky.; gritty, smooth or neither"):
        texture_by_feel(True, 0.03, "sticky")
    with pytest.raises(OutOfRange, match=r"ribbon_m is outside its range .got 2 m"):
        texture_by_feel(True, 2.0, "gritty")
    with pytest.raises(Missing, match="texture = mud"):
        central_fractions("mud")


def test_copies_of_the_chart_part_where_their_ribbons_do() -> None:
    felt = {chart: [texture_by_feel(True, inches * 0.0254, "neither", chart) for inches in (0.9, 1.5, 2.5, 3.5)]
            for chart in ("extension", "wetland")}
    assert felt == {"extension": ["loam", "clay_loam", "clay", "clay"],
                    "wetland": ["loam", "loam", "clay_loam", "clay"]}
    with pytest.raises(Missing, match="chart = garden"):
        texture_by_feel(True, 0.03, "neither", "garden")
