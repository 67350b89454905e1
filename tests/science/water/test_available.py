"""Truths about the water that roots can draw on."""

from __future__ import annotations

import pytest

from rootcase.ground.errors import OutOfRange
from rootcase.science.water.available import total_available_water_mm

pytestmark = pytest.mark.property


def test_twice_the_depth_holds_twice_the_water() -> None:
    shallow, deep = total_available_water_mm(0.30, 0.12, [0.3, 0.6])
    assert deep == pytest.approx(2 * shallow)
    assert total_available_water_mm(0.30, 0.12, 0.0) == 0.0


def test_swapped_boxes_are_asked_about() -> None:
    with pytest.raises(OutOfRange, match=r"wilting_point is not below field_capacity .*were the two boxes swapped\?"):
        total_available_water_mm(0.15, 0.22, 0.4)
