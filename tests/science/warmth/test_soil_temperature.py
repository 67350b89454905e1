"""Truths about the yearly wave of warmth in the soil."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.science.warmth.soil_temperature import (
    damping_depth_m,
    root_growth_temperature_c,
    soil_temperature_c,
    yearly_wave,
)

pytestmark = pytest.mark.property

DAYS = np.arange(36_500) / 100.0
depths = st.floats(0, 5)
diffusivities = st.floats(2e-7, 1e-6)


@given(depths, st.floats(-5, 25), st.floats(0, 20), st.sampled_from([20.0, 200.0]), diffusivities)
def test_the_year_keeps_its_mean_at_every_depth_and_swings_by_the_amplitude(
        depth: float, mean: float, amplitude: float, coldest: float, diffusivity: float) -> None:
    year = soil_temperature_c(DAYS, depth, mean, amplitude, coldest, diffusivity)
    reached = yearly_wave(depth, amplitude, diffusivity).amplitude_c
    assert np.mean(year) == pytest.approx(mean, abs=1e-6)
    assert np.ptp(year) / 2 == pytest.approx(reached, abs=1e-6)


@given(depths, st.sampled_from([20.0, 200.0]), diffusivities)
def test_the_coldest_day_comes_as_late_as_the_lag_says(depth: float, coldest: float, diffusivity: float) -> None:
    year = soil_temperature_c(DAYS, depth, 10.0, 12.0, coldest, diffusivity)
    late = yearly_wave(depth, 12.0, diffusivity).lag_days
    apart = (DAYS[np.argmin(year)] - coldest - late + 182.5) % 365 - 182.5
    assert apart == pytest.approx(0.0, abs=0.011)


def test_one_damping_depth_down_a_swing_is_one_over_e_and_a_radian_late() -> None:
    depth = damping_depth_m(0.6e-6, 365 * 86_400)
    reached = yearly_wave(depth, 10.0, 0.6e-6)
    assert reached.amplitude_c == pytest.approx(10 / np.e)
    assert reached.lag_days == pytest.approx(365 / (2 * np.pi))


def test_four_times_the_time_or_the_diffusivity_goes_twice_as_deep() -> None:
    assert damping_depth_m(4e-7, 86_400) == pytest.approx(2 * damping_depth_m(1e-7, 86_400))
    assert damping_depth_m(4e-7, 4 * 86_400) == pytest.approx(2 * damping_depth_m(4e-7, 86_400))


@given(depths, st.floats(1, 364))
def test_the_wave_obeys_the_equation_of_heat(depth: float, day: float) -> None:
    """dT/dt = kappa d2T/dz2, by differences."""
    kappa, step_m, step_day = 5e-7, 1e-3, 1e-3

    def temperature(days: float, depth_m: float) -> float:
        return float(soil_temperature_c(days, depth_m, 10.0, 12.0, 20.0, kappa))

    deep = depth + step_m
    by_time = (temperature(day + step_day, deep) - temperature(day - step_day, deep)) / (2 * step_day * 86_400)
    by_depth = (temperature(day, deep + step_m) - 2 * temperature(day, deep) + temperature(day, deep - step_m))
    assert by_time == pytest.approx(kappa * by_depth / step_m**2, abs=2e-9)


def test_half_a_year_turns_winter_into_summer() -> None:
    north, south = (soil_temperature_c(20.0, 0.0, 15.0, 8.0, coldest, 5e-7) for coldest in (20.0, 202.5))
    assert (float(north), float(south)) == (pytest.approx(7.0), pytest.approx(23.0))


def test_roots_begin_before_they_hasten_before_they_stop() -> None:
    conifers = [root_growth_temperature_c(mark) for mark in ("begins", "fast_from", "fastest", "firs_none")]
    assert conifers == sorted(conifers)
    assert root_growth_temperature_c("hardly_any_below") < root_growth_temperature_c("most_above")


def test_an_unknown_mark_is_missing() -> None:
    with pytest.raises(Missing, match=r"no rows of the table fit .got mark = best"):
        root_growth_temperature_c("best")


def test_a_diffusivity_in_square_millimetres_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"diffusivity_m2_s is outside its range .got 0.5 m2/s"):
        damping_depth_m(0.5, 86_400)
