"""Water going into ground by Green and Ampt: a sharp front that suction and gravity draw down."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.soil.by_class import Names, figures_by_name

NEWTON_STEPS = 5  # 3 leave 4e-11 of the depth, 4 only rounding


class GreenAmptSoil(NamedTuple):
    """What the law asks of a soil: pores [m3 m-3], suction at the front [mm], conductivity behind it [mm h-1]."""

    porosity: Lanes
    effective_porosity: Lanes
    suction_mm: Lanes
    conductivity_mm_h: Lanes


def green_ampt_soil(texture: Names) -> GreenAmptSoil:
    """The law's parameters for a texture class.

    Parameters
    ----------
    texture : name of a class or one per lane, as `texture_class` gives it; silt is not in the source

    Returns
    -------
    GreenAmptSoil(porosity, effective_porosity, suction_mm, conductivity_mm_h). [m3 m-3], [m3 m-3], [mm], [mm h-1]

    Raises
    ------
    Missing : the source has no such class.

    Notes
    -----
    The conductivity is that behind the front, air shut in, about half the saturated one; for a loam it is 3.4 mm/h
    where `soil_water` has 15.5. The two tables are not to be mixed.

    References
    ----------
    Rawls, Brakensiek and Miller 1983, Green-Ampt infiltration parameters from soils data, J. Hydraul. Eng. 109:62-70:
    table soil/green_ampt_rawls (seen in public code that quotes it); half the saturated one: memory.

    Examples
    --------
    >>> [float(part) for part in green_ampt_soil("loam")]
    [0.463, 0.434, 88.9, 3.4]
    """
    return GreenAmptSoil(*figures_by_name("soil/green_ampt_rawls", "texture", texture, GreenAmptSoil._fields))


def green_ampt_deficit(effective_porosity: Numbers, effective_saturation: Numbers) -> Lanes:
    """How much water the ground takes up for each volume the front passes.

    Parameters
    ----------
    effective_porosity : scalar or one per lane. [m3 m-3], 0 to 0.95
    effective_saturation : same shape, of those pores, before the rain. [-], 0 to 1

    Returns
    -------
    same shape. [m3 m-3]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes (1 - s_e) theta_e.

    References
    ----------
    Chow, Maidment and Mays 1988, Applied Hydrology, section 4.3 (memory).

    Examples
    --------
    >>> round(float(green_ampt_deficit(0.486, 0.30)), 4)
    0.3402
    """
    full = within("effective_saturation", effective_saturation, 0.0, 1.0, "")
    return (1.0 - full) * within("effective_porosity", effective_porosity, 0.0, 0.95, "m3/m3")


def green_ampt_depth_mm(conductivity_mm_h: Numbers, suction_mm: Numbers, deficit: Numbers, time_h: Numbers) -> Lanes:
    """How much water has gone in since the ground was flooded.

    Parameters
    ----------
    conductivity_mm_h : scalar or one per lane, behind the front. [mm h-1], 0 to 10,000
    suction_mm : same shape, at the front. [mm], 0 to 10,000
    deficit : same shape, see `green_ampt_deficit`. [m3 m-3], 0 to 0.95
    time_h : same shape. [h], 0 to 1,000

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes F - psi d_theta ln(1 + F / (psi d_theta)) = K t; F is found by Newton's steps from a bound that
    lies above it, so that every step comes down. The depth of the water standing on the ground is left out.

    References
    ----------
    Green and Ampt 1911, Studies on soil physics: 1. The flow of air and water through soils, J. Agric. Sci. 4:1-24;
    Chow, Maidment and Mays 1988, Applied Hydrology, section 4.3 (both memory).

    Examples
    --------
    >>> round(float(green_ampt_depth_mm(6.5, 167.0, 0.3402, 1.0)), 1)
    31.7
    """
    by_gravity = _conductivity(conductivity_mm_h) * within("time_h", time_h, 0.0, 1000.0, "h")
    head, by_gravity = np.broadcast_arrays(_head(suction_mm, deficit), by_gravity)
    draws = (head > 0.0) & (by_gravity > 0.0)
    scale = np.where(draws, head, 1.0)
    time = np.where(draws, by_gravity / scale, 1.0)
    depth = time + np.sqrt(time * (time + 2.0))  # from ln(1 + x) <= x (x + 2) / (2 (1 + x))
    for _ in range(NEWTON_STEPS):
        depth = depth - (depth - np.log1p(depth) - time) * (1.0 + depth) / depth
    return np.where(draws, scale * depth, by_gravity)


def green_ampt_rate_mm_h(conductivity_mm_h: Numbers, suction_mm: Numbers, deficit: Numbers, depth_mm: Numbers) -> Lanes:
    """How fast ground takes in water when so much has gone in.

    Parameters
    ----------
    conductivity_mm_h : scalar or one per lane, behind the front. [mm h-1], 0 to 10,000
    suction_mm : same shape, at the front. [mm], 0 to 10,000
    deficit : same shape, see `green_ampt_deficit`. [m3 m-3], 0 to 0.95
    depth_mm : same shape, gone in so far. [mm], 1e-6 to 1e8; at the very start the rate has no bound

    Returns
    -------
    same shape. [mm h-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes f = K (1 + psi d_theta / F).

    References
    ----------
    Chow, Maidment and Mays 1988, Applied Hydrology, section 4.3 (memory).

    Examples
    --------
    >>> round(float(green_ampt_rate_mm_h(6.5, 167.0, 0.3402, 31.7)), 1)
    18.1
    """
    depth = within("depth_mm", depth_mm, 1e-6, 1e8, "mm")
    return _conductivity(conductivity_mm_h) * (1.0 + _head(suction_mm, deficit) / depth)


def green_ampt_ponding_h(
    conductivity_mm_h: Numbers, suction_mm: Numbers, deficit: Numbers, rain_mm_h: Numbers
) -> Lanes:
    """After how long a steady rain, or a hose, first stands on the ground.

    Parameters
    ----------
    conductivity_mm_h : scalar or one per lane, behind the front. [mm h-1], 0 to 10,000
    suction_mm : same shape, at the front. [mm], 0 to 10,000
    deficit : same shape, see `green_ampt_deficit`. [m3 m-3], 0 to 0.95
    rain_mm_h : same shape. [mm h-1], 0 to 10,000

    Returns
    -------
    same shape; infinite where the ground takes it all. [h]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes t_p = K psi d_theta / (i (i - K)): the time when what has fallen brings the ground's own rate
    down to that of the rain.

    References
    ----------
    Chow, Maidment and Mays 1988, Applied Hydrology, section 4.4 (memory).

    Examples
    --------
    >>> round(float(green_ampt_ponding_h(6.5, 167.0, 0.34, 50.0)), 2)
    0.17
    """
    conductivity = _conductivity(conductivity_mm_h)
    rain = within("rain_mm_h", rain_mm_h, 0.0, 10_000.0, "mm/h")
    stands = rain > conductivity
    spare = np.where(stands, rain * (rain - conductivity), 1.0)
    return np.where(stands, conductivity * _head(suction_mm, deficit) / spare, np.inf)


def _conductivity(values: Numbers) -> Lanes:
    return within("conductivity_mm_h", values, 0.0, 10_000.0, "mm/h")


def _head(suction_mm: Numbers, deficit: Numbers) -> Lanes:
    """Suction times deficit [mm], what alone makes dry ground drink faster than wet."""
    return within("suction_mm", suction_mm, 0.0, 10_000.0, "mm") * within("deficit", deficit, 0.0, 0.95, "m3/m3")
