"""How a root zone that dries slows the plant on it."""

from __future__ import annotations

import numpy as np

from rootcase.ground.errors import require_range
from rootcase.science.lanes import Lanes, Numbers, within

LEAST_DEPLETION_SHARE, MOST_DEPLETION_SHARE = 0.1, 0.8


def depletion_share_of_day(table_share: Numbers, demand_mm_day: Numbers) -> Lanes:
    """The share of its water a plant can lose before it slows, on a day of this demand.

    Parameters
    ----------
    table_share : scalar or one per lane, at 5 mm a day. [-], 0 to 1; see the table water/cover_coefficients
    demand_mm_day : same shape, of a plant that lacks nothing. [mm d-1], 0 to 30

    Returns
    -------
    same shape. [-], 0.1 to 0.8

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes p = p_table + 0.04 (5 - ET_c). No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, page 162 and
    Table 22 (seen in the source of pyfao56 1.4.3).

    Examples
    --------
    >>> round(float(depletion_share_of_day(0.4, 7.2)), 3)
    0.312
    """
    share = (within("table_share", table_share, 0.0, 1.0, "")
             + 0.04 * (5.0 - within("demand_mm_day", demand_mm_day, 0.0, 30.0, "mm/d")))
    return np.clip(share, LEAST_DEPLETION_SHARE, MOST_DEPLETION_SHARE)


def water_stress(total_mm: Numbers, depletion_mm: Numbers, depletion_share: Numbers) -> Lanes:
    """What a plant still transpires of what it would with water enough.

    Parameters
    ----------
    total_mm : scalar or one per lane, see `total_available_water_mm`. [mm], above 0 to 5000
    depletion_mm : same shape, what the root zone lacks of field capacity. [mm], 0 to 5000; beyond total_mm it is empty
    depletion_share : same shape, lost without harm. [-], 0 to 0.99

    Returns
    -------
    same shape. [-], 1 with water enough, 0 at the wilting point

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes K_s, TAW, D_r and p. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 84
    (memory; its Example 37 seen).

    Examples
    --------
    >>> round(float(water_stress(160, 78.262, 0.4)), 2)
    0.85
    """
    total, lost, share = _root_zone(total_mm, depletion_mm, depletion_share)
    return np.clip((total - lost) / ((1.0 - share) * total), 0.0, 1.0)


def water_stress_of_aquacrop(
    total_mm: Numbers, depletion_mm: Numbers, depletion_share: Numbers, shape: Numbers = 1.5
) -> Lanes:
    """What a plant still transpires, by the curve that spares it at first and then falls fast.

    Parameters
    ----------
    total_mm : scalar or one per lane. [mm], above 0 to 5000
    depletion_mm : same shape. [mm], 0 to 5000
    depletion_share : same shape, lost without harm. [-], 0 to 0.99
    shape : same shape; larger bends more. [-], 0.1 to 10

    Returns
    -------
    same shape. [-], 1 with water enough, 0 at the wilting point

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Beside `water_stress`, the straight line; up to 0.1 above it with the usual shape of 1.5.

    References
    ----------
    Raes, Steduto, Hsiao and Fereres 2009, AquaCrop: the FAO crop model to simulate yield response to water, Agron. J.
    101:438-447 (memory; the curve seen in the source of pyfao56 1.4.3).

    Examples
    --------
    >>> round(float(water_stress_of_aquacrop(160, 80, 0.4)), 4)
    0.9184
    """
    total, lost, share = _root_zone(total_mm, depletion_mm, depletion_share)
    bend = within("shape", shape, 0.1, 10.0, "")
    beyond = np.clip((lost / total - share) / (1.0 - share), 0.0, 1.0)
    stress: Lanes = 1.0 - np.expm1(bend * beyond) / np.expm1(bend)
    return stress


def _root_zone(total_mm: Numbers, depletion_mm: Numbers, depletion_share: Numbers) -> tuple[Lanes, Lanes, Lanes]:
    require_range("total_mm", total_mm, 1e-6, 5000.0, "mm")
    return (np.asarray(total_mm, dtype=np.float64), within("depletion_mm", depletion_mm, 0.0, 5000.0, "mm"),
            within("depletion_share", depletion_share, 0.0, 0.99, ""))
