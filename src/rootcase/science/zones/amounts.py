"""Areas and volumes of ground round a tree."""

from __future__ import annotations

from rootcase.science.circle import circle_radius, ring_area
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

MOST_RADIUS_M = 200.0


def ring_area_m2(outer_radius_m: Numbers, inner_radius_m: Numbers) -> Lanes:
    """How much ground lies between two circles round a trunk.

    Parameters
    ----------
    outer_radius_m : scalar or one per lane. [m], 0 to 200
    inner_radius_m : same shape, what is left free round the trunk; 0 for the whole circle. [m], 0 to the outer

    Returns
    -------
    same shape. [m2]

    Raises
    ------
    OutOfRange : a radius leaves its range, or the inner is the larger.

    Notes
    -----
    Mulch, soil and fertiliser stay off the trunk and its flare: leave an inner radius.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(ring_area_m2(2.0, 1.0)), 3)
    9.425
    """
    outer = within("outer_radius_m", outer_radius_m, 0.0, MOST_RADIUS_M, "m")
    inner = within("inner_radius_m", inner_radius_m, 0.0, MOST_RADIUS_M, "m")
    within("ring between the radii", outer - inner, 0.0, MOST_RADIUS_M, "m")
    return ring_area(outer, inner)


def circle_radius_m(area_m2: Numbers) -> Lanes:
    """How far from its middle does a round piece of ground of this area reach?

    Parameters
    ----------
    area_m2 : scalar or one per lane. [m2], 0 to 1,000,000

    Returns
    -------
    same shape. [m]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    None.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(circle_radius_m(50.0)), 3)
    3.989
    """
    return circle_radius(within("area_m2", area_m2, 0.0, 1e6, "m2"))


def layer_volume_m3(area_m2: Numbers, depth_m: Numbers) -> Lanes:
    """How much mulch or compost a layer takes.

    Parameters
    ----------
    area_m2 : scalar or one per lane. [m2], 0 to 1,000,000
    depth_m : same shape, as it lies. [m], 0 to 1

    Returns
    -------
    same shape. [m3]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    As laid; what settles afterwards is not counted.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(layer_volume_m3(30.0, 0.05))
    1.5
    """
    return within("area_m2", area_m2, 0.0, 1e6, "m2") * within("depth_m", depth_m, 0.0, 1.0, "m")


def soil_volume_m3(crown_diameter_m: Numbers, rule: str) -> Lanes:
    """How much soil that roots can use a grown crown asks for.

    Parameters
    ----------
    crown_diameter_m : scalar or one per lane. [m], 0 to 60
    rule : "two_feet" or "one_foot" of soil under the crown's whole projection

    Returns
    -------
    same shape. [m3]

    Raises
    ------
    OutOfRange : the diameter leaves its range.
    Missing : no such rule.

    Notes
    -----
    The two are the ends of a range. Rules for planting pits in a temperate climate, where rain fills the soil now
    and then; no measure of an old tree's root zone.

    References
    ----------
    Table zones/soil_volume, a source each row.

    Examples
    --------
    >>> round(float(soil_volume_m3(10.0, "two_feet")), 2)
    47.88
    """
    per_m2: float = table("zones/soil_volume").row(rule=rule)["volume_per_crown_m3_m2"]
    radius = within("crown_diameter_m", crown_diameter_m, 0.0, 60.0, "m") / 2.0
    return per_m2 * ring_area_m2(radius, 0.0)
