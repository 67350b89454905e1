"""Sun, air and clear sky as Ref-ET, a program stations use, has them, beside FAO-56's in `sun` and `radiation`.

Two readings of the same quantities, each by its name; on a day's evapotranspiration they differ by near one percent.
"""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.atmosphere import pressure_at_height_kpa
from rootcase.science.water.hourly_et import solar_hour_angle_rad
from rootcase.science.water.sun import HALF_HOUR_RAD, energy_above_air_mj_m2, season_sine

SOLAR_CONSTANT_MJ_M2_H = 1367.0 * 0.0036
PER_RADIAN_OF_1367_W_MJ_M2 = 12.0 / np.pi * SOLAR_CONSTANT_MJ_M2_H


def air_pressure_by_gas_law_kpa(elevation_m: Numbers) -> Lanes:
    """Pressure of the air at a height above the sea, with the exponent unrounded.

    Parameters
    ----------
    elevation_m : scalar or one per lane. [m], -500 to 6000

    Returns
    -------
    same shape. [kPa]

    Raises
    ------
    OutOfRange : the height leaves its range.

    Notes
    -----
    The exponent is g / (lapse rate x gas constant) = 9.8 / (0.0065 x 286.9) = 5.255; `air_pressure_kpa` has 5.26.

    References
    ----------
    Ref-ET's own form (seen in the source of refet 0.5.0).

    Examples
    --------
    >>> round(float(air_pressure_by_gas_law_kpa(1208.5)), 2)
    87.82
    """
    return pressure_at_height_kpa(elevation_m, 9.8 / (0.0065 * 286.9))


def declination_of_cooper_rad(day_of_year: Numbers) -> Lanes:
    """How far north of the equator the sun stands, by Cooper's curve.

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
    Up to 0.002 rad from `solar_declination_rad`, the same curve with its numbers rounded.

    References
    ----------
    Cooper 1969, The absorption of radiation in solar stills, Solar Energy 12:333-346 (memory; the curve seen in the
    source of refet 0.5.0).

    Examples
    --------
    >>> round(float(declination_of_cooper_rad(182)), 4)
    0.4035
    """
    day = within("day_of_year", day_of_year, 1, 366, "d")
    angle: Lanes = np.radians(23.45) * np.sin(2.0 * np.pi * (day + 284.0) / 365.0)
    return angle


def extraterrestrial_radiation_of_1367_w_mj_m2_day(latitude_deg: Numbers, day_of_year: Numbers) -> Lanes:
    """The sun's energy above the air in a day, with a solar constant of 1367 W/m2 and Cooper's declination.

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
    Beside `extraterrestrial_radiation_mj_m2_day`, whose constant comes to 1366.7 W/m2.

    References
    ----------
    Duffie and Beckman 1980, Solar engineering of thermal processes (memory; the form seen in the source of refet
    0.5.0).

    Examples
    --------
    >>> round(float(extraterrestrial_radiation_of_1367_w_mj_m2_day(39.4575, 182)), 2)
    41.68
    """
    return energy_above_air_mj_m2(PER_RADIAN_OF_1367_W_MJ_M2, latitude_deg, declination_of_cooper_rad(day_of_year),
                                  day_of_year, 0.0, np.pi)


def extraterrestrial_radiation_of_1367_w_mj_m2_h(
    latitude_deg: Numbers, longitude_deg: Numbers, day_of_year: Numbers, hour_utc: Numbers
) -> Lanes:
    """The sun's energy above the air in an hour, with a solar constant of 1367 W/m2 and Cooper's declination.

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
    Beside `extraterrestrial_radiation_mj_m2_h` of the module hourly_et.

    References
    ----------
    Duffie and Beckman 1980, Solar engineering of thermal processes (memory; the form seen in the source of refet
    0.5.0).

    Examples
    --------
    >>> round(float(extraterrestrial_radiation_of_1367_w_mj_m2_h(39.4575, -118.774, 182, 18.5)), 2)
    4.31
    """
    middle = solar_hour_angle_rad(longitude_deg, day_of_year, hour_utc)
    return energy_above_air_mj_m2(PER_RADIAN_OF_1367_W_MJ_M2, latitude_deg, declination_of_cooper_rad(day_of_year),
                                  day_of_year, middle, HALF_HOUR_RAD)


def height_of_sun_of_day(latitude_deg: Numbers, day_of_year: Numbers) -> Lanes:
    """The sine of the sun's height that stands for a whole day in clear air.

    Parameters
    ----------
    latitude_deg : scalar or one per lane. [degree], -90 to 90, north positive
    day_of_year : same shape. [d], 1 to 366

    Returns
    -------
    same shape. [-], 0.1 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes sin(phi_24). Departure: held to at least 0.1, below which its use in the beam has no sense
    (Ref-ET's bound).

    References
    ----------
    ASCE-EWRI 2005, The ASCE standardized reference evapotranspiration equation, Eq. D.5 (seen in the source of refet
    0.5.0).

    Examples
    --------
    >>> round(float(height_of_sun_of_day(39.4575, 182)), 2)
    0.75
    """
    latitude = np.radians(within("latitude_deg", latitude_deg, -90.0, 90.0, "degree"))
    season = season_sine(day_of_year)
    return np.maximum(np.sin(0.85 + 0.3 * latitude * season - 0.42 * latitude**2), 0.1)


def height_of_sun_of_hour(
    latitude_deg: Numbers, longitude_deg: Numbers, day_of_year: Numbers, hour_utc: Numbers
) -> Lanes:
    """The sine of the sun's height in the middle of an hour.

    Parameters
    ----------
    latitude_deg : scalar or one per lane. [degree], -90 to 90, north positive
    longitude_deg : same shape. [degree], -180 to 180, east positive
    day_of_year : same shape. [d], 1 to 366
    hour_utc : same shape, middle of the hour, universal time. [h], 0 to 24

    Returns
    -------
    same shape. [-], 0.01 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes sin(phi). Departure: held to at least 0.01, with Cooper's declination (both Ref-ET's).

    References
    ----------
    ASCE-EWRI 2005, The ASCE standardized reference evapotranspiration equation, Eq. D.6 and 62 (seen in the source of
    refet 0.5.0).

    Examples
    --------
    >>> round(float(height_of_sun_of_hour(39.4575, -118.774, 182, 18.5)), 2)
    0.91
    """
    latitude = np.radians(within("latitude_deg", latitude_deg, -90.0, 90.0, "degree"))
    declination = declination_of_cooper_rad(day_of_year)
    angle = solar_hour_angle_rad(longitude_deg, day_of_year, hour_utc)
    height: Lanes = (np.sin(latitude) * np.sin(declination)
                     + np.cos(latitude) * np.cos(declination) * np.cos(angle))
    return np.maximum(height, 0.01)


def clear_share(vapour_pressure_kpa: Numbers, pressure_kpa: Numbers, height_of_sun: Numbers) -> Lanes:
    """What share of the sun's energy comes through clear air, less what air and vapour take.

    Parameters
    ----------
    vapour_pressure_kpa : scalar or one per lane. [kPa], 0 to 20
    pressure_kpa : same shape. [kPa], 40 to 110
    height_of_sun : same shape, sine of it. [-], 0.01 to 1

    Returns
    -------
    same shape. [-]; times the radiation above the air gives that of a clear sky

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes K_B + K_D and W, with a turbidity of 1. Its simple form is `clear_sky_radiation_mj_m2_day`.

    References
    ----------
    ASCE-EWRI 2005, The ASCE standardized reference evapotranspiration equation, Eq. D.1 to D.4 (seen in the source of
    refet 0.5.0).

    Examples
    --------
    >>> round(float(clear_share(1.22, 87.8, 0.75)), 2)
    0.76
    """
    vapour = within("vapour_pressure_kpa", vapour_pressure_kpa, 0.0, 20.0, "kPa")
    pressure = within("pressure_kpa", pressure_kpa, 40.0, 110.0, "kPa")
    height = within("height_of_sun", height_of_sun, 0.01, 1.0, "")
    water_mm = 0.14 * pressure * vapour + 2.1
    beam = 0.98 * np.exp(-0.00146 * pressure / height - 0.075 * (water_mm / height) ** 0.4)
    scattered = np.minimum(0.35 - 0.36 * beam, 0.18 + 0.82 * beam)
    share: Lanes = beam + scattered
    return share
