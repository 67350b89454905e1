"""Truths about oxygen's way through soil and about the water roots can live with."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.soil.aeration import relative_diffusivity_millington_quirk, relative_diffusivity_penman
from rootcase.science.soil.least_limiting_water import least_limiting_water
from rootcase.science.soil.strength import strength_at_field_capacity_mpa, strength_mpa, water_at_strength

pytestmark = pytest.mark.property

PART = st.floats(0, 1)
INVENTED = 0.03, -2.0, 6.0


@given(st.floats(0.05, 0.95), PART)
def test_soil_never_passes_gas_more_freely_than_open_air_nor_than_its_air_allows(
    pores: float, full_of_air: float
) -> None:
    air = pores * full_of_air
    assert 0.0 <= relative_diffusivity_millington_quirk(air, pores) <= air + 1e-12
    assert relative_diffusivity_penman(air) <= air


def test_more_air_passes_more_gas_and_none_passes_none() -> None:
    air = np.linspace(0.0, 0.45, 10)
    for passes in (relative_diffusivity_penman(air), relative_diffusivity_millington_quirk(air, 0.45)):
        assert passes[0] == 0.0
        assert np.all(np.diff(passes) > 0)


def test_the_two_forms_are_29_fold_apart_where_roots_begin_to_lack_air() -> None:
    ratio = relative_diffusivity_penman(0.10) / relative_diffusivity_millington_quirk(0.10, 0.45)
    assert ratio == pytest.approx(28.8, abs=0.1)


def test_more_air_than_pores_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"air as a share of the pores is outside its range .got 1.25"):
        relative_diffusivity_millington_quirk(0.50, 0.40)


@given(st.floats(0.8, 2.0), PART, PART, PART)
def test_the_range_is_never_negative_nor_wider_than_the_available_water(
    density: float, one: float, other: float, hard: float
) -> None:
    wilting, capacity = sorted((one, other))
    lower, upper, width = least_limiting_water(density, capacity, wilting, hard, 0.10)
    assert 0.0 <= width <= max(capacity - wilting, 0.0)
    assert width == max(upper - lower, 0.0)
    if wilting < capacity:
        with pytest.raises(OutOfRange, match="wilting_point is not below field_capacity"):
            least_limiting_water(density, wilting, capacity, hard, 0.10)


def test_loose_soft_soil_has_all_its_available_water_and_pressing_takes_it() -> None:
    assert least_limiting_water(1.2, 0.28, 0.14, 0.05, 0.10).width == pytest.approx(0.14)
    density = np.array([1.2, 1.4, 1.5, 1.6, 1.7, 1.8])
    width = least_limiting_water(density, 0.28, 0.14, water_at_strength(2.0, density, 0.01, -2.0, 5.0), 0.10).width
    assert width[0] == pytest.approx(0.14)
    assert width[-1] == 0.0
    assert np.all(np.diff(width) <= 0)


@given(st.floats(0.05, 0.6), st.floats(0.8, 2.0))
def test_strength_and_water_turn_round(water: float, density: float) -> None:
    strength = strength_mpa(water, density, *INVENTED)
    if 0.01 <= strength <= 20.0:
        assert water_at_strength(strength, density, *INVENTED) == pytest.approx(water)


def test_wetter_is_softer_and_denser_harder() -> None:
    assert np.all(np.diff(strength_mpa([0.1, 0.2, 0.3], 1.4, *INVENTED)) < 0)
    assert np.all(np.diff(strength_mpa(0.2, [1.2, 1.4, 1.6], *INVENTED)) > 0)


def test_on_one_soil_the_form_is_the_ratio_readings_are_brought_to_field_capacity_by() -> None:
    dry, full = strength_mpa([0.15, 0.28], 1.4, *INVENTED)
    assert strength_at_field_capacity_mpa(dry, 0.15, 0.28, 2.0) == pytest.approx(full)


def test_coefficients_of_the_wrong_sign_are_refused() -> None:
    with pytest.raises(OutOfRange, match=r"water_power is outside its range .got 2"):
        strength_mpa(0.2, 1.4, 0.03, 2.0, 6.0)
