"""Published figures on lines and discs of pixels."""

from __future__ import annotations

import numpy as np
import pytest

from rootcase.science.photo.debris import disc
from rootcase.science.photo.paths import chain_length_px
from tests.published.vectors import Answers, Row, asserted, check


def chain(row: Row) -> float:
    """A straight line as pixels, its length by steps over the true one."""
    length_px, turn = row.inputs["line_px"], np.radians(row.inputs["angle_deg"])
    along = np.arange(round(length_px * np.cos(turn)) + 1)
    pixels = np.column_stack([np.rint(along * np.tan(turn)), along])
    return chain_length_px(pixels, *row.inputs["weights"]) / length_px


ANSWERS: Answers = {
    ("image", "measured_over_true"): chain,
    ("image", "area_px"): lambda row: int(disc(row.inputs["radius_px"]).sum()),
}


@pytest.mark.parametrize("row", asserted("hyphae.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
