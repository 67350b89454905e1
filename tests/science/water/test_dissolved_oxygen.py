"""Oxygen that water takes up from the air: the published tables, and what must hold anywhere."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.water.dissolved_oxygen import oxygen_saturation_mg_l

# EN 25814, as an instrument's manual prints it (seen); the equation by Benson and Krause 1984, L&O 29:620-632, at
# heights, computed earlier in plain Python.
EN_25814 = [(0, 14.6, 0.06), (5, 12.8, 0.06), (10, 11.3, 0.06), (15, 10.1, 0.06), (20, 9.09, 0.01), (25, 8.26, 0.01),
            (30, 7.56, 0.01)]
AT_HEIGHT = [(20, 500, 8.5543), (20, 1000, 8.0417), (20, 1609.344, 7.45), (10, 1609.344, 9.2718), (25, 300, 7.9647),
             (30, 2000, 5.8605)]


@pytest.mark.published
@pytest.mark.parametrize(("warmth", "printed", "allowed"), EN_25814)
def test_the_table_of_the_standard(warmth: float, printed: float, allowed: float) -> None:
    assert float(oxygen_saturation_mg_l(warmth)) == pytest.approx(printed, abs=allowed)


@pytest.mark.published
@pytest.mark.parametrize(("warmth", "height", "expected"), AT_HEIGHT)
def test_at_a_height(warmth: float, height: float, expected: float) -> None:
    assert float(oxygen_saturation_mg_l(warmth, height)) == pytest.approx(expected, abs=0.0005)


@pytest.mark.property
@given(st.floats(0, 59), st.floats(-500, 5900))
def test_warm_and_high_water_holds_less(warmth: float, height: float) -> None:
    here = oxygen_saturation_mg_l(warmth, height)
    assert 0 < oxygen_saturation_mg_l(warmth + 1, height) < here
    assert 0 < oxygen_saturation_mg_l(warmth, height + 100) < here
    assert np.shape(oxygen_saturation_mg_l([warmth] * 3, height)) == (3,)


@pytest.mark.parametrize(("warmth", "height"), [(-1, 0), (61, 0), (20, 7000), (float("nan"), 0)])
def test_outside_its_range_it_refuses(warmth: float, height: float) -> None:
    with pytest.raises(OutOfRange, match=r"temperature_c|elevation_m"):
        oxygen_saturation_mg_l(warmth, height)
