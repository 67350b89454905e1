"""Where the sun stands and what it sends to the top of the air, as FAO-56 has it."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within

SOLAR_CONSTANT_MJ_M2_MIN = 0.0820
PER_RADIAN_MJ_M2 = 12.0 * 60.0 / np.pi * SOLAR_CONSTANT_MJ_M2_MIN
"""While the earth turns by a radian."""
HALF_HOUR_RAD = np.pi / 24.0


def year_angle_rad(day_of_year: Numbers) -> Lanes:
    """How far the earth has gone round the sun since the year began.

    Parameters
    ----------
    day_of_year : scalar or one per lane. [d], 1 to 366

    Returns
    -------
    same shape. [rad]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes 2 pi J / 365, in leap years too.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56,
    Eq. 23 and 24 (memory).

    Examples
    --------
    >>> round(float(year_angle_rad(365)), 4)
    6.2832
    """
    return 2.0 * np.pi * within("day_of_year", day_of_year, 1, 366, "d") / 365.0


def season_sine(day_of_year: Numbers) -> Lanes:
    """Where in its yearly swing between north and south the sun stands, from -1 to 1.

    Parameters
    ----------
    day_of_year : scalar or one per lane. [d], 1 to 366

    Returns
    -------
    same shape. [-]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes sin(2 pi J / 365 - 1.39).

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56,
    Eq. 24 (memory).

    Examples
    --------
    >>> round(float(season_sine(246)), 3)
    0.293
    """
    return np.asarray(np.sin(year_angle_rad(day_of_year) - 1.39))


def relative_distance_to_sun(day_of_year: Numbers) -> Lanes:
    """How much stronger the sun is for being nearer than in the mean.

    Parameters
    ----------
    day_of_year : scalar or one per lane. [d], 1 to 366

    Returns
    -------
    same shape, inverse relative distance. [-], 0.967 to 1.033

    Raises
    ------
    OutOfRange : the day leaves its range.

    Notes
    -----
    The source writes d_r and J. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 23
    (memory; its Example 8 seen).

    Examples
    --------
    >>> round(float(relative_distance_to_sun(246)), 3)
    0.985
    """
    return 1.0 + 0.033 * np.cos(year_angle_rad(day_of_year))


def solar_declination_rad(day_of_year: Numbers) -> Lanes:
    """How far north of the equator the sun stands.

    Parameters
    ----------
    day_of_year : scalar or one per lane. [d], 1 to 366

    Returns
    -------
    same shape. [rad], north positive

    Raises
    ------
    OutOfRange : the day leaves its range.

    Notes
    -----
    The source writes delta and J. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 24
    (memory; its Example 8 seen).

    Examples
    --------
    >>> round(float(solar_declination_rad(246)), 2)
    0.12
    """
    return 0.409 * season_sine(day_of_year)


def sunset_hour_angle_rad(latitude_deg: Numbers, day_of_year: Numbers) -> Lanes:
    """The angle the earth turns between noon and sunset.

    Parameters
    ----------
    latitude_deg : scalar or one per lane. [degree], -90 to 90, north positive
    day_of_year : same shape. [d], 1 to 366

    Returns
    -------
    same shape. [rad], 0 (no sunrise) to pi (no sunset)

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes omega_s, phi and delta. Departure: the argument of the arc cosine is held to -1 to 1, which
    gives the polar night and the midnight sun their angle; the source stops short of the polar circles.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 25
    (memory; its Example 8 seen).

    Examples
    --------
    >>> round(float(sunset_hour_angle_rad(-20, 246)), 3)
    1.527
    """
    return _sunset_rad(latitude_deg, solar_declination_rad(day_of_year))


def _sunset_rad(latitude_deg: Numbers, declination_rad: Lanes) -> Lanes:
    latitude = np.radians(within("latitude_deg", latitude_deg, -90.0, 90.0, "degree"))
    angle: Lanes = np.arccos(np.clip(-np.tan(latitude) * np.tan(declination_rad), -1.0, 1.0))
    return angle


def height_of_sun_summed(
    latitude_deg: Numbers, declination_rad: Numbers, begin_rad: Numbers, end_rad: Numbers
) -> Lanes:
    """The sine of the sun's height summed over the part of a turn in which it is up.

    Parameters
    ----------
    latitude_deg : scalar or one per lane. [degree], -90 to 90, north positive
    declination_rad : same shape. [rad], -0.5 to 0.5
    begin_rad : same shape, hour angle at which the part begins. [rad], -3.5 to 3.5
    end_rad : same shape, hour angle at which it ends. [rad], -3.5 to 3.5

    Returns
    -------
    same shape. [rad], 0 where the sun is down

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes the bracket of R_a. Departure: both ends are held between sunrise and sunset, so that the hour of
    either counts for the part that has sun, and the night for 0.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 21 and 28
    (memory). Sunrise and sunset: ASCE-EWRI 2005, The ASCE standardized reference evapotranspiration equation, Eq. 56
    (seen in the source of refet 0.5.0).

    Examples
    --------
    >>> float(height_of_sun_summed(0.0, 0.0, -3.14, 3.14))
    2.0
    """
    declination = within("declination_rad", declination_rad, -0.5, 0.5, "rad")
    sunset = _sunset_rad(latitude_deg, declination)
    begin = np.clip(within("begin_rad", begin_rad, -3.5, 3.5, "rad"), -sunset, sunset)
    end = np.clip(within("end_rad", end_rad, -3.5, 3.5, "rad"), -sunset, sunset)
    latitude = np.radians(np.asarray(latitude_deg, dtype=np.float64))
    height: Lanes = ((end - begin) * np.sin(latitude) * np.sin(declination)
                     + np.cos(latitude) * np.cos(declination) * (np.sin(end) - np.sin(begin)))
    return height


def energy_above_air_mj_m2(per_radian_mj_m2: float, latitude_deg: Numbers, declination_rad: Numbers,
                           day_of_year: Numbers, middle_rad: Numbers, half_rad: float) -> Lanes:
    """The sun's energy on a level square metre above the air, while the earth turns from one angle to another.

    Parameters
    ----------
    per_radian_mj_m2 : at the mean distance, square to the sun, while the earth turns by a radian. [MJ m-2]
    latitude_deg : scalar or one per lane. [degree], -90 to 90
    declination_rad : same shape. [rad]
    day_of_year : same shape. [d], 1 to 366
    middle_rad : same shape, the angle past noon in the middle of the turn. [rad]
    half_rad : half of the turn; pi for a day. [rad]

    Returns
    -------
    same shape. [MJ m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    One law for a day and an hour; sources differ in the solar constant and the declination.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56,
    Eq. 21 and 28 (memory).

    Examples
    --------
    >>> round(float(energy_above_air_mj_m2(PER_RADIAN_MJ_M2, -20.0, 0.12, 246, 0.0, np.pi)), 1)
    32.2
    """
    middle = np.asarray(middle_rad, dtype=np.float64)
    height = height_of_sun_summed(latitude_deg, declination_rad, middle - half_rad, middle + half_rad)
    return per_radian_mj_m2 * relative_distance_to_sun(day_of_year) * height


def extraterrestrial_radiation_mj_m2_day(latitude_deg: Numbers, day_of_year: Numbers) -> Lanes:
    """The sun's energy on a level square metre above the air.

    Parameters
    ----------
    latitude_deg : scalar or one per lane. [degree], -90 to 90, north positive
    day_of_year : same shape. [d], 1 to 366

    Returns
    -------
    same shape. [MJ m-2 d-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes R_a. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 21
    (memory; its Example 8 seen).

    Examples
    --------
    >>> round(float(extraterrestrial_radiation_mj_m2_day(-20, 246)), 1)
    32.2
    """
    return energy_above_air_mj_m2(PER_RADIAN_MJ_M2, latitude_deg, solar_declination_rad(day_of_year), day_of_year, 0.0,
                                  np.pi)


def daylight_hours(latitude_deg: Numbers, day_of_year: Numbers) -> Lanes:
    """Hours from sunrise to sunset.

    Parameters
    ----------
    latitude_deg : scalar or one per lane. [degree], -90 to 90, north positive
    day_of_year : same shape. [d], 1 to 366

    Returns
    -------
    same shape. [h], 0 to 24

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes N. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 34
    (memory; its Example 9 seen).

    Examples
    --------
    >>> round(float(daylight_hours(-20, 246)), 1)
    11.7
    """
    return 24.0 / np.pi * sunset_hour_angle_rad(latitude_deg, day_of_year)
