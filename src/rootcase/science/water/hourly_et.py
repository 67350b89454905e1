"""Reference evapotranspiration of one hour: the sun's way in that hour, and FAO-56 beside ASCE-EWRI."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.atmosphere import (
    air_pressure_kpa,
    psychrometric_constant_kpa_c,
    saturation_vapour_pressure_kpa,
    slope_of_saturation_kpa_c,
)
from rootcase.science.water.ground_heat import ground_heat_of_hour_mj_m2_h
from rootcase.science.water.radiation import (
    ALBEDO_OF_GRASS,
    HIGHEST_CLEARNESS,
    KELVIN_AT_0_C,
    LOWEST_CLEARNESS,
    lost_to_sky,
)
from rootcase.science.water.reference_et import Reference, penman_monteith_from_parts_mm
from rootcase.science.water.sun import (
    HALF_HOUR_RAD,
    PER_RADIAN_MJ_M2,
    energy_above_air_mj_m2,
    solar_declination_rad,
)

MOST_RADIATION_MJ_M2_H = 5.0


class HourlyReference(NamedTuple):
    """A reference cover in one hour; by day its net radiation is 0 or more."""

    aerodynamic: float
    resistance_by_day: float
    resistance_by_night: float
    ground_by_day: float
    ground_by_night: float
    black_body_mj_k4_m2: float


FAO_GRASS = HourlyReference(37.0, 0.34, 0.34, 0.1, 0.5, 2.043e-10)
"""FAO-56 Eq. 53: one resistance day and night."""
ASCE_GRASS = HourlyReference(37.0, 0.24, 0.96, 0.1, 0.5, 2.042e-10)
ASCE_TALL_CROP = HourlyReference(66.0, 0.25, 1.7, 0.04, 0.2, 2.042e-10)
"""ASCE-EWRI 2005 Table 1."""


def solar_hour_angle_rad(longitude_deg: Numbers, day_of_year: Numbers, hour_utc: Numbers) -> Lanes:
    """How far the sun is past its noon.

    Parameters
    ----------
    longitude_deg : scalar or one per lane. [degree], -180 to 180, east positive
    day_of_year : same shape. [d], 1 to 366
    hour_utc : same shape, middle of the hour, universal time. [h], 0 to 24

    Returns
    -------
    same shape. [rad], -pi to pi, morning negative

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes omega, t, L_z, L_m (west positive) and S_c; with universal time L_z is 0 and no zone is needed.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 31 to 33
    (memory; the form seen in the source of refet 0.5.0).

    Examples
    --------
    >>> round(float(solar_hour_angle_rad(-16.25, 274, 15.5)), 3)
    0.682
    """
    east = within("longitude_deg", longitude_deg, -180.0, 180.0, "degree")
    turn = 2.0 * np.pi * (within("day_of_year", day_of_year, 1, 366, "d") - 81.0) / 364.0
    correction_h = 0.1645 * np.sin(2.0 * turn) - 0.1255 * np.cos(turn) - 0.025 * np.sin(turn)
    hour = within("hour_utc", hour_utc, 0.0, 24.0, "h") + east / 15.0 + correction_h
    angle: Lanes = np.pi / 12.0 * (np.mod(hour, 24.0) - 12.0)
    return angle


def extraterrestrial_radiation_mj_m2_h(
    latitude_deg: Numbers, longitude_deg: Numbers, day_of_year: Numbers, hour_utc: Numbers
) -> Lanes:
    """The sun's energy on a level square metre above the air in one hour.

    Parameters
    ----------
    latitude_deg : scalar or one per lane. [degree], -90 to 90, north positive
    longitude_deg : same shape. [degree], -180 to 180, east positive
    day_of_year : same shape. [d], 1 to 366
    hour_utc : same shape, middle of the hour, universal time. [h], 0 to 24

    Returns
    -------
    same shape. [MJ m-2 h-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes R_a, omega_1 and omega_2. Departure: see `height_of_sun_summed`.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 28 to 30
    (memory).

    Examples
    --------
    >>> round(float(extraterrestrial_radiation_mj_m2_h(16.2167, -16.25, 274, 15.5)), 2)
    3.54
    """
    middle = solar_hour_angle_rad(longitude_deg, day_of_year, hour_utc)
    return energy_above_air_mj_m2(PER_RADIAN_MJ_M2, latitude_deg, solar_declination_rad(day_of_year), day_of_year,
                                  middle, HALF_HOUR_RAD)


def hourly_reference_mm_h(
    cover: HourlyReference, temperature_c: Numbers, vapour_pressure_kpa: Numbers, solar_mj_m2_h: Numbers,
    clearness: Numbers, wind_2m_m_s: Numbers, elevation_m: Numbers
) -> Lanes:
    """Reference evapotranspiration of an hour whose weather was measured.

    Parameters
    ----------
    cover : FAO_GRASS, ASCE_GRASS or ASCE_TALL_CROP
    temperature_c : scalar or one per lane, mean of the hour. [C], -60 to 60
    vapour_pressure_kpa : same shape, of the air. [kPa], 0 to 20
    solar_mj_m2_h : same shape, at the ground. [MJ m-2 h-1], 0 to 5
    clearness : same shape, measured over clear-sky radiation; by night and at a low sun that of the last hour before
        with the sun well up. [-], 0 to 2
    wind_2m_m_s : same shape, at 2 m. [m s-1], 0 to 60
    elevation_m : same shape. [m], -500 to 6000

    Returns
    -------
    same shape. [mm h-1], below 0 for dew

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The sources differ by 5 percent in a bright hour (0.63 against 0.66 mm for one and the same) because the ASCE's
    grass resists less by day and more by night; both stand here by name. The clearness is held to 0.3 to 1 as for a
    day.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 53
    (memory; its Example 19 memory); ASCE-EWRI 2005, The ASCE standardized reference evapotranspiration equation,
    Table 1 and Eq. 42 to 46 (seen in the source of refet 0.5.0).

    Examples
    --------
    >>> covers = FAO_GRASS, ASCE_GRASS
    >>> [round(float(hourly_reference_mm_h(cover, 38, 3.445, 2.45, 0.92, 3.3, 8)), 2) for cover in covers]
    [0.63, 0.66]
    """
    temperature = within("temperature_c", temperature_c, -60.0, 60.0, "C")
    vapour = within("vapour_pressure_kpa", vapour_pressure_kpa, 0.0, 20.0, "kPa")
    solar = within("solar_mj_m2_h", solar_mj_m2_h, 0.0, MOST_RADIATION_MJ_M2_H, "MJ/m2/h")
    sky = np.clip(within("clearness", clearness, 0.0, 2.0, ""), LOWEST_CLEARNESS, HIGHEST_CLEARNESS)
    black_body = cover.black_body_mj_k4_m2 * (temperature + KELVIN_AT_0_C) ** 4
    net = (1.0 - ALBEDO_OF_GRASS) * solar - lost_to_sky(black_body, vapour, sky)
    resistance = np.where(net < 0.0, cover.resistance_by_night, cover.resistance_by_day)
    return penman_monteith_from_parts_mm(
        net, temperature, wind_2m_m_s, saturation_vapour_pressure_kpa(temperature), vapour,
        slope_of_saturation_kpa_c(temperature), psychrometric_constant_kpa_c(air_pressure_kpa(elevation_m)),
        ground_heat_of_hour_mj_m2_h(net, cover.ground_by_day, cover.ground_by_night),
        Reference(cover.aerodynamic, resistance, cover.black_body_mj_k4_m2))
