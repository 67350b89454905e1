"""Coefficients of trees from how much ground they cover and how tall they are, over bare or live ground."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.coefficients import climate_correction

USUAL_LEAF_RESISTANCE_S_M = 100.0


def effective_cover(cover_share: Numbers, sun_height_rad: Numbers) -> Lanes:
    """The share of ground in shade, with the sun not overhead.

    Parameters
    ----------
    cover_share : scalar or one per lane, seen from above. [-], 0 to 1
    sun_height_rad : same shape, height of the sun above the horizon. [rad], 0.05 to 1.571

    Returns
    -------
    same shape. [-], 0 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes f_c,eff = f_c / sin(beta), at most 1, for crowns about as wide as tall or rows along the sun.

    References
    ----------
    Allen and Pereira 2009, Estimating crop coefficients from fraction of ground cover and height, Irrig. Sci. 28:17-34
    (memory; abstract seen).

    Examples
    --------
    >>> round(float(effective_cover(0.4, 0.9273)), 3)
    0.5
    """
    height = within("sun_height_rad", sun_height_rad, 0.05, np.pi / 2.0 + 1e-3, "rad")
    return np.minimum(within("cover_share", cover_share, 0.0, 1.0, "") / np.sin(height), 1.0)


def density_coefficient(cover_share: Numbers, height_m: Numbers, multiplier: Numbers) -> Lanes:
    """How far plants that do not close the ground come towards the coefficient of those that do.

    Parameters
    ----------
    cover_share : scalar or one per lane, effective, see `effective_cover`. [-], 0 to 1
    height_m : same shape, of the plants. [m], 0 to 120
    multiplier : same shape, for crowns that let light through. [-], 1 to 2; 1.5 to 2.0 in the source

    Returns
    -------
    same shape. [-], 0 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes K_d, f_c,eff, h and M_L. No departure from it.

    References
    ----------
    Allen and Pereira 2009, Estimating crop coefficients from fraction of ground cover and height, Irrig. Sci. 28:17-34
    (memory; abstract seen).

    Examples
    --------
    >>> float(density_coefficient(0.5, 10, 1.5))
    0.75
    """
    covered = within("cover_share", cover_share, 0.0, 1.0, "")
    by_height = covered ** (1.0 / (1.0 + within("height_m", height_m, 0.0, 120.0, "m")))
    return np.minimum(1.0, np.minimum(within("multiplier", multiplier, 1.0, 2.0, "") * covered, by_height))


def full_cover_coefficient(height_m: Numbers, wind_2m_m_s: Numbers, humidity_min_pct: Numbers) -> Lanes:
    """The basal coefficient plants of a height would have if they closed the ground.

    Parameters
    ----------
    height_m : scalar or one per lane, of the plants. [m], 0 to 120
    wind_2m_m_s : same shape, at 2 m. [m s-1], 0 to 60
    humidity_min_pct : same shape, lowest of the day. [%], 0 to 100

    Returns
    -------
    same shape. [-]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes K_cb,full = min(1 + 0.1 h, 1.2) and its correction. Departure: see `climate_correction`.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 99 and 100
    (memory; the form seen in a textbook).

    Examples
    --------
    >>> round(float(full_cover_coefficient(10, 3, 30)), 4)
    1.3435
    """
    height = within("height_m", height_m, 0.0, 120.0, "m")
    return np.minimum(1.0 + 0.1 * height, 1.2) + climate_correction(wind_2m_m_s, humidity_min_pct, height)


def stomata_factor(
    slope_kpa_c: Numbers, psychrometric_kpa_c: Numbers, wind_2m_m_s: Numbers, leaf_resistance_s_m: Numbers
) -> Lanes:
    """What plants that close their stomata more than crops do evaporate beside them.

    Parameters
    ----------
    slope_kpa_c : scalar or one per lane, see `slope_of_saturation_kpa_c`. [kPa C-1], 0 to 1.2
    psychrometric_kpa_c : same shape. [kPa C-1], 0.02 to 0.08
    wind_2m_m_s : same shape, at 2 m. [m s-1], 0 to 60
    leaf_resistance_s_m : same shape. [s m-1], 20 to 2000; 100 for most crops

    Returns
    -------
    same shape; times the full coefficient. [-]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes F_r, Delta, gamma, u_2 and r_l. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 102; Allen
    and Pereira 2009, Irrig. Sci. 28:17-34 (both memory).

    Examples
    --------
    >>> round(float(stomata_factor(0.14474, 0.0665, 2, 200)), 2)
    0.85
    """
    slope = within("slope_kpa_c", slope_kpa_c, 0.0, 1.2, "kPa/C")
    gamma = within("psychrometric_kpa_c", psychrometric_kpa_c, 0.02, 0.08, "kPa/C")
    wind = within("wind_2m_m_s", wind_2m_m_s, 0.0, 60.0, "m/s")
    closed = within("leaf_resistance_s_m", leaf_resistance_s_m, 20.0, 2000.0, "s/m") / USUAL_LEAF_RESISTANCE_S_M
    return (slope + gamma * (1.0 + 0.34 * wind)) / (slope + gamma * (1.0 + 0.34 * wind * closed))


def coefficient_over_bare_ground(density: Numbers, full: Numbers, bare: Numbers) -> Lanes:
    """The basal coefficient of trees over bare ground, by Allen and Pereira.

    Parameters
    ----------
    density : scalar or one per lane, see `density_coefficient`. [-], 0 to 1
    full : same shape, see `full_cover_coefficient`. [-], bare to 2
    bare : same shape, of bare dry ground. [-], 0 to 1; 0.15 usual

    Returns
    -------
    same shape. [-]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes K_cb = K_c,min + K_d (K_cb,full - K_c,min). No departure from it.

    References
    ----------
    Allen and Pereira 2009, Estimating crop coefficients from fraction of ground cover and height, Irrig. Sci. 28:17-34
    (memory; abstract seen).

    Examples
    --------
    >>> round(float(coefficient_over_bare_ground(0.75, 1.2, 0.15)), 4)
    0.9375
    """
    least = within("bare", bare, 0.0, 1.0, "")
    room = within("full minus bare", np.asarray(full, dtype=np.float64) - least, 0.0, 2.0, "")
    return least + within("density", density, 0.0, 1.0, "") * room


def coefficient_over_bare_ground_of_fao56(
    cover_share: Numbers, height_m: Numbers, full: Numbers, bare: Numbers
) -> Lanes:
    """The basal coefficient of plants over bare ground, by FAO-56.

    Parameters
    ----------
    cover_share : scalar or one per lane, effective. [-], 0 to 1
    height_m : same shape, of the plants. [m], 0 to 120
    full : same shape, see `full_cover_coefficient`. [-], bare to 2
    bare : same shape, of bare dry ground. [-], 0 to 1; 0.15 to 0.20 in the source

    Returns
    -------
    same shape. [-]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes min(1, 2 f_c, f_c,eff^(1/(1+h))) where Allen and Pereira have M_L in place of the 2: at half cover
    and 10 m the two give 1.14 and 0.94. For trees in the open the later paper is the better (its own finding).

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 98
    (memory).

    Examples
    --------
    >>> round(float(coefficient_over_bare_ground_of_fao56(0.5, 10, 1.2, 0.15)), 4)
    1.1359
    """
    return coefficient_over_bare_ground(density_coefficient(cover_share, height_m, 2.0), full, bare)


def coefficient_over_live_ground(density: Numbers, full: Numbers, live: Numbers) -> Lanes:
    """The basal coefficient of trees over grass or another live floor.

    Parameters
    ----------
    density : scalar or one per lane, see `density_coefficient`. [-], 0 to 1
    full : same shape, of the trees alone if they closed the ground. [-], 0 to 2
    live : same shape, of the floor without trees. [-], 0 to 1.5

    Returns
    -------
    same shape. [-]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes K_cb = K_cb,cover + K_d max(K_cb,full - K_cb,cover, (K_cb,full - K_cb,cover) / 2): trees that
    evaporate less than the floor they shade take half the difference away.

    References
    ----------
    Allen and Pereira 2009, Estimating crop coefficients from fraction of ground cover and height, Irrig. Sci. 28:17-34
    (memory; abstract seen).

    Examples
    --------
    >>> [round(float(coefficient_over_live_ground(0.5, full, 0.8)), 2) for full in (1.2, 0.6)]
    [1.0, 0.75]
    """
    floor = within("live", live, 0.0, 1.5, "")
    gain = within("full", full, 0.0, 2.0, "") - floor
    return floor + within("density", density, 0.0, 1.0, "") * np.maximum(gain, gain / 2.0)
