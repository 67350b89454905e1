"""Water a well-watered short grass would give to the air in a day: the yardstick of thirst."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.atmosphere import COLDEST_C, HIGHEST_GROUND_M, HOTTEST_C, LOWEST_GROUND_M
from rootcase.science.water.radiation import (
    LARGEST_RADIATION_MJ_M2_DAY,
    STEFAN_BOLTZMANN_MJ_K4_M2_DAY,
    daily_range_c,
)
from rootcase.science.water.sun import extraterrestrial_radiation_mj_m2_day

MM_PER_MJ_M2 = 0.408  # 1 over the latent heat of 2.45 MJ/kg


class Reference(NamedTuple):
    """A reference cover's constants for one time step: C_n, C_d and the constant of its black body."""

    aerodynamic: float
    resistance: float | Lanes
    black_body_mj_k4_m2: float


GRASS = Reference(900.0, 0.34, STEFAN_BOLTZMANN_MJ_K4_M2_DAY)
"""Short grass, FAO-56 Eq. 6."""
TALL_CROP = Reference(1600.0, 0.38, 4.901e-9)
"""Half a metre of lucerne, ASCE-EWRI 2005 Table 1."""


RANGES = (
    ("vapour_pressure_kpa", (0.0, 20.0), "kPa"), ("solar_mj_m2_day", (0.0, LARGEST_RADIATION_MJ_M2_DAY), "MJ/m2/d"),
    ("wind_2m_m_s", (0.0, 60.0), "m/s"), ("elevation_m", (LOWEST_GROUND_M, HIGHEST_GROUND_M), "m"),
    ("latitude_deg", (-90.0, 90.0), "degree"), ("day_of_year", (1.0, 366.0), "d"))
"""What the day's weather and place may be, beside its temperatures."""


def penman_monteith_mm_day(
    t_min_c: Numbers, t_max_c: Numbers, vapour_pressure_kpa: Numbers, solar_mj_m2_day: Numbers,
    wind_2m_m_s: Numbers, elevation_m: Numbers, latitude_deg: Numbers, day_of_year: Numbers, cover: Reference = GRASS
) -> Lanes:
    """Reference evapotranspiration of a day whose weather was measured.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [C], -60 to 60
    t_max_c : same shape. [C], t_min_c to 60
    vapour_pressure_kpa : same shape, of the air. [kPa], 0 to 20
    solar_mj_m2_day : same shape, at the ground. [MJ m-2 d-1], 0 to 60
    wind_2m_m_s : same shape, at 2 m. [m s-1], 0 to 60
    elevation_m : same shape. [m], -500 to 6000
    latitude_deg : same shape. [degree], -90 to 90, north positive
    day_of_year : same shape. [d], 1 to 366
    cover : GRASS (ET_o) or TALL_CROP (ET_rs)

    Returns
    -------
    shape of all together. [mm d-1], never below 0

    Raises
    ------
    OutOfRange : a value leaves its range, or t_max_c is below t_min_c.

    Notes
    -----
    The heat that goes into the ground is 0 over a day. Departures: dew (a negative result) counts as 0; see also
    `net_longwave_mj_m2_day` and `penman_monteith_from_parts_mm`. Compiled: within 1e-12, or 2e-13 mm, of those parts
    one by one.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 6 with
    7 to 47 (memory; its Example 18 seen). Tall crop: ASCE-EWRI 2005, The ASCE standardized reference
    evapotranspiration equation, Table 1 (seen in the source of refet 0.5.0).

    Examples
    --------
    >>> round(float(penman_monteith_mm_day(12.3, 21.5, 1.409, 22.07, 2.078, 100, 50.8, 187)), 2)
    3.88
    """
    from rootcase.science.water.reference_et_compiled import evaporate_mm_day  # the compiler is slow to load

    weather = tuple(np.asarray(value, dtype=np.float64) for value in (
        t_min_c, t_max_c, vapour_pressure_kpa, solar_mj_m2_day, wind_2m_m_s, elevation_m, latitude_deg, day_of_year))
    result, outside = evaporate_mm_day(weather, cover.aerodynamic, float(cover.resistance), cover.black_body_mj_k4_m2,
                                       ((COLDEST_C, HOTTEST_C), *(ends for _, ends, _ in RANGES)))
    if outside:
        daily_range_c(t_min_c, t_max_c)
        for value, (name, (low, high), unit) in zip(weather[2:], RANGES, strict=True):
            within(name, value, low, high, unit)
    return result


def penman_monteith_from_parts_mm(
    net_radiation_mj_m2: Numbers, mean_temperature_c: Numbers, wind_2m_m_s: Numbers, saturation_kpa: Numbers,
    vapour_pressure_kpa: Numbers, slope_kpa_c: Numbers, psychrometric_kpa_c: Numbers, ground_heat_mj_m2: Numbers,
    cover: Reference = GRASS
) -> Lanes:
    """The Penman-Monteith equation itself, from its parts.

    Parameters
    ----------
    net_radiation_mj_m2 : scalar or one per lane, of the time step. [MJ m-2], -60 to 60
    mean_temperature_c : same shape. [C], -60 to 60
    wind_2m_m_s : same shape, at 2 m. [m s-1], 0 to 60
    saturation_kpa : same shape, vapour the air could hold. [kPa], 0 to 20
    vapour_pressure_kpa : same shape, vapour in the air. [kPa], 0 to 20
    slope_kpa_c : same shape. [kPa C-1], 0 to 1.2
    psychrometric_kpa_c : same shape. [kPa C-1], 0.02 to 0.08
    ground_heat_mj_m2 : same shape, into the ground positive. [MJ m-2], -20 to 20
    cover : the reference cover's constants for the time step; a day's grass unless said

    Returns
    -------
    same shape, of the time step. [mm], below 0 for dew

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes ET_o, Delta, R_n, G, gamma, T, u_2, e_s and e_a; ASCE-EWRI 2005 has C_n and C_d. Departure:
    e_s - e_a is never below 0, which a dew point read above the day's mean would make it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 6
    (memory; its Example 17 seen).

    Examples
    --------
    >>> round(float(penman_monteith_from_parts_mm(14.33, 30.2, 2, 4.42, 2.85, 0.246, 0.0674, 0.14)), 2)
    5.71
    """
    energy = (within("net_radiation_mj_m2", net_radiation_mj_m2, -60.0, 60.0, "MJ/m2")
              - within("ground_heat_mj_m2", ground_heat_mj_m2, -20.0, 20.0, "MJ/m2"))
    mean_c = within("mean_temperature_c", mean_temperature_c, -60.0, 60.0, "C")
    wind = within("wind_2m_m_s", wind_2m_m_s, 0.0, 60.0, "m/s")
    deficit = np.maximum(within("saturation_kpa", saturation_kpa, 0.0, 20.0, "kPa")
                         - within("vapour_pressure_kpa", vapour_pressure_kpa, 0.0, 20.0, "kPa"), 0.0)
    slope = within("slope_kpa_c", slope_kpa_c, 0.0, 1.2, "kPa/C")
    gamma = within("psychrometric_kpa_c", psychrometric_kpa_c, 0.02, 0.08, "kPa/C")
    by_sun = MM_PER_MJ_M2 * slope * energy
    by_wind = gamma * cover.aerodynamic / (mean_c + 273.0) * wind * deficit
    return (by_sun + by_wind) / (slope + gamma * (1.0 + cover.resistance * wind))


def hargreaves_mm_day(t_min_c: Numbers, t_max_c: Numbers, latitude_deg: Numbers, day_of_year: Numbers) -> Lanes:
    """Reference evapotranspiration where only the day's temperatures are known.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [C], -60 to 60
    t_max_c : same shape. [C], t_min_c to 60
    latitude_deg : same shape. [degree], -90 to 90, north positive
    day_of_year : same shape. [d], 1 to 366

    Returns
    -------
    same shape. [mm d-1], never below 0

    Raises
    ------
    OutOfRange : a value leaves its range, or t_max_c is below t_min_c.

    Notes
    -----
    See `hargreaves_from_radiation_mm_day`, to which this adds the sun's part.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 52
    with 21 (memory; its Example 20 memory).

    Examples
    --------
    >>> round(float(hargreaves_mm_day(14.8, 26.6, 45.7167, 196)), 1)
    5.0
    """
    above = extraterrestrial_radiation_mj_m2_day(latitude_deg, day_of_year)
    return hargreaves_from_radiation_mm_day(t_min_c, t_max_c, above)


def hargreaves_from_radiation_mm_day(
    t_min_c: Numbers, t_max_c: Numbers, extraterrestrial_mj_m2_day: Numbers
) -> Lanes:
    """The Hargreaves equation itself, from the day's temperatures and the sun above the air.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [C], -60 to 60
    t_max_c : same shape. [C], t_min_c to 60
    extraterrestrial_mj_m2_day : same shape. [MJ m-2 d-1], 0 to 60

    Returns
    -------
    same shape. [mm d-1], never below 0

    Raises
    ------
    OutOfRange : a value leaves its range, or t_max_c is below t_min_c.

    Notes
    -----
    The source writes ET_o, T_mean, T_max, T_min and R_a, the last already in mm. Departure: days colder in the
    mean than -17.8 C give 0, where the equation turns negative.

    References
    ----------
    Hargreaves and Samani 1985, Reference crop evapotranspiration from temperature, Appl. Eng. Agric. 1:96-99
    (memory), in the form of Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, Eq. 52
    (memory).

    Examples
    --------
    >>> round(float(hargreaves_from_radiation_mm_day(14.8, 26.6, 40.6)), 2)
    5.04
    """
    above = within("extraterrestrial_mj_m2_day", extraterrestrial_mj_m2_day, 0.0, LARGEST_RADIATION_MJ_M2_DAY,
                   "MJ/m2/d")
    swing = daily_range_c(t_min_c, t_max_c)
    return 0.0023 * np.maximum(_mean_c(t_min_c, t_max_c) + 17.8, 0.0) * np.sqrt(swing) * MM_PER_MJ_M2 * above


def _mean_c(t_min_c: Numbers, t_max_c: Numbers) -> Lanes:
    return (np.asarray(t_min_c, dtype=np.float64) + np.asarray(t_max_c, dtype=np.float64)) / 2.0
