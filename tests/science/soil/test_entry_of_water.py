"""Truths about water going into flooded ground, by either law."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.science.soil.green_ampt import (
    green_ampt_deficit,
    green_ampt_depth_mm,
    green_ampt_ponding_h,
    green_ampt_rate_mm_h,
    green_ampt_soil,
)
from rootcase.science.soil.philip import philip_depth_mm, philip_from_two_readings, philip_rate_mm_h
from rootcase.science.soil.retention import brooks_corey_of_class, front_suction_mm
from rootcase.tables.load import table

pytestmark = pytest.mark.property

CLASSES = [row["texture"] for row in table("soil/green_ampt_rawls").rows]
RATE, SUCTION, DEFICIT, TIME = st.floats(0.1, 500), st.floats(1, 2000), st.floats(0.01, 0.6), st.floats(0.01, 500)


@given(RATE, SUCTION, DEFICIT, TIME)
def test_the_depth_satisfies_the_law_it_was_solved_from(
    rate: float, suction: float, deficit: float, time: float
) -> None:
    depth, head = green_ampt_depth_mm(rate, suction, deficit, time), suction * deficit
    assert depth - head * np.log1p(depth / head) == pytest.approx(rate * time, rel=1e-9)


@given(RATE, SUCTION, DEFICIT, TIME)
def test_the_rate_is_the_slope_of_the_depth(rate: float, suction: float, deficit: float, time: float) -> None:
    before, depth, after = green_ampt_depth_mm(rate, suction, deficit, time * np.array([0.9999, 1.0, 1.0001]))
    slope = (after - before) / (0.0002 * time)
    assert green_ampt_rate_mm_h(rate, suction, deficit, depth) == pytest.approx(slope, rel=1e-4)


@given(RATE, SUCTION, DEFICIT, st.floats(1.01, 20))
def test_at_ponding_the_ground_takes_just_the_rain(
    rate: float, suction: float, deficit: float, times_as_fast: float
) -> None:
    rain = rate * times_as_fast
    fallen = rain * green_ampt_ponding_h(rate, suction, deficit, rain)
    assert green_ampt_rate_mm_h(rate, suction, deficit, fallen) == pytest.approx(rain)


def test_a_rain_the_ground_can_take_never_stands_and_full_ground_floods_at_once() -> None:
    assert green_ampt_ponding_h(6.5, 167.0, 0.34, [0.0, 3.0, 6.5]).tolist() == [np.inf] * 3
    assert green_ampt_ponding_h(6.5, 167.0, 0.0, 7.0) == 0.0


def test_full_ground_drinks_at_its_conductivity_and_nothing_goes_in_at_the_start() -> None:
    assert green_ampt_depth_mm(6.5, 167.0, 0.0, [0.0, 2.0]).tolist() == [0.0, 13.0]
    assert green_ampt_depth_mm(6.5, 167.0, 0.34, 0.0) == 0.0
    assert green_ampt_depth_mm(0.0, 167.0, 0.34, 5.0) == 0.0
    assert green_ampt_deficit(0.486, 1.0) == 0.0


def test_drier_ground_with_more_suction_drinks_more_and_ever_more_slowly() -> None:
    depth = green_ampt_depth_mm(6.5, 167.0, [0.1, 0.2, 0.3], 1.0)
    assert np.all(np.diff(depth) > 0)
    over_time = green_ampt_depth_mm(6.5, 167.0, 0.34, np.linspace(0.0, 10.0, 21))
    assert np.all(np.diff(over_time) > 6.5 * 0.5)
    assert np.all(np.diff(over_time, 2) < 0)


def test_lanes_and_shapes_are_kept() -> None:
    soil = green_ampt_soil([["loam", "clay"], ["sand", "loam"]])
    depth = green_ampt_depth_mm(soil.conductivity_mm_h, soil.suction_mm, soil.effective_porosity * 0.7, 1.0)
    assert depth.shape == (2, 2)
    assert depth[0, 0] == depth[1, 1] > depth[0, 1]
    assert np.shape(green_ampt_soil("loam").suction_mm) == ()


@pytest.mark.parametrize("texture", CLASSES)
def test_two_tables_of_one_family_give_nearly_one_suction(texture: str) -> None:
    ratio = front_suction_mm(*brooks_corey_of_class(texture)) / green_ampt_soil(texture).suction_mm
    assert 0.97 < ratio < 0.995


@pytest.mark.parametrize("texture", CLASSES)
def test_effective_pores_are_a_part_of_all_pores(texture: str) -> None:
    soil = green_ampt_soil(texture)
    assert 0.6 * soil.porosity < soil.effective_porosity < soil.porosity


def test_evener_pores_halve_the_bubbling_head_and_mixed_ones_keep_it() -> None:
    assert front_suction_mm(0.0, 100.0) == 100.0
    assert front_suction_mm(10.0, 100.0) == pytest.approx(50.0, abs=2.0)


def test_a_class_the_source_does_not_have_is_refused() -> None:
    with pytest.raises(Missing, match="texture = silt"):
        green_ampt_soil(["loam", "silt"])
    with pytest.raises(Missing, match="texture = silt"):
        brooks_corey_of_class("silt")


def test_the_very_start_has_no_rate() -> None:
    with pytest.raises(OutOfRange, match=r"depth_mm is outside its range .got 0 mm"):
        green_ampt_rate_mm_h(6.5, 167.0, 0.34, 0.0)
    with pytest.raises(OutOfRange, match=r"time_h is outside its range .got 0 h"):
        philip_rate_mm_h(30.0, 20.0, 0.0)


@given(st.floats(0, 500), st.floats(0, 100), st.floats(0.01, 1), st.floats(1.1, 50))
def test_two_readings_of_the_law_give_back_the_readings(
    sorptivity: float, steady: float, first_h: float, times_as_long: float
) -> None:
    second_h = first_h * times_as_long
    depths = philip_depth_mm(sorptivity + 1.0, steady + 1.0, [first_h, second_h])
    fit = philip_from_two_readings(first_h, depths[0], second_h, depths[1])
    assert fit == pytest.approx((sorptivity + 1.0, steady + 1.0), rel=1e-8, abs=1e-8)
    assert philip_depth_mm(*fit, [first_h, second_h]) == pytest.approx(depths)


@given(st.floats(0, 1000), st.floats(0, 500), st.floats(0.01, 100))
def test_philip_s_rate_is_the_slope_and_falls_to_the_steady_one(sorptivity: float, steady: float, time: float) -> None:
    before, after = philip_depth_mm(sorptivity, steady, time * np.array([0.9999, 1.0001]))
    rate = philip_rate_mm_h(sorptivity, steady, time)
    assert rate == pytest.approx((after - before) / (0.0002 * time), rel=1e-6, abs=1e-6)
    assert rate >= philip_rate_mm_h(sorptivity, steady, 1000.0) >= steady


@pytest.mark.parametrize(("readings", "message"), [
    ((0.25, 20.0, 1.0, 100.0), "sorptivity is outside its range .got -20 mm/h"),
    ((0.25, 20.0, 1.0, 30.0), "steady_mm_h is outside its range .got -20 mm/h"),
    ((1.0, 50.0, 0.25, 20.0), "first_time_h is not below second_time_h"),
])
def test_readings_that_do_not_follow_the_law_are_refused(readings: tuple[float, ...], message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        philip_from_two_readings(*readings)
