"""Truths about a vat's oxygen, and the doubts its readings leave."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import ImpossibleValue, OutOfRange
from rootcase.science.tank.oxygen import (
    hours_to_floor,
    oxygen_uptake_mg_l_h,
    share_of_saturation_pct,
    steady_oxygen_mg_l,
)
from rootcase.science.water.dissolved_oxygen import (
    oxygen_saturation_mg_l,
    saturation_at_pressure_mg_l,
    station_pressure_kpa,
)

pytestmark = pytest.mark.property


@given(st.floats(0, 59), st.floats(45, 119), st.floats(0, 39))
def test_thin_air_and_salt_leave_less_oxygen(warmth: float, pressure: float, salt: float) -> None:
    here = saturation_at_pressure_mg_l(warmth, pressure, salt)
    assert here < saturation_at_pressure_mg_l(warmth, pressure + 1, salt)
    assert here > saturation_at_pressure_mg_l(warmth, pressure, salt + 1)


@pytest.mark.published
def test_sea_water_by_another_fit_of_the_same_data() -> None:
    """Garcia and Gordon 1992, Limnol. Oceanogr. 37:1307-1312, check value at 10 degC and 35: 274.6 umol/kg (memory);
    sea water there weighs 1.02695 kg/L (memory)."""
    assert saturation_at_pressure_mg_l(10.0, 101.325, 35.0) == pytest.approx(0.2746 * 31.999 * 1.02695, abs=0.02)


def test_the_weather_reports_pressure_is_not_the_places() -> None:
    reported = 101.6
    taken_as_it_stands = saturation_at_pressure_mg_l(15.0, reported)
    turned_back = saturation_at_pressure_mg_l(15.0, station_pressure_kpa(1609.0, reported))
    assert taken_as_it_stands / turned_back > 1.2
    assert station_pressure_kpa(0.0, reported) == reported
    assert turned_back == pytest.approx(oxygen_saturation_mg_l(15.0, 1609.0), rel=0.004)


def test_more_oxygen_than_air_gives_is_refused_with_what_water_holds() -> None:
    with pytest.raises(ImpossibleValue, match=r"got 11.9 mg/L, it holds 8.6.*calibrate"):
        share_of_saturation_pct([8.0, 11.9], 8.6)
    assert share_of_saturation_pct(8.9, 8.6) > 100.0  # inside the margin it is told as it is


@given(st.floats(0.1, 20), st.floats(5, 12), st.integers(3, 12), st.floats(0.02, 0.5))
def test_readings_on_a_line_give_its_slope_and_no_less_doubt_than_the_meter(
        rate: float, start: float, number: int, meter: float) -> None:
    hours = np.linspace(0.0, start / rate / 2, number)
    found = oxygen_uptake_mg_l_h(hours, start - rate * hours, meter)
    assert found.rate == pytest.approx(rate)
    assert (found.high - found.low) / 2 == pytest.approx(
        1.959964 * meter / np.sqrt(np.sum((hours - hours.mean()) ** 2)), rel=1e-5)


def test_readings_that_scatter_more_than_the_meter_widen_the_interval() -> None:
    smooth = oxygen_uptake_mg_l_h([0.0, 0.5, 1.0, 1.5], [8.0, 7.0, 6.0, 5.0], 0.1)
    rough = oxygen_uptake_mg_l_h([0.0, 0.5, 1.0, 1.5], [8.0, 6.5, 6.5, 5.0], 0.1)
    assert rough.high - rough.low > 2 * (smooth.high - smooth.low)


def test_the_interval_holds_what_it_says(long: bool) -> None:
    chance = np.random.default_rng(9)
    tries, hours = 20_000 if long else 1000, np.array([0.0, 0.2, 0.4, 0.6])
    held = 0
    for noise in chance.normal(0.0, 0.2, (tries, 4)):
        found = oxygen_uptake_mg_l_h(hours, 8.0 - 4.0 * hours + noise, 0.2)
        held += found.low <= 4.0 <= found.high
    assert held / tries >= 0.94


@pytest.mark.parametrize(("hours", "oxygen"), [([0.0], [8.0]), ([1.0, 1.0], [8.0, 7.0]), ([0.0, 1.0], [8.0])])
def test_what_is_no_run_of_readings_is_refused(hours: list[float], oxygen: list[float]) -> None:
    with pytest.raises(OutOfRange, match="two readings or more at different times"):
        oxygen_uptake_mg_l_h(hours, oxygen, 0.1)


@given(st.floats(0, 15), st.floats(0, 12), st.floats(0.01, 50))
def test_at_the_hour_told_the_floor_is_reached(start: float, floor: float, used: float) -> None:
    hours = float(hours_to_floor(start, floor, used))
    assert hours == 0.0 if start <= floor else start - used * hours == pytest.approx(floor)


def test_no_use_never_reaches_the_floor_but_a_vat_below_it_is_there() -> None:
    assert hours_to_floor([8.0, 4.0, 8.0], 5.0, [0.0, 0.0, -1.0]).tolist() == [np.inf, 0.0, np.inf]


@given(st.floats(1, 14), st.floats(0, 500), st.floats(0.1, 50))
def test_a_blower_never_fills_above_saturation(saturation: float, used: float, transfer: float) -> None:
    steady = float(steady_oxygen_mg_l(saturation, used, transfer))
    assert 0.0 <= steady <= saturation
    assert steady == 0.0 or transfer * (saturation - steady) == pytest.approx(used, abs=1e-9)
