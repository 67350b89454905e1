"""Water that roots can draw on."""

from __future__ import annotations

import numpy as np

from rootcase.ground.errors import require_order
from rootcase.science.lanes import Lanes, Numbers, within

MM_PER_M = 1000.0


def total_available_water_mm(field_capacity: Numbers, wilting_point: Numbers, root_depth_m: Numbers) -> Lanes:
    """Water roots can draw on, from field capacity down to the wilting point.

    Parameters
    ----------
    field_capacity : scalar or one per lane. [m3 m-3], 0 to 1
    wilting_point : same shape. [m3 m-3], below field_capacity
    root_depth_m : same shape. [m], 0 to 10

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range, or the wilting point is not below field capacity.

    Notes
    -----
    The source writes TAW, theta_FC, theta_WP and Z_r. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 82
    (memory; its Example 36 seen).

    Examples
    --------
    >>> round(float(total_available_water_mm(0.15, 0.06, 0.4)), 9)
    36.0
    """
    full = within("field_capacity", field_capacity, 0.0, 1.0, "m3/m3")
    dry = within("wilting_point", wilting_point, 0.0, 1.0, "m3/m3")
    require_order("wilting_point", dry, "field_capacity", full, "m3/m3")
    return MM_PER_M * (full - dry) * within("root_depth_m", root_depth_m, 0.0, 10.0, "m")


def readily_available_water_mm(total_mm: Numbers, depletion_share: Numbers) -> Lanes:
    """Water a plant draws before thirst slows it.

    Parameters
    ----------
    total_mm : scalar or one per lane, see `total_available_water_mm`. [mm], 0 to 5000
    depletion_share : same shape, of the whole. [-], 0 to 1

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes RAW, p and TAW. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 83
    (memory; its Example 36 seen).

    Examples
    --------
    >>> round(float(readily_available_water_mm(72, 0.4)), 1)
    28.8
    """
    return (within("total_mm", total_mm, 0.0, 5000.0, "mm")
            * within("depletion_share", depletion_share, 0.0, 1.0, ""))


def days_of_water(readily_available_mm: Numbers, demand_mm_day: Numbers) -> Lanes:
    """How many days without rain the easy water lasts.

    Parameters
    ----------
    readily_available_mm : scalar or one per lane. [mm], 0 to 5000
    demand_mm_day : same shape. [mm d-1], above 0 to 30

    Returns
    -------
    same shape. [d]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    RAW / ET_c: from a full root zone, with a demand that does not change.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, the interval
    that follows from Eq. 83 (computed).

    Examples
    --------
    >>> round(float(days_of_water(14.26, 3.5)), 2)
    4.07
    """
    return (within("readily_available_mm", readily_available_mm, 0.0, 5000.0, "mm")
            / within("demand_mm_day", demand_mm_day, 1e-3, 30.0, "mm/d"))


def rootable_depth_m(bottom_m: Numbers, bulk_density_mg_m3: Numbers, restricts_mg_m3: Numbers) -> Lanes:
    """How deep roots get before the first layer that is too dense for them.

    Parameters
    ----------
    bottom_m : bottoms of the layers from the top down, layers first, then lanes. [m], 0 to 10, each below the last
    bulk_density_mg_m3 : same shape. [Mg m-3], 0.05 to 2.65
    restricts_mg_m3 : broadcasts to it, see `density_limits`. [Mg m-3], 0.5 to 2.65

    Returns
    -------
    one per lane. [m]

    Raises
    ------
    OutOfRange : a value leaves its range, or a layer ends above the one before.

    Notes
    -----
    A layer stops roots where its density is above the limit. Good ground below a dense layer counts for nothing.

    References
    ----------
    JUDGEMENT; the limit of a texture is the table soil/density_nrcs.

    Examples
    --------
    >>> float(rootable_depth_m([0.20, 0.35, 0.80], [1.35, 1.78, 1.45], 1.75))
    0.2
    """
    bottom = within("bottom_m", bottom_m, 0.0, 10.0, "m")
    tops = np.concatenate([np.zeros_like(bottom[:1]), bottom[:-1]])
    require_order("a layer's top", tops, "its bottom", bottom, "m")
    open_to_roots = (within("bulk_density_mg_m3", bulk_density_mg_m3, 0.05, 2.65, "Mg/m3")
                     <= within("restricts_mg_m3", restricts_mg_m3, 0.5, 2.65, "Mg/m3"))
    depth: Lanes = ((bottom - tops) * np.logical_and.accumulate(open_to_roots, axis=0)).sum(axis=0)
    return depth
