"""Truths about stones in a soil."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.soil.stones import (
    conductivity_with_stones_mm_h,
    density_with_stones_mg_m3,
    stone_volume,
    water_with_stones,
)

pytestmark = pytest.mark.property

SHARE, DENSITY = st.floats(0, 1), st.floats(0.3, 2.65)


@given(SHARE, DENSITY)
def test_weight_and_volume_tell_of_the_same_stones(weight: float, density: float) -> None:
    volume = stone_volume(weight, density)
    assert 0.0 <= volume <= weight + 1e-12
    assert 2.65 * volume / density_with_stones_mg_m3(volume, density) == pytest.approx(weight, abs=1e-12)


@given(SHARE, DENSITY)
def test_a_soil_without_stones_stays_and_a_heap_of_stones_holds_and_passes_nothing(rate: float, density: float) -> None:
    assert conductivity_with_stones_mm_h(rate, 0.0, density) == rate
    assert water_with_stones(rate, 0.0) == rate
    assert density_with_stones_mg_m3(0.0, density) == pytest.approx(density)
    assert conductivity_with_stones_mm_h(rate, 1.0, density) == water_with_stones(rate, 1.0) == 0.0
    assert density_with_stones_mg_m3(stone_volume(1.0, density), density) == pytest.approx(2.65)


def test_more_stones_weigh_more_and_hold_and_pass_less() -> None:
    weight = np.linspace(0.0, 1.0, 11)
    volume = stone_volume(weight, 1.4)
    assert np.all(np.diff(volume) > 0)
    assert np.all(np.diff(density_with_stones_mg_m3(volume, 1.4)) > 0)
    assert np.all(np.diff(water_with_stones(0.14, volume)) < 0)
    assert np.all(np.diff(conductivity_with_stones_mm_h(15.0, weight, 1.4)) < 0)


def test_percent_given_for_a_share_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"stones_by_weight is outside its range .got 20 kg/kg"):
        stone_volume(20.0, 1.4)
    with pytest.raises(OutOfRange, match=r"fine_density_mg_m3 is outside its range .got 1400 Mg/m3"):
        conductivity_with_stones_mm_h(15.0, 0.2, 1400.0)
