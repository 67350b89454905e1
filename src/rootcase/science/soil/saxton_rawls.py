"""Water a soil holds and lets through, from texture, organic matter and density (Saxton and Rawls 2006)."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import require_range
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.soil.porosity import PARTICLE_DENSITY_MG_M3, total_porosity

FIELD_CAPACITY_TENSION_KPA = 33.0
WILTING_TENSION_KPA = 1500.0
LEAST_AIR_AT_FIELD_CAPACITY = 0.005  # the paper's, with its density adjustment
LEAST_WATER = 0.01  # a guard met in public code, not the paper's: the regressions go below 0 in pure sand
LARGEST_ORGANIC_MATTER_PCT = 8.0
LARGEST_CLAY = 0.60


class SoilWater(NamedTuple):
    """What one soil holds [m3 m-3], lets through [mm h-1] and weighs when nothing pressed it [Mg m-3]."""

    wilting_point: Lanes
    field_capacity: Lanes
    saturation: Lanes
    conductivity_mm_h: Lanes
    normal_density_mg_m3: Lanes


def soil_water(
    sand: Numbers, clay: Numbers, organic_matter_pct: Numbers, bulk_density_mg_m3: Numbers | None = None
) -> SoilWater:
    """Wilting point, field capacity, saturation and conductivity of a soil, pressed or not.

    Parameters
    ----------
    sand : scalar or one per lane. [kg kg-1], 0 to 1
    clay : same shape. [kg kg-1], 0 to 0.60
    organic_matter_pct : same shape. [%] by weight, 0 to 8
    bulk_density_mg_m3 : same shape. [Mg m-3], 0.3 to 2.5; None where nothing pressed the soil

    Returns
    -------
    SoilWater. wilting_point, field_capacity, saturation [m3 m-3]; conductivity_mm_h, saturated [mm h-1];
    normal_density_mg_m3 [Mg m-3].

    Raises
    ------
    OutOfRange : a value leaves its range, or sand and clay are more than the whole.

    Notes
    -----
    The source writes S, C (percent in its text; only fractions reproduce its Table 3), OM (percent), theta_1500,
    theta_33, theta_S, K_S, rho_N. Density moves saturation and, by a fifth of that, field capacity; the wilting
    point stays. Departures: (1) density is taken as read, where the source has 0.9 to 1.3 times the normal one;
    (2) saturation stays 0.005 above field capacity by lowering field capacity; (3) lambda is derived again from
    the adjusted field capacity (the source does not say; 6.99 against 7.14 mm/h for a loam at 1.1 times its
    density) and is never below 0, which a clay reaches from about 1.85 Mg m-3 on; (4) wilting point
    and field capacity are never below 0.01, which a pure sand without organic matter would reach.

    References
    ----------
    Saxton and Rawls 2006, Soil water characteristic estimates by texture and organic matter for hydrologic
    solutions, Soil Sci. Soc. Am. J. 70:1569-1578, Table 1 (coefficients seen in three public code bases, all 48
    values of its Table 3 reproduced; the paper itself not read).

    Examples
    --------
    >>> loam = soil_water(0.40, 0.20, 2.5)
    >>> [round(float(x), 3) for x in loam]
    [0.137, 0.28, 0.459, 15.476, 1.432]
    """
    s = within("sand", sand, 0.0, 1.0, "")
    c = within("clay", clay, 0.0, LARGEST_CLAY, "")
    require_range("sand plus clay", s + c, 0.0, 1.0 + 1e-9, "")
    om = within("organic_matter_pct", organic_matter_pct, 0.0, LARGEST_ORGANIC_MATTER_PCT, "%")
    wilting_point = np.maximum(_water_at_1500_kpa(s, c, om), LEAST_WATER)
    normal_field_capacity = _water_at_33_kpa(s, c, om)
    normal_saturation = normal_field_capacity + _water_from_saturation_to_33_kpa(s, c, om) - 0.097 * s + 0.043
    normal_density = (1.0 - normal_saturation) * PARTICLE_DENSITY_MG_M3
    saturation = normal_saturation
    if bulk_density_mg_m3 is not None:
        saturation = total_porosity(within("bulk_density_mg_m3", bulk_density_mg_m3, 0.3, 2.5, "Mg/m3"))
    field_capacity = np.clip(normal_field_capacity - 0.2 * (normal_saturation - saturation),
                             LEAST_WATER, saturation - LEAST_AIR_AT_FIELD_CAPACITY)
    slope = pore_size_index(field_capacity, wilting_point)
    conductivity = saturated_conductivity_mm_h(saturation, field_capacity, slope)
    return SoilWater(wilting_point, field_capacity, saturation, conductivity, normal_density)


def pore_size_index(field_capacity: Numbers, wilting_point: Numbers) -> Lanes:
    """How evenly a soil's pores are sized, from the water it gives up between 33 and 1500 kPa.

    Parameters
    ----------
    field_capacity : scalar or one per lane, at 33 kPa. [m3 m-3], 0.001 to 1
    wilting_point : same shape, at 1500 kPa. [m3 m-3], 0.001 to 1

    Returns
    -------
    same shape. [-], 0 and more

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes lambda = 1 / B, B = (ln 1500 - ln 33) / (ln theta_33 - ln theta_1500). Departure: never below
    0, which a soil pressed until its field capacity lies under its wilting point would reach.

    References
    ----------
    Saxton and Rawls 2006, Soil Sci. Soc. Am. J. 70:1569-1578, Eq. 15 and 18 (numbers memory; form seen in public
    code).

    Examples
    --------
    >>> round(float(pore_size_index(0.2796, 0.1370)), 3)
    0.187
    """
    full = np.log(within("field_capacity", field_capacity, 0.001, 1.0, "m3/m3"))
    dry = np.log(within("wilting_point", wilting_point, 0.001, 1.0, "m3/m3"))
    tension_span = np.log(WILTING_TENSION_KPA) - np.log(FIELD_CAPACITY_TENSION_KPA)
    index: Lanes = np.maximum((full - dry) / tension_span, 0.0)
    return index


def saturated_conductivity_mm_h(saturation: Numbers, field_capacity: Numbers, pore_size_index: Numbers) -> Lanes:
    """How fast a full soil lets water through, from the pores that drain by themselves.

    Parameters
    ----------
    saturation : scalar or one per lane. [m3 m-3], field capacity to 1
    field_capacity : same shape. [m3 m-3], 0 to 1
    pore_size_index : same shape, see the function of that name. [-], 0 to 3

    Returns
    -------
    same shape. [mm h-1]

    Raises
    ------
    OutOfRange : a value leaves its range, or field capacity is above saturation.

    Notes
    -----
    The source writes K_S = 1930 (theta_S - theta_33)^(3 - lambda). It does not say whether lambda of a pressed soil
    comes from the pressed field capacity, as `soil_water` takes it (6.99 mm/h for a loam at 1.1 times its density),
    or from the loose one (7.14).

    References
    ----------
    Saxton and Rawls 2006, Soil Sci. Soc. Am. J. 70:1569-1578, Eq. 16 (number memory; form seen in public code).

    Examples
    --------
    >>> round(float(saturated_conductivity_mm_h(0.4595, 0.2796, 0.187)), 1)
    15.5
    """
    drains = within("saturation", saturation, 0.0, 1.0, "m3/m3") - within(
        "field_capacity", field_capacity, 0.0, 1.0, "m3/m3")
    power = 3.0 - within("pore_size_index", pore_size_index, 0.0, 3.0, "")
    conductivity: Lanes = 1930.0 * within("saturation less field capacity", drains, 0.0, 1.0, "m3/m3") ** power
    return conductivity


def _water_at_1500_kpa(s: Lanes, c: Lanes, om: Lanes) -> Lanes:
    first = (-0.024 * s + 0.487 * c + 0.006 * om + 0.005 * s * om - 0.013 * c * om + 0.068 * s * c + 0.031)
    return first + (0.14 * first - 0.02)


def _water_at_33_kpa(s: Lanes, c: Lanes, om: Lanes) -> Lanes:
    first = (-0.251 * s + 0.195 * c + 0.011 * om + 0.006 * s * om - 0.027 * c * om + 0.452 * s * c + 0.299)
    return first + (1.283 * first**2 - 0.374 * first - 0.015)


def _water_from_saturation_to_33_kpa(s: Lanes, c: Lanes, om: Lanes) -> Lanes:
    first = (0.278 * s + 0.034 * c + 0.022 * om - 0.018 * s * om - 0.027 * c * om - 0.584 * s * c + 0.078)
    return first + (0.636 * first - 0.107)
