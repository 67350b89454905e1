"""Pressure, vapour and wind of a day's air, as FAO-56 has them."""

from __future__ import annotations

import numpy as np

from rootcase.ground.errors import require_order
from rootcase.science.lanes import Lanes, Numbers, within

COLDEST_C, HOTTEST_C = -60.0, 60.0
LOWEST_GROUND_M, HIGHEST_GROUND_M = -500.0, 6000.0


def pressure_at_height_kpa(elevation_m: Numbers, exponent: float) -> Lanes:
    """Pressure of the air at a height above the sea, with the exponent as a source has it.

    Parameters
    ----------
    elevation_m : scalar or one per lane. [m], -500 to 6000
    exponent : 5.26, or g over the lapse times the gas constant of air. [-]

    Returns
    -------
    same shape. [kPa]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Air of 20 degC at the sea, 6.5 degC colder with each km.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56,
    Eq. 7 (memory).

    Examples
    --------
    >>> round(float(pressure_at_height_kpa(1800, 5.26)), 1)
    81.8
    """
    elevation = within("elevation_m", elevation_m, LOWEST_GROUND_M, HIGHEST_GROUND_M, "m")
    return np.asarray(101.3 * ((293.0 - 0.0065 * elevation) / 293.0) ** exponent)


def air_pressure_kpa(elevation_m: Numbers) -> Lanes:
    """Pressure of the air at a height above the sea.

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
    The source writes P and z. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 7
    (memory; its Example 2 seen).

    Examples
    --------
    >>> round(float(air_pressure_kpa(1800)), 1)
    81.8
    """
    return pressure_at_height_kpa(elevation_m, 5.26)


def psychrometric_constant_kpa_c(pressure_kpa: Numbers) -> Lanes:
    """How much vapour pressure a degree of wet-bulb depression stands for.

    Parameters
    ----------
    pressure_kpa : scalar or one per lane. [kPa], 40 to 110

    Returns
    -------
    same shape. [kPa C-1]

    Raises
    ------
    OutOfRange : the pressure leaves its range.

    Notes
    -----
    The source writes gamma and P. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 8
    (memory; its Example 2 seen).

    Examples
    --------
    >>> round(float(psychrometric_constant_kpa_c(81.8)), 4)
    0.0544
    """
    return 0.665e-3 * within("pressure_kpa", pressure_kpa, 40.0, 110.0, "kPa")


def saturation_vapour_pressure_kpa(temperature_c: Numbers) -> Lanes:
    """Vapour the air can hold at one temperature.

    Parameters
    ----------
    temperature_c : scalar or one per lane. [C], -60 to 60; the dew point gives the actual vapour pressure

    Returns
    -------
    same shape. [kPa]

    Raises
    ------
    OutOfRange : the temperature leaves its range.

    Notes
    -----
    The source writes e0(T); with the dew point in its place the same curve is its Eq. 14. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 11
    and 14 (memory; its Examples 3 and 20 seen).

    Examples
    --------
    >>> round(float(saturation_vapour_pressure_kpa(24.5)), 3)
    3.075
    """
    temperature = within("temperature_c", temperature_c, COLDEST_C, HOTTEST_C, "C")
    return 0.6108 * np.exp(17.27 * temperature / (temperature + 237.3))


def mean_saturation_vapour_pressure_kpa(t_min_c: Numbers, t_max_c: Numbers) -> Lanes:
    """Vapour the air of a whole day could hold.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [C], -60 to 60
    t_max_c : same shape. [C], -60 to 60

    Returns
    -------
    same shape. [kPa]

    Raises
    ------
    OutOfRange : a temperature leaves its range, or the lowest lies above the highest.

    Notes
    -----
    The source writes e_s. The mean of the two ends, not the value at the mean, which is too low.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 12
    (memory; its Example 3 seen).

    Examples
    --------
    >>> round(float(mean_saturation_vapour_pressure_kpa(15, 24.5)), 2)
    2.39
    """
    of_both = (saturation_vapour_pressure_kpa(t_max_c) + saturation_vapour_pressure_kpa(t_min_c)) / 2.0
    require_order("t_min_c", t_min_c, "t_max_c", np.nextafter(t_max_c, np.inf), "degC")
    return of_both


def slope_of_saturation_kpa_c(temperature_c: Numbers) -> Lanes:
    """How fast the vapour the air can hold rises with temperature.

    Parameters
    ----------
    temperature_c : scalar or one per lane, mean of the day. [C], -60 to 60

    Returns
    -------
    same shape. [kPa C-1]

    Raises
    ------
    OutOfRange : the temperature leaves its range.

    Notes
    -----
    The source writes Delta. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 13
    (memory; its Example 17 seen).

    Examples
    --------
    >>> round(float(slope_of_saturation_kpa_c(30.2)), 3)
    0.246
    """
    return 4098.0 * saturation_vapour_pressure_kpa(temperature_c) / (np.asarray(temperature_c) + 237.3) ** 2


def vapour_pressure_from_humidity_kpa(
    t_min_c: Numbers, t_max_c: Numbers, humidity_max_pct: Numbers, humidity_min_pct: Numbers
) -> Lanes:
    """Vapour in the air, from the day's ends of temperature and of relative humidity.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [C], -60 to 60
    t_max_c : same shape. [C], -60 to 60
    humidity_max_pct : same shape. [%], 0 to 100
    humidity_min_pct : same shape. [%], 0 to 100

    Returns
    -------
    same shape. [kPa]

    Raises
    ------
    OutOfRange : a value leaves its range, or a lowest lies above its highest.

    Notes
    -----
    The source writes e_a, RH_max and RH_min. The highest humidity goes with the lowest temperature.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 17
    (memory; its Example 5 seen).

    Examples
    --------
    >>> round(float(vapour_pressure_from_humidity_kpa(18, 25, 82, 54)), 2)
    1.7
    """
    highest = within("humidity_max_pct", humidity_max_pct, 0.0, 100.0, "%")
    lowest = within("humidity_min_pct", humidity_min_pct, 0.0, 100.0, "%")
    at_dawn = saturation_vapour_pressure_kpa(t_min_c) * highest / 100.0
    at_noon = saturation_vapour_pressure_kpa(t_max_c) * lowest / 100.0
    require_order("t_min_c", t_min_c, "t_max_c", np.nextafter(t_max_c, np.inf), "degC")
    require_order("humidity_min_pct", lowest, "humidity_max_pct", np.nextafter(highest, np.inf), "%")
    return (at_dawn + at_noon) / 2.0


def vapour_pressure_from_highest_humidity_kpa(t_min_c: Numbers, humidity_max_pct: Numbers) -> Lanes:
    """Vapour in the air, where only the highest humidity of the day can be trusted.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [C], -60 to 60
    humidity_max_pct : same shape. [%], 0 to 100

    Returns
    -------
    same shape. [kPa]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes e_a and RH_max. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 18
    (memory; its Example 5 seen).

    Examples
    --------
    >>> round(float(vapour_pressure_from_highest_humidity_kpa(18, 82)), 2)
    1.69
    """
    highest = within("humidity_max_pct", humidity_max_pct, 0.0, 100.0, "%")
    return saturation_vapour_pressure_kpa(t_min_c) * highest / 100.0


def vapour_pressure_from_mean_humidity_kpa(t_min_c: Numbers, t_max_c: Numbers, humidity_mean_pct: Numbers) -> Lanes:
    """Vapour in the air, where only the mean humidity of the day is known.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [C], -60 to 60
    t_max_c : same shape. [C], -60 to 60
    humidity_mean_pct : same shape. [%], 0 to 100

    Returns
    -------
    same shape. [kPa]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes e_a and RH_mean, and likes this form least. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 19
    (memory; its Example 5 seen).

    Examples
    --------
    >>> round(float(vapour_pressure_from_mean_humidity_kpa(18, 25, 68)), 2)
    1.78
    """
    mean = within("humidity_mean_pct", humidity_mean_pct, 0.0, 100.0, "%")
    return mean / 100.0 * mean_saturation_vapour_pressure_kpa(t_min_c, t_max_c)


def wind_at_2m_m_s(wind_m_s: Numbers, measured_at_m: Numbers) -> Lanes:
    """Wind at two metres, from wind measured higher or lower over short grass.

    Parameters
    ----------
    wind_m_s : scalar or one per lane. [m s-1], 0 to 60
    measured_at_m : same shape. [m] above the ground, 0.5 to 200

    Returns
    -------
    same shape. [m s-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes u_2, u_z and z. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 47
    (memory; its Example 14 seen).

    Examples
    --------
    >>> round(float(wind_at_2m_m_s(3.2, 10)), 1)
    2.4
    """
    wind = within("wind_m_s", wind_m_s, 0.0, 60.0, "m/s")
    height = within("measured_at_m", measured_at_m, 0.5, 200.0, "m")
    return wind * 4.87 / np.log(67.8 * height - 5.42)


def vapour_pressure_from_wet_bulb_kpa(
    wet_bulb_c: Numbers, dry_bulb_c: Numbers, pressure_kpa: Numbers, psychrometer_c: Numbers = 0.000662
) -> Lanes:
    """Vapour in the air, from a psychrometer's two thermometers.

    Parameters
    ----------
    wet_bulb_c : scalar or one per lane. [C], -60 to 60
    dry_bulb_c : same shape. [C], wet_bulb_c to 60
    pressure_kpa : same shape. [kPa], 40 to 110
    psychrometer_c : same shape. [C-1], 0.0005 to 0.0015; 0.000662 blown at 5 m/s, 0.0008 in natural air, 0.0012 indoors

    Returns
    -------
    same shape. [kPa]

    Raises
    ------
    OutOfRange : a value leaves its range, or the wet bulb is the warmer.

    Notes
    -----
    The source writes T_wet, T_dry and a_psy; its blown instrument is the default. Departure: a depression the
    instrument cannot show counts as air without vapour, not below 0.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 15 and
    16 (memory; its Example 4 seen).

    Examples
    --------
    >>> round(float(vapour_pressure_from_wet_bulb_kpa(19.5, 25.6, 87.9)), 2)
    1.91
    """
    dry = within("dry_bulb_c", dry_bulb_c, COLDEST_C, HOTTEST_C, "C")
    at_wet = saturation_vapour_pressure_kpa(wet_bulb_c)
    depression = within("dry_bulb_c minus wet_bulb_c", dry - np.asarray(wet_bulb_c), 0.0, HOTTEST_C - COLDEST_C, "C")
    constant = within("psychrometer_c", psychrometer_c, 0.0005, 0.0015, "1/C")
    drawn: Lanes = at_wet - constant * within("pressure_kpa", pressure_kpa, 40.0, 110.0, "kPa") * depression
    return np.maximum(drawn, 0.0)
