"""Truths about the water a soil holds, pressed or not."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.soil.saxton_rawls import pore_size_index, saturated_conductivity_mm_h, soil_water

pytestmark = pytest.mark.property

SHARE, ORGANIC_PCT, DENSITY = st.floats(0, 1), st.floats(0, 7.9), st.floats(0.3, 2.5)


@given(SHARE, SHARE, ORGANIC_PCT, DENSITY)
def test_any_soil_at_any_density_keeps_some_air_and_has_finite_numbers(
    sand: float, rest: float, organic_pct: float, density: float
) -> None:
    soil = soil_water(sand, min(0.6, rest * (1 - sand)), organic_pct, density)
    assert all(np.isfinite(part) for part in soil)
    assert soil.saturation - soil.field_capacity >= 0.005 - 1e-12
    assert soil.saturation == pytest.approx(1 - density / 2.65)
    assert soil.wilting_point >= 0.01
    assert soil.conductivity_mm_h > 0


@given(SHARE, SHARE, ORGANIC_PCT)
def test_its_own_density_changes_nothing(sand: float, rest: float, organic_pct: float) -> None:
    clay = min(0.6, rest * (1 - sand))
    loose = soil_water(sand, clay, organic_pct)
    assert soil_water(sand, clay, organic_pct, loose.normal_density_mg_m3) == pytest.approx(loose)


def test_pressing_takes_pores_water_and_passage() -> None:
    pressed = soil_water(0.40, 0.20, 2.5, [1.3, 1.45, 1.6, 1.75])
    assert np.all(np.diff(pressed.saturation) < 0)
    assert np.all(np.diff(pressed.field_capacity) < 0)
    assert np.all(np.diff(pressed.conductivity_mm_h) < 0)
    assert np.ptp(np.broadcast_to(pressed.wilting_point, 4)) == 0


def test_a_clay_pressed_like_brick_holds_no_water_for_roots_and_still_computes() -> None:
    soil = soil_water(0.25, 0.50, 2.0, 2.2)
    assert soil.field_capacity < soil.wilting_point
    assert soil.conductivity_mm_h == pytest.approx(1930 * 0.005**3)


def test_a_heavy_clay_full_of_organic_matter_keeps_air_though_nothing_pressed_it() -> None:
    soil = soil_water(0.4, 0.6, 7.9)
    assert soil.saturation - soil.field_capacity == pytest.approx(0.005)
    assert np.isfinite(soil.conductivity_mm_h)


def test_pure_sand_keeps_a_wilting_point() -> None:
    assert soil_water(1.0, 0.0, 0.0).wilting_point == 0.01


@pytest.mark.parametrize(("given_values", "message"), [
    ((0.4, 0.2, 8.1), "organic_matter_pct is outside its range .got 8.1 %.; it must lie between 0 and 8 %"),
    ((0.2, 0.65, 2.0), "clay is outside its range .got 0.65"),
    ((0.7, 0.5, 2.0), "sand plus clay is outside"),
    ((0.4, 0.2, 2.0, 1450.0), "bulk_density_mg_m3 is outside its range .got 1450 Mg/m3"),
    ((0.4, 0.2, float("nan")), "organic_matter_pct is outside its range .got nan"),
])
def test_a_soil_outside_the_source_is_refused(given_values: tuple[float, ...], message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        soil_water(*given_values)


@given(SHARE, SHARE, ORGANIC_PCT, DENSITY)
def test_passage_is_that_of_the_pores_that_drain(sand: float, rest: float, organic_pct: float, density: float) -> None:
    soil = soil_water(sand, min(0.6, rest * (1 - sand)), organic_pct, density)
    index = pore_size_index(soil.field_capacity, soil.wilting_point)
    assert saturated_conductivity_mm_h(soil.saturation, soil.field_capacity, index) == soil.conductivity_mm_h


def test_pores_that_give_up_nothing_have_no_index_and_full_ones_without_drainage_pass_nothing() -> None:
    assert pore_size_index([0.20, 0.15], 0.20).tolist() == [0.0, 0.0]
    assert saturated_conductivity_mm_h(0.4, 0.4, 0.2) == 0.0
    with pytest.raises(OutOfRange, match=r"saturation less field capacity is outside its range .got -0.1"):
        saturated_conductivity_mm_h(0.3, 0.4, 0.2)
