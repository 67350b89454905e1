"""Truths about density and air."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.soil.density import air_filled_porosity, density_limits
from rootcase.science.soil.porosity import total_porosity
from rootcase.science.soil.texture import central_fractions

pytestmark = pytest.mark.property


@given(st.floats(0, 1), st.floats(0, 1))
def test_every_soil_has_limits_in_order(first: float, second: float) -> None:
    ideal, may_affect, restricts = density_limits(min(first, second), 1.0 - max(first, second))
    assert 1.0 < ideal < may_affect < restricts < 2.0


@pytest.mark.parametrize(("texture", "restricts"), [("sandy_loam", 1.80), ("loam", 1.75), ("silt_loam", 1.65)])
def test_a_class_in_two_rows_takes_the_lower(texture: str, restricts: float) -> None:
    assert density_limits(*central_fractions(texture)).restricts == restricts


def test_clay_loam_is_split_at_35_and_clay_at_45_percent() -> None:
    sand, clay = np.full(6, 0.30), np.array([0.34, 0.35, 0.36, 0.44, 0.45, 0.46])
    assert density_limits(sand, clay).restricts.tolist() == [1.75, 1.75, 1.58, 1.58, 1.58, 1.47]
    assert density_limits(sand, clay).may_affect.tolist() == [1.60, 1.60, 1.49, 1.49, 1.49, 1.39]


def test_no_texture_is_more_than_the_whole() -> None:
    with pytest.raises(OutOfRange, match=r"sand plus clay is outside its range .got 1.2"):
        density_limits(0.7, 0.5)


@given(st.floats(0.5, 2.0), st.floats(0, 0.2))
def test_solid_water_and_air_fill_the_soil(density: float, water: float) -> None:
    assert density / 2.65 + water + air_filled_porosity(density, water) == pytest.approx(1.0)


def test_solid_rock_has_no_pores_and_more_water_than_pores_is_refused() -> None:
    assert total_porosity(2.65) == 0.0
    with pytest.raises(OutOfRange, match="what water leaves for air is outside its range"):
        air_filled_porosity(1.7, 0.40)
