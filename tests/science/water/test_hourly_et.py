"""Truths about one hour's evapotranspiration, heat into the ground and the two readings of the sun."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.water.atmosphere import (
    air_pressure_kpa,
    saturation_vapour_pressure_kpa,
    vapour_pressure_from_wet_bulb_kpa,
)
from rootcase.science.water.clear_sky import (
    air_pressure_by_gas_law_kpa,
    clear_share,
    declination_of_cooper_rad,
    extraterrestrial_radiation_of_1367_w_mj_m2_day,
    extraterrestrial_radiation_of_1367_w_mj_m2_h,
    height_of_sun_of_day,
    height_of_sun_of_hour,
)
from rootcase.science.water.ground_heat import (
    evaporated_by_mm,
    ground_heat_of_hour_mj_m2_h,
    ground_heat_of_month_mj_m2_day,
    ground_heat_of_running_month_mj_m2_day,
)
from rootcase.science.water.hourly_et import (
    ASCE_GRASS,
    ASCE_TALL_CROP,
    FAO_GRASS,
    extraterrestrial_radiation_mj_m2_h,
    hourly_reference_mm_h,
    solar_hour_angle_rad,
)
from rootcase.science.water.sun import (
    extraterrestrial_radiation_mj_m2_day,
    height_of_sun_summed,
    solar_declination_rad,
    sunset_hour_angle_rad,
)

pytestmark = pytest.mark.property

HOURS = np.arange(24) + 0.5
LATITUDE, LONGITUDE, DAY = st.floats(-66, 66), st.floats(-180, 180), st.integers(1, 366)


@given(LATITUDE, LONGITUDE, DAY)
def test_the_hours_of_a_day_sum_to_the_day(latitude: float, longitude: float, day: int) -> None:
    """Wherever midnight falls: but for the hour that it cuts in two, which has sun in polar summers alone."""
    hours = extraterrestrial_radiation_mj_m2_h(latitude, longitude, day, HOURS)
    assert hours.sum() == pytest.approx(extraterrestrial_radiation_mj_m2_day(latitude, day), abs=2e-6)
    others = extraterrestrial_radiation_of_1367_w_mj_m2_h(latitude, longitude, day, HOURS)
    assert others.sum() == pytest.approx(extraterrestrial_radiation_of_1367_w_mj_m2_day(latitude, day), abs=2e-6)
    assert hours.min() >= 0.0


@given(LATITUDE, DAY)
def test_the_sun_summed_is_the_integral_of_its_height(latitude: float, day: int) -> None:
    declination, sunset = solar_declination_rad(day), sunset_hour_angle_rad(latitude, day)
    angle = np.linspace(-sunset, sunset, 2001)
    phi = np.radians(latitude)
    height = np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * np.cos(angle)
    assert height_of_sun_summed(latitude, declination, -np.pi, np.pi) == pytest.approx(
        np.trapezoid(height, angle), abs=1e-5)


def test_the_sun_moves_a_zone_in_an_hour_and_stands_in_the_south_at_noon() -> None:
    assert np.diff(solar_hour_angle_rad(0.0, 100, [11.0, 12.0]))[0] == pytest.approx(np.pi / 12.0)
    assert solar_hour_angle_rad(-75.0, 100, 17.0) == pytest.approx(solar_hour_angle_rad(0.0, 100, 12.0))
    assert np.abs(solar_hour_angle_rad(0.0, np.arange(1, 367), 12.0)).max() < np.radians(4.2)


@pytest.mark.parametrize("cover", [FAO_GRASS, ASCE_GRASS, ASCE_TALL_CROP])
def test_sun_wind_and_dry_air_make_an_hour_thirsty(cover: object) -> None:
    def thirst(vapour: float = 1.5, sun: float = 2.0, wind: float = 2.0) -> float:
        return float(hourly_reference_mm_h(cover, 25.0, vapour, sun, 0.8, wind, 100.0))  # type: ignore[arg-type]

    assert thirst(vapour=1.0) > thirst()
    assert thirst(sun=3.0) > thirst()
    assert thirst(wind=4.0) > thirst()


def test_the_two_standards_part_by_day_and_by_night() -> None:
    for sun, first in ((2.5, ASCE_GRASS), (0.0, FAO_GRASS)):
        by_name = {cover: hourly_reference_mm_h(cover, 25.0, 1.5, sun, 0.8, 2.0, 100.0)
                   for cover in (FAO_GRASS, ASCE_GRASS)}
        assert max(by_name, key=lambda cover: by_name[cover]) is first
    night, bright = ground_heat_of_hour_mj_m2_h([-0.2, 1.0], 0.1, 0.5)
    assert (night, bright) == pytest.approx((-0.1, 0.1))


def test_a_day_s_radiation_in_the_box_of_an_hour_is_refused() -> None:
    with pytest.raises(OutOfRange, match="solar_mj_m2_h is outside its range"):
        hourly_reference_mm_h(FAO_GRASS, 25.0, 1.5, 22.0, 0.8, 2.0, 100.0)


def test_ground_warms_with_the_months_and_evaporates_what_energy_there_is() -> None:
    whole = ground_heat_of_month_mj_m2_day(10.0, 14.0)
    assert whole == pytest.approx(ground_heat_of_running_month_mj_m2_day(10.0, 12.0))
    assert ground_heat_of_month_mj_m2_day(14.0, 10.0) < 0.0
    assert evaporated_by_mm(2.45) == pytest.approx(1.0, abs=0.001)


@given(st.floats(1, 40), st.floats(0, 15))
def test_a_dry_wick_shows_dry_air(wet: float, depression: float) -> None:
    found = vapour_pressure_from_wet_bulb_kpa(wet, wet + depression, 101.3)
    assert 0.0 <= found <= saturation_vapour_pressure_kpa(wet)
    assert vapour_pressure_from_wet_bulb_kpa(wet, wet, 101.3) == saturation_vapour_pressure_kpa(wet)
    with pytest.raises(OutOfRange, match="dry_bulb_c minus wet_bulb_c is outside"):
        vapour_pressure_from_wet_bulb_kpa(wet, wet - 1.0, 101.3)


def test_the_other_reading_of_sun_and_air_stays_near_ours() -> None:
    days = np.arange(1, 366)
    assert np.abs(declination_of_cooper_rad(days) - solar_declination_rad(days)).max() < 0.0021
    ours, theirs = (form(45.0, days) for form in (extraterrestrial_radiation_mj_m2_day,
                                                  extraterrestrial_radiation_of_1367_w_mj_m2_day))
    assert np.abs(theirs / ours - 1.0).max() < 0.01
    heights = np.linspace(0.0, 4000.0, 9)
    assert np.abs(air_pressure_by_gas_law_kpa(heights) / air_pressure_kpa(heights) - 1.0).max() < 1e-3


def test_clear_air_lets_more_through_high_up_dry_and_with_the_sun_overhead() -> None:
    assert clear_share(1.0, 70.0, 0.7) > clear_share(1.0, 100.0, 0.7) > clear_share(3.0, 100.0, 0.7)
    assert clear_share(1.0, 100.0, 0.9) > clear_share(1.0, 100.0, 0.2)
    assert height_of_sun_of_day(80.0, 355) == 0.1
    assert height_of_sun_of_hour(45.0, 0.0, 180, 0.0) == 0.01
