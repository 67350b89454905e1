"""A reading put right keeps the way it was measured in."""

from __future__ import annotations

import math

import pytest

from rootcase.fieldbook.events import ReadingTaken
from rootcase.fieldbook.intake.correction import corrected


@pytest.mark.parametrize(("attributes", "typed", "value_mm"), [
    ({}, "44", 44 * 25.4), ({"measured": "girth"}, "44", 44 * 25.4 / math.pi),
    ({"measured": "girth"}, "110 cm", 1100 / math.pi), ({"measured": "caliper"}, "4", 4 * 25.4)])
def test_a_corrected_trunk_is_measured_as_it_was(attributes: dict[str, str], typed: str, value_mm: float) -> None:
    first = ReadingTaken(slot="s", kind="dbh", of="t", visit="v", typed="40 in", value=1016.0, attributes=attributes)
    again = corrected(first, "e", typed, "slip", "us")
    assert again.value == pytest.approx(value_mm)
    assert again.attributes == attributes
