"""Water by the inch of trunk, the rule of thumb, and where it fails."""

from __future__ import annotations

import numpy as np

from rootcase.ground.units import convert
from rootcase.science.circle import ring_area
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table


def trunk_rule_l_week(trunk_diameter_m: Numbers, rule: str = "weekly") -> Lanes:
    """What a rule by the inch of trunk gives a tree in a week.

    Parameters
    ----------
    trunk_diameter_m : scalar or one per tree. [m], 0 to 10
    rule : "weekly", or "survival" for a week without rain

    Returns
    -------
    same shape, in a week. [L]

    Raises
    ------
    OutOfRange : the diameter leaves its range.
    Missing : no such rule.

    Notes
    -----
    It grows with the trunk while the ground over the roots grows with its square: see `trunk_rule_depth_mm`.

    References
    ----------
    Table water/trunk_rules, a source each row.

    Examples
    --------
    >>> round(float(trunk_rule_l_week(0.3048)), 1)
    454.2
    """
    row = table("water/trunk_rules").row(rule=rule)
    litres_per_m = convert(row["gal_per_in"], "gal", "L") / convert(1, "in", "m")
    return np.asarray(7.0 / row["days"] * litres_per_m * within("trunk_diameter_m", trunk_diameter_m, 0.0, 10.0, "m"))


def trunk_rule_depth_mm(trunk_diameter_m: Numbers) -> Lanes:
    """How deep the weekly rule by the inch of trunk wets a circle of a foot of radius for each inch.

    Parameters
    ----------
    trunk_diameter_m : scalar or one per tree. [m], 0.005 to 10

    Returns
    -------
    same shape. [mm week-1]; 5.1 in over the inches of trunk

    Raises
    ------
    OutOfRange : the diameter leaves its range.

    Notes
    -----
    A large tree starves by it, a small one in poorly drained ground can drown.

    References
    ----------
    Table water/trunk_rules; circle: table zones/protection_rules; geometry (computed).

    Examples
    --------
    >>> trunk_rule_depth_mm([0.1016, 0.9144]).round(1).tolist()
    [32.4, 3.6]
    """
    trunk = within("trunk_diameter_m", trunk_diameter_m, 0.005, 10.0, "m")
    per_diameter = table("zones/protection_rules").row(rule="foot_per_inch")["radius_per_diameter"]
    return np.asarray(trunk_rule_l_week(trunk) / ring_area(per_diameter * trunk, 0.0))
