"""Truths about sun, air and thirst that hold anywhere."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.water.atmosphere import air_pressure_kpa, saturation_vapour_pressure_kpa, wind_at_2m_m_s
from rootcase.science.water.radiation import net_longwave_mj_m2_day
from rootcase.science.water.reference_et import hargreaves_mm_day, penman_monteith_mm_day
from rootcase.science.water.sun import daylight_hours, extraterrestrial_radiation_mj_m2_day

pytestmark = pytest.mark.property

LATITUDE = st.floats(-90, 90)
DAY = st.integers(1, 366)


@given(LATITUDE, DAY)
def test_a_day_here_and_a_day_on_the_other_side_make_24_hours(latitude_deg: float, day: int) -> None:
    assert daylight_hours(latitude_deg, day) + daylight_hours(-latitude_deg, day) == pytest.approx(24.0)


@given(LATITUDE, DAY)
def test_the_sun_never_takes_heat_away(latitude_deg: float, day: int) -> None:
    assert 0.0 <= extraterrestrial_radiation_mj_m2_day(latitude_deg, day) < 50.0


def test_the_polar_night_is_dark_and_the_midnight_sun_does_not_set() -> None:
    assert daylight_hours([80.0, 80.0], [355, 172]).tolist() == [0.0, 24.0]
    assert hargreaves_mm_day(-30.0, -20.0, 80.0, 355) == 0.0
    assert penman_monteith_mm_day(-30.0, -20.0, 0.05, 0.0, 2.0, 10.0, 80.0, 355) >= 0.0


@given(st.floats(-40, 40), st.floats(0, 20), LATITUDE, DAY)
def test_thirst_is_never_negative(t_min_c: float, swing_c: float, latitude_deg: float, day: int) -> None:
    vapour = saturation_vapour_pressure_kpa(t_min_c)
    assert hargreaves_mm_day(t_min_c, t_min_c + swing_c, latitude_deg, day) >= 0.0
    assert penman_monteith_mm_day(t_min_c, t_min_c + swing_c, vapour, 5.0, 2.0, 100.0, latitude_deg, day) >= 0.0


def test_dry_air_wind_and_sun_make_thirst() -> None:
    def thirst(vapour_kpa: float = 1.2, sun: float = 20.0, wind: float = 2.0) -> float:
        return float(penman_monteith_mm_day(12.0, 26.0, vapour_kpa, sun, wind, 100.0, 45.0, 180))

    assert thirst(vapour_kpa=0.8) > thirst()
    assert thirst(sun=25.0) > thirst()
    assert thirst(wind=4.0) > thirst()


def test_air_wetter_than_it_can_be_asks_for_no_less_than_full_air() -> None:
    full = (saturation_vapour_pressure_kpa(12.0) + saturation_vapour_pressure_kpa(26.0)) / 2.0
    calm, windy = (penman_monteith_mm_day(12.0, 26.0, full + 0.5, 20.0, wind, 100.0, 45.0, 180) for wind in (0.0, 9.0))
    assert 0.0 < windy < calm


def test_a_sky_darker_than_cloud_sends_no_less_heat_than_an_overcast_one() -> None:
    dark, overcast, clear, beyond = net_longwave_mj_m2_day(10.0, 20.0, 1.0, [1.0, 9.0, 30.0, 33.0], 30.0)
    assert dark == overcast < clear == beyond


def test_one_lane_gives_what_many_lanes_give() -> None:
    cold, warm = np.array([5.0, 12.3]), np.array([11.7, 21.5])
    together = hargreaves_mm_day(cold, warm, 50.8, [1, 187])
    assert together.tolist() == [float(hargreaves_mm_day(cold[0], warm[0], 50.8, 1)),
                                 float(hargreaves_mm_day(cold[1], warm[1], 50.8, 187))]


def test_pressure_falls_with_height_and_wind_with_nearness_to_the_ground() -> None:
    assert np.all(np.diff(air_pressure_kpa([0, 500, 2000])) < 0)
    assert wind_at_2m_m_s(3.0, 2.0) == pytest.approx(3.0, abs=0.001)
    assert np.all(np.diff(wind_at_2m_m_s(3.0, [2.0, 5.0, 10.0])) < 0)


def test_a_day_upside_down_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"t_max_c minus t_min_c is outside its range \(got -3 C\)"):
        hargreaves_mm_day(20.0, 17.0, 47.0, 100)


@pytest.mark.parametrize(("change", "message"), [
    ({"t_max_c": 75.0}, "t_max_c is outside its range .got 75 C"),  # Fahrenheit
    ({"latitude_deg": 122.3}, "latitude_deg is outside"),
    ({"day_of_year": 0}, "day_of_year is outside"),
    ({"elevation_m": 29029.0}, "elevation_m is outside"),  # feet
    ({"wind_2m_m_s": float("nan")}, "wind_2m_m_s is outside its range .got nan"),
    ({"solar_mj_m2_day": 255.0}, "solar_mj_m2_day is outside"),  # watts
    ({"vapour_pressure_kpa": 84.0}, "vapour_pressure_kpa is outside"),  # percent
])
def test_what_cannot_be_is_refused_by_name(change: dict[str, float], message: str) -> None:
    day = {"t_min_c": 12.0, "t_max_c": 26.0, "vapour_pressure_kpa": 1.2, "solar_mj_m2_day": 20.0, "wind_2m_m_s": 2.0,
           "elevation_m": 100.0, "latitude_deg": 45.0, "day_of_year": 180}
    with pytest.raises(OutOfRange, match=message):
        penman_monteith_mm_day(**(day | change))
