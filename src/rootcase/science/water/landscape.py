"""Water a planting or a tree asks for, by two sets of published factors, and as a volume."""

from __future__ import annotations

from rootcase.science.circle import circle_area
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table


def plant_factor(kind: str) -> float:
    """What an established planting needs of the reference to look acceptable.

    Parameters
    ----------
    kind : woody_dry_air, woody_humid_air, desert, cool_turf or warm_turf

    Returns
    -------
    [-], share of the reference

    Raises
    ------
    Missing : the table has no such kind.

    Notes
    -----
    For looks, not for growth; for established plants, not for new ones.

    References
    ----------
    Table water/plant_factors.

    Examples
    --------
    >>> plant_factor("woody_dry_air")
    0.5
    """
    return float(table("water/plant_factors").row(kind=kind)["factor"])


def landscape_factor_range(factor: str, level: str) -> tuple[float, float]:
    """Between which values the guide puts one factor of a planting.

    Parameters
    ----------
    factor : species, density or microclimate
    level : high, moderate, low or very_low for species; low, average or high for the others

    Returns
    -------
    (lowest, highest). [-]

    Raises
    ------
    Missing : the table has no such factor and level.

    Notes
    -----
    Very low means below 0.1. The source asks for judgement inside a range.

    References
    ----------
    Table water/landscape_factors.

    Examples
    --------
    >>> landscape_factor_range("species", "moderate")
    (0.4, 0.6)
    """
    row = table("water/landscape_factors").row(factor=factor, level=level)
    return row["low"], row["high"]


def landscape_coefficient(species: Numbers, density: Numbers, microclimate: Numbers) -> Lanes:
    """What a planting needs of the reference, by its three factors.

    Parameters
    ----------
    species : scalar or one per lane. [-], 0 to 0.9
    density : same shape. [-], 0.5 to 1.3
    microclimate : same shape. [-], 0.5 to 1.4

    Returns
    -------
    same shape. [-], share of the reference

    Raises
    ------
    OutOfRange : a factor leaves the source's range.

    Notes
    -----
    The source writes K_L = k_s k_d k_mc. No departure from it.

    References
    ----------
    Costello, Matheny and Clark 2000, A guide to estimating irrigation water needs of landscape plantings in California,
    University of California Cooperative Extension and California Department of Water Resources (memory).

    Examples
    --------
    >>> round(float(landscape_coefficient(0.5, 1.0, 1.2)), 2)
    0.6
    """
    return (within("species", species, 0.0, 0.9, "") * within("density", density, 0.5, 1.3, "")
            * within("microclimate", microclimate, 0.5, 1.4, ""))


def volume_of_depth_l(depth_mm: Numbers, area_m2: Numbers) -> Lanes:
    """Litres that wet an area to a depth.

    Parameters
    ----------
    depth_mm : scalar or one per lane. [mm], 0 to 7500
    area_m2 : same shape. [m2], 0 to 1e7

    Returns
    -------
    same shape. [L]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    One millimetre on one square metre is one litre.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(volume_of_depth_l(25.0, 40.0))
    1000.0
    """
    return within("depth_mm", depth_mm, 0.0, 7500.0, "mm") * within("area_m2", area_m2, 0.0, 1e7, "m2")


def tree_water_l(crown_diameter_m: Numbers, reference_mm: Numbers, factor: Numbers) -> Lanes:
    """Water an established tree asks for over the time of the reference given.

    Parameters
    ----------
    crown_diameter_m : scalar or one per lane. [m], 0 to 60
    reference_mm : same shape, reference evapotranspiration of the time. [mm], 0 to 5000
    factor : same shape, see `plant_factor` or `landscape_coefficient`. [-], 0 to 1.5

    Returns
    -------
    same shape. [L]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Over the crown's area, a circle. What rain brings and what the soil holds is not taken off, see `single_day`.

    References
    ----------
    ANSI/ASABE S623, Determining landscape plant water demands, its method ET_o x factor x area (memory).

    Examples
    --------
    >>> round(float(tree_water_l(9.144, 7.62, 0.7)), 1)
    350.3
    """
    crown_m2 = circle_area(within("crown_diameter_m", crown_diameter_m, 0.0, 60.0, "m"))
    asked_mm = within("factor", factor, 0.0, 1.5, "") * within("reference_mm", reference_mm, 0.0, 5000.0, "mm")
    return volume_of_depth_l(asked_mm, crown_m2)
