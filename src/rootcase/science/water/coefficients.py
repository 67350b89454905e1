"""What a cover evaporates of the reference: published coefficients, by season, by climate, and their ceiling."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

WIND_M_S, HUMIDITY_PCT = (1.0, 6.0), (20.0, 80.0)
"""Where the correction for climate was found."""
_LEAST_ROOM = 0.05


class CoverCoefficients(NamedTuple):
    """Of a cover in a sub-humid climate."""

    single: tuple[float, float, float]
    """K_c of the beginning, the middle and the end of the season."""
    basal: tuple[float, float, float]
    """K_cb likewise: the plants alone, with a dry soil surface."""
    root_depth_m: tuple[float, float]
    depletion_share: float


class Stages(NamedTuple):
    """Lengths of a season's four stages [d]."""

    initial: float
    development: float
    middle: float
    late: float


def coefficients_of_cover(cover: str) -> CoverCoefficients:
    """The published coefficients of an orchard, of conifers or of turf.

    Parameters
    ----------
    cover : its name in the table, such as "conifers"

    Returns
    -------
    CoverCoefficients, of RH_min 45 % and wind of 2 m/s. [-], [m]

    Raises
    ------
    Missing : the table has no such cover.

    Notes
    -----
    Shade trees stand in no table of the source; what is nearest is a choice of the person who asks.

    References
    ----------
    Table water/cover_coefficients.

    Examples
    --------
    >>> coefficients_of_cover("conifers").basal
    (0.95, 0.95, 0.95)
    """
    row = table("water/cover_coefficients").row(cover=cover)
    single, basal = ((row[f"{kind}_initial"], row[f"{kind}_middle"], row[f"{kind}_end"]) for kind in ("kc", "kcb"))
    return CoverCoefficients(single, basal, (row["root_depth_low_m"], row["root_depth_high_m"]), row["depletion_share"])


def coefficient_of_day(day: Numbers, stages: Stages, initial: Numbers, middle: Numbers, end: Numbers) -> Lanes:
    """The coefficient of one day of the season.

    Parameters
    ----------
    day : scalar or one per lane, days since the season began, the first is 0. [d], 0 to 400
    stages : the lengths of the four stages. [d], 1 to 366 each
    initial : same shape, coefficient of the first stage. [-], 0 to 1.5
    middle : same shape. [-], 0 to 1.5
    end : same shape, of the season's last day and after. [-], 0 to 1.5

    Returns
    -------
    same shape. [-]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes K_c,i; single and basal coefficients run alike. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 66 and
    Figure 34 (memory).

    Examples
    --------
    >>> coefficient_of_day([0, 30, 100, 185, 300], Stages(15, 30, 120, 40), 0.30, 0.85, 0.40).round(3).tolist()
    [0.3, 0.575, 0.85, 0.625, 0.4]
    """
    ends = np.cumsum([within(f"stage {name}", length, 1.0, 366.0, "d") for name, length in stages._asdict().items()])
    elapsed = within("day", day, 0.0, 400.0, "d")
    first, height, last = (within(name, value, 0.0, 1.5, "")
                           for name, value in (("initial", initial), ("middle", middle), ("end", end)))
    grown = np.clip((elapsed - ends[0]) / stages.development, 0.0, 1.0)
    faded = np.clip((elapsed - ends[2]) / stages.late, 0.0, 1.0)
    coefficient: Lanes = first + (height - first) * grown + (last - height) * faded
    return coefficient


def climate_correction(wind_2m_m_s: Numbers, humidity_min_pct: Numbers, height_m: Numbers) -> Lanes:
    """What wind and dry air add to the coefficient of a tall cover.

    Parameters
    ----------
    wind_2m_m_s : scalar or one per lane, at 2 m. [m s-1], 0 to 60
    humidity_min_pct : same shape, lowest of the day. [%], 0 to 100
    height_m : same shape, of the cover. [m], 0 to 120

    Returns
    -------
    same shape; to be added to a coefficient of 0.45 or more. [-], about -0.5 to 0.9

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes [0.04 (u_2 - 2) - 0.004 (RH_min - 45)] (h/3)^0.3, for 1 to 6 m/s, 20 to 80 %, plants up to 10 m.
    Departure: wind and humidity beyond that are held to it; height is not.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 62, 65, 70
    and 72 (seen in the source of pyfao56 1.4.3).

    Examples
    --------
    >>> round(float(climate_correction(3, 30, 10)), 4)
    0.1435
    """
    wind = np.clip(within("wind_2m_m_s", wind_2m_m_s, 0.0, 60.0, "m/s"), *WIND_M_S)
    humidity = np.clip(within("humidity_min_pct", humidity_min_pct, 0.0, 100.0, "%"), *HUMIDITY_PCT)
    lift: Lanes = (within("height_m", height_m, 0.0, 120.0, "m") / 3.0) ** 0.3
    return (0.04 * (wind - 2.0) - 0.004 * (humidity - 45.0)) * lift


def upper_coefficient(
    basal: Numbers, wind_2m_m_s: Numbers, humidity_min_pct: Numbers, height_m: Numbers
) -> Lanes:
    """The most that plants and wet ground together evaporate of the reference.

    Parameters
    ----------
    basal : scalar or one per lane. [-], 0 to 1.5
    wind_2m_m_s : same shape, at 2 m. [m s-1], 0 to 60
    humidity_min_pct : same shape, lowest of the day. [%], 0 to 100
    height_m : same shape, of the cover. [m], 0 to 120

    Returns
    -------
    same shape. [-]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes K_c,max and K_cb. Departure: see `climate_correction`.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 72 (seen in
    the source of pyfao56 1.4.3).

    Examples
    --------
    >>> float(upper_coefficient(0.9, 2, 45, 10))
    1.2
    """
    plants = within("basal", basal, 0.0, 1.5, "")
    return np.maximum(1.2 + climate_correction(wind_2m_m_s, humidity_min_pct, height_m), plants + _LEAST_ROOM)


def cover_from_coefficient(basal: Numbers, bare: Numbers, upper: Numbers, height_m: Numbers) -> Lanes:
    """How much of the ground plants of this coefficient shade.

    Parameters
    ----------
    basal : scalar or one per lane. [-], 0 to 1.5
    bare : same shape, the coefficient of bare dry ground. [-], 0 to basal; 0.15 to 0.20 usual
    upper : same shape, see `upper_coefficient`. [-], above bare to 2
    height_m : same shape, of the plants. [m], 0 to 120

    Returns
    -------
    same shape. [-], 0 to 0.99

    Raises
    ------
    OutOfRange : a value leaves its range, or bare is not below upper.

    Notes
    -----
    The source writes f_c, K_cb, K_c,min, K_c,max and h. A measured cover is better.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 76 (seen in
    the source of pyfao56 1.4.3).

    Examples
    --------
    >>> round(float(cover_from_coefficient(0.85, 0.30, 1.1409, 8)), 4)
    0.1197
    """
    plants, least = within("basal", basal, 0.0, 1.5, ""), within("bare", bare, 0.0, 1.5, "")
    room = within("upper minus bare", np.asarray(upper, dtype=np.float64) - least, 1e-6, 2.0, "")
    share = np.maximum(plants - least, 0.0) / room
    return np.clip(share ** (1.0 + 0.5 * within("height_m", height_m, 0.0, 120.0, "m")), 0.0, 0.99)
