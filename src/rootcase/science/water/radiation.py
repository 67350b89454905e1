"""The radiation that reaches a short green sward and what it keeps, as FAO-56 has it."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.atmosphere import COLDEST_C, HIGHEST_GROUND_M, HOTTEST_C, LOWEST_GROUND_M

STEFAN_BOLTZMANN_MJ_K4_M2_DAY = 4.903e-9
ALBEDO_OF_GRASS = 0.23
LARGEST_RADIATION_MJ_M2_DAY = 60.0
LOWEST_CLEARNESS, HIGHEST_CLEARNESS = 0.3, 1.0
KELVIN_AT_0_C = 273.16  # the paper's rounding of 273.15


def radiation_from_sunshine_mj_m2_day(
    sunshine_h: Numbers, daylight_h: Numbers, extraterrestrial_mj_m2_day: Numbers
) -> Lanes:
    """The sun's energy at the ground, from the hours it shone.

    Parameters
    ----------
    sunshine_h : scalar or one per lane. [h], 0 to daylight_h
    daylight_h : same shape. [h], above 0 to 24
    extraterrestrial_mj_m2_day : same shape. [MJ m-2 d-1], 0 to 60

    Returns
    -------
    same shape. [MJ m-2 d-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes R_s, n, N, a_s = 0.25 and b_s = 0.50. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 35
    (memory; its Example 10 seen).

    Examples
    --------
    >>> round(float(radiation_from_sunshine_mj_m2_day(7.1, 10.9, 25.1)), 2)
    14.45
    """
    daylight = within("daylight_h", daylight_h, 0.01, 24.0, "h")
    share = within("sunshine_h over daylight_h", np.asarray(sunshine_h, dtype=np.float64) / daylight, 0.0, 1.0, "")
    above = within("extraterrestrial_mj_m2_day", extraterrestrial_mj_m2_day, 0.0, LARGEST_RADIATION_MJ_M2_DAY,
                   "MJ/m2/d")
    return (0.25 + 0.50 * share) * above


def radiation_from_temperature_mj_m2_day(
    t_min_c: Numbers, t_max_c: Numbers, extraterrestrial_mj_m2_day: Numbers, coefficient: Numbers = 0.16
) -> Lanes:
    """The sun's energy at the ground, where only the day's temperatures are known.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [C], -60 to 60
    t_max_c : same shape. [C], t_min_c to 60
    extraterrestrial_mj_m2_day : same shape. [MJ m-2 d-1], 0 to 60
    coefficient : same shape. [C-0.5], 0.1 to 0.25; 0.16 inland, 0.19 by the sea

    Returns
    -------
    same shape. [MJ m-2 d-1]

    Raises
    ------
    OutOfRange : a value leaves its range, or t_max_c is below t_min_c.

    Notes
    -----
    The source writes k_Rs; its inland value is the default. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 50
    (memory; its Example 15 seen).

    Examples
    --------
    >>> round(float(radiation_from_temperature_mj_m2_day(14.8, 26.6, 40.6)), 1)
    22.3
    """
    above = within("extraterrestrial_mj_m2_day", extraterrestrial_mj_m2_day, 0.0, LARGEST_RADIATION_MJ_M2_DAY,
                   "MJ/m2/d")
    return within("coefficient", coefficient, 0.1, 0.25, "") * np.sqrt(daily_range_c(t_min_c, t_max_c)) * above


def daily_range_c(t_min_c: Numbers, t_max_c: Numbers) -> Lanes:
    """How far the day's temperature swings.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [C], -60 to 60
    t_max_c : same shape. [C], t_min_c to 60

    Returns
    -------
    same shape. [degC_diff]

    Raises
    ------
    OutOfRange : a temperature leaves its range, or t_max_c is below t_min_c.

    Notes
    -----
    A day without any swing is allowed; a day upside down is not.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 50
    and 52, under the root (memory).

    Examples
    --------
    >>> float(daily_range_c(12, 20.5))
    8.5
    """
    lowest = within("t_min_c", t_min_c, COLDEST_C, HOTTEST_C, "C")
    highest = within("t_max_c", t_max_c, COLDEST_C, HOTTEST_C, "C")
    return within("t_max_c minus t_min_c", highest - lowest, 0.0, HOTTEST_C - COLDEST_C, "C")


def clear_sky_radiation_mj_m2_day(elevation_m: Numbers, extraterrestrial_mj_m2_day: Numbers) -> Lanes:
    """The sun's energy at the ground on a day without cloud.

    Parameters
    ----------
    elevation_m : scalar or one per lane. [m], -500 to 6000
    extraterrestrial_mj_m2_day : same shape. [MJ m-2 d-1], 0 to 60

    Returns
    -------
    same shape. [MJ m-2 d-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes R_so. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 37
    (memory; its Example 18 seen).

    Examples
    --------
    >>> round(float(clear_sky_radiation_mj_m2_day(100, 41.09)), 1)
    30.9
    """
    elevation = within("elevation_m", elevation_m, LOWEST_GROUND_M, HIGHEST_GROUND_M, "m")
    above = within("extraterrestrial_mj_m2_day", extraterrestrial_mj_m2_day, 0.0, LARGEST_RADIATION_MJ_M2_DAY,
                   "MJ/m2/d")
    return (0.75 + 2e-5 * elevation) * above


def net_shortwave_mj_m2_day(solar_mj_m2_day: Numbers) -> Lanes:
    """What the sward keeps of the sun's energy.

    Parameters
    ----------
    solar_mj_m2_day : scalar or one per lane. [MJ m-2 d-1], 0 to 60

    Returns
    -------
    same shape. [MJ m-2 d-1]

    Raises
    ------
    OutOfRange : the radiation leaves its range.

    Notes
    -----
    The source writes R_ns and alpha = 0.23. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 38
    (memory; its Example 12 seen).

    Examples
    --------
    >>> round(float(net_shortwave_mj_m2_day(14.5)), 3)
    11.165
    """
    solar = within("solar_mj_m2_day", solar_mj_m2_day, 0.0, LARGEST_RADIATION_MJ_M2_DAY, "MJ/m2/d")
    return (1.0 - ALBEDO_OF_GRASS) * solar


def lost_to_sky(black_body: Numbers, vapour_pressure_kpa: Numbers, clearness: Numbers) -> Lanes:
    """What warm ground loses to a sky of such vapour and clearness.

    Parameters
    ----------
    black_body : scalar or one per lane, what a black body of its warmth gives off. [unit]
    vapour_pressure_kpa : same shape. [kPa], 0 to 20
    clearness : same shape, the sun's energy over that of a clear sky, held by who asks. [-], 0.3 to 1

    Returns
    -------
    same shape. [unit]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    One law for a day and an hour. The source writes sigma T^4, e_a and R_s/R_so.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56,
    Eq. 39 (memory).

    Examples
    --------
    >>> round(float(lost_to_sky(38.05, 2.1, 0.771)), 1)
    3.6
    """
    vapour = within("vapour_pressure_kpa", vapour_pressure_kpa, 0.0, 20.0, "kPa")
    sky = 1.35 * np.asarray(clearness, dtype=np.float64) - 0.35
    return np.asarray(black_body, dtype=np.float64) * (0.34 - 0.14 * np.sqrt(vapour)) * sky


def net_longwave_mj_m2_day(
    t_min_c: Numbers, t_max_c: Numbers, vapour_pressure_kpa: Numbers, solar_mj_m2_day: Numbers,
    clear_sky_mj_m2_day: Numbers, black_body_mj_k4_m2: float = STEFAN_BOLTZMANN_MJ_K4_M2_DAY
) -> Lanes:
    """The heat the sward sends to the sky.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [C], -60 to 60
    t_max_c : same shape. [C], t_min_c to 60
    vapour_pressure_kpa : same shape. [kPa], 0 to 20
    solar_mj_m2_day : same shape, as measured. [MJ m-2 d-1], 0 to 60
    clear_sky_mj_m2_day : same shape. [MJ m-2 d-1], 0 to 60
    black_body_mj_k4_m2 : the constant of a black body. [MJ K-4 m-2 d-1]; 4.903e-9 in FAO-56, 4.901e-9 in the ASCE's

    Returns
    -------
    same shape. [MJ m-2 d-1], outgoing positive

    Raises
    ------
    OutOfRange : a value leaves its range, or t_max_c is below t_min_c.

    Notes
    -----
    The source writes R_nl, sigma, e_a, R_s and R_so. Departures: R_s/R_so is held to 0.3 to 1 (the source has the
    upper end only); in the polar night, where the ratio is 0/0, the sky counts as clear.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 39
    (memory; its Example 11 seen). Lower end: ASCE-EWRI 2005, The ASCE standardized reference evapotranspiration
    equation (memory). Polar night: JUDGEMENT.

    Examples
    --------
    >>> round(float(net_longwave_mj_m2_day(19.1, 25.1, 2.1, 14.5, 18.8)), 1)
    3.5
    """
    daily_range_c(t_min_c, t_max_c)
    vapour = within("vapour_pressure_kpa", vapour_pressure_kpa, 0.0, 20.0, "kPa")
    solar = within("solar_mj_m2_day", solar_mj_m2_day, 0.0, LARGEST_RADIATION_MJ_M2_DAY, "MJ/m2/d")
    clear = within("clear_sky_mj_m2_day", clear_sky_mj_m2_day, 0.0, LARGEST_RADIATION_MJ_M2_DAY, "MJ/m2/d")
    lowest, highest = np.asarray(t_min_c) + KELVIN_AT_0_C, np.asarray(t_max_c) + KELVIN_AT_0_C
    sun_up = clear > 0.0
    clearness = np.where(sun_up, solar / np.where(sun_up, clear, 1.0), HIGHEST_CLEARNESS)
    clearness = np.clip(clearness, LOWEST_CLEARNESS, HIGHEST_CLEARNESS)
    black_body = black_body_mj_k4_m2 * (highest**4 + lowest**4) / 2.0
    return lost_to_sky(black_body, vapour, clearness)


def net_radiation_mj_m2_day(net_shortwave: Numbers, net_longwave: Numbers) -> Lanes:
    """The energy left for evaporation and for warming.

    Parameters
    ----------
    net_shortwave : scalar or one per lane. [MJ m-2 d-1], 0 to 60
    net_longwave : same shape, outgoing positive. [MJ m-2 d-1], -60 to 60

    Returns
    -------
    same shape. [MJ m-2 d-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes R_n, R_ns and R_nl. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 40
    (memory; its Example 16 seen).

    Examples
    --------
    >>> round(float(net_radiation_mj_m2_day(16.9, 3.0)), 1)
    13.9
    """
    kept = within("net_shortwave", net_shortwave, 0.0, LARGEST_RADIATION_MJ_M2_DAY, "MJ/m2/d")
    return kept - within("net_longwave", net_longwave, -LARGEST_RADIATION_MJ_M2_DAY, LARGEST_RADIATION_MJ_M2_DAY,
                         "MJ/m2/d")
