"""Published figures on crowns and leaves: classes, ratio, area, color, and how many shoots to measure."""

from __future__ import annotations

import pytest

from rootcase.science.crown.classes import crown_rating_code, defoliation_class, live_crown_ratio_pct
from rootcase.science.crown.leaf import dark_green_index, leaf_area_m2
from rootcase.science.microscope.effort import fields_needed_by_scatter
from tests.published.vectors import Answers, Row, asserted, check


def area_cm2(row: Row) -> float:
    given = row.inputs
    return 1e4 * float(leaf_area_m2(given["length_cm"] / 100, given["width_cm"] / 100, given["k"]))


def shoots(row: Row) -> float:
    given = row.inputs
    return float(fields_needed_by_scatter(given["cv"], given["rel_error"], given["confidence"]))


ANSWERS: Answers = {
    ("crown_class_fia", "class_code"): lambda row: str(crown_rating_code(row.inputs["percent"])),
    ("defoliation_class_icp", "class"): lambda row: float(defoliation_class(row.inputs["defoliation_pct"])),
    ("live_crown_ratio", "live_crown_ratio"):
        lambda row: float(live_crown_ratio_pct(row.inputs["height_m"], row.inputs["crown_base_m"])),
    ("leaf_area", "area"): area_cm2,
    ("dgci", "dgci"): lambda row: float(dark_green_index(*(row.inputs[each] for each in ("hue_deg", "sat", "bri")))),
    ("sample_size_shoots", "shoots_per_tree"): shoots,
}


@pytest.mark.parametrize("row", asserted("practice-crowns.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
