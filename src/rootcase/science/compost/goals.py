"""How much of one or two materials brings a heap to its goals, or why none does."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import ImpossibleValue
from rootcase.science.compost.material import Material, checked, stacked
from rootcase.science.compost.reach import Bounds, Reach, Sums, reach, sums
from rootcase.science.lanes import Lanes, Numbers, within


class Solved(NamedTuple):
    """What two materials must weigh; where that cannot be, None with the reason."""

    mass_kg: tuple[float, float] | None
    reach: Reach | None


def second_for_moisture(mass_kg: float, first: Material, second: Material, goal_pct: float) -> Solved:
    """How much of a second material brings a first one to a moisture?

    Parameters
    ----------
    mass_kg : wet mass of the first. [kg], above 0
    first, second : the materials, scalars
    goal_pct : of the wet weight. [%], 0 to 100

    Returns
    -------
    Solved : the masses of first and second [kg]; or None and what the two can give.

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The goal must lie between the two moistures: nothing is clipped to zero.

    References
    ----------
    Richard and Trautmann 1996, Compost calculations, Cornell Waste Management Institute, moisture page (seen in a
    copy).

    Examples
    --------
    >>> grass, leaves = Material(77.0, 45.0, 2.4), Material(35.0, 50.0, 0.75)
    >>> round(second_for_moisture(10.0, grass, leaves, 60.0).mass_kg[1], 1)
    6.8
    """
    goal = float(within("goal_pct", goal_pct, 0.0, 100.0, "%"))
    return _second(mass_kg, first, second, Bounds(moisture_pct=(goal, goal)), 0)


def second_for_carbon_nitrogen(mass_kg: float, first: Material, second: Material, goal: float) -> Solved:
    """How much of a second material brings a first one to a carbon to nitrogen?

    Parameters
    ----------
    mass_kg : wet mass of the first. [kg], above 0
    first, second : the materials, scalars
    goal : mass of carbon over mass of nitrogen. [-], 1 to 2000

    Returns
    -------
    Solved : the masses of first and second [kg]; or None and what the two can give.

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Linear in the mass, since carbon less goal times nitrogen must come to nothing.

    References
    ----------
    Richard and Trautmann 1996, Compost calculations, Cornell Waste Management Institute, C/N page (memory; computed).

    Examples
    --------
    >>> grass, leaves = Material(77.0, 45.0, 2.4), Material(35.0, 50.0, 0.75)
    >>> round(second_for_carbon_nitrogen(10.0, grass, leaves, 30.0).mass_kg[1], 2)
    3.47
    """
    ratio = float(within("goal", goal, 1.0, 2000.0, ""))
    return _second(mass_kg, first, second, Bounds(carbon_nitrogen=(ratio, ratio)), 1)


def two_for_both(mass_kg: Numbers, known: Material, unknown: tuple[Material, Material], goal_moisture_pct: float,
                 goal_carbon_nitrogen: float) -> Solved:
    """How much of two materials, of which one may be water, brings what is there to both goals?

    Parameters
    ----------
    mass_kg : (materials,) wet mass of what is there. [kg], >= 0, not all 0
    known : its fields (materials,)
    unknown : the two materials, scalars
    goal_moisture_pct : of the wet weight. [%], 0 to 100
    goal_carbon_nitrogen : mass of carbon over mass of nitrogen. [-], 1 to 2000

    Returns
    -------
    Solved : the masses of the two [kg]; or None and what all together can give.

    Raises
    ------
    OutOfRange : a value leaves its range.
    ImpossibleValue : the two pull the mix the same way, so that no one answer is there.

    Notes
    -----
    A mass below zero means that these materials cannot meet both goals; it is refused, not set to zero.

    References
    ----------
    Richard and Trautmann 1996, Compost calculations, Cornell Waste Management Institute (seen, the idea); 2 by 2
    system (computed).

    Examples
    --------
    >>> straw, food = Material([12.0], [56.0], [0.7]), Material(70.0, 36.0, 2.4)
    >>> water = Material(100.0, 0.0, 0.0)
    >>> [round(mass, 1) for mass in two_for_both([100.0], straw, (food, water), 60.0, 30.0).mass_kg]
    [285.2, 48.7]
    >>> two_for_both([100.0], Material([82.0], [57.8], [3.4]), (Material(38.0, 48.6, 0.9), Material(15.0, 53.0, 1.0)),
    ...              60.0, 30.0).reach.missing
    ('dry', 'nitrogen')
    """
    goal = Bounds((goal_moisture_pct, goal_moisture_pct), (goal_carbon_nitrogen, goal_carbon_nitrogen))
    within("goal_moisture_pct", goal_moisture_pct, 0.0, 100.0, "%")
    within("goal_carbon_nitrogen", goal_carbon_nitrogen, 1.0, 2000.0, "")
    mass = within("mass_kg", mass_kg, 0.0, 1e9, "kg")
    within("mass of what is there", mass.sum(), 1e-9, 1e12, "kg")
    there = _pull(known, goal) @ mass
    pulls = np.column_stack([_pull(each, goal) for each in unknown])
    if abs(np.linalg.det(pulls)) <= 1e-12 * float(np.prod(np.linalg.norm(pulls, axis=0))):
        raise ImpossibleValue("the two materials pull the mix the same way", right="take two that differ")
    found = np.linalg.solve(pulls, -there)
    dust = 1e-9 * float(mass.sum())
    if (found >= -dust).all():
        first, second = np.maximum(found, 0.0).tolist()
        return Solved((first, second), None)
    return Solved(None, _why(mass, known, unknown, goal))


def _second(mass_kg: float, first: Material, second: Material, goal: Bounds, which: int) -> Solved:
    mass = float(within("mass_kg", mass_kg, 1e-9, 1e9, "kg"))
    there, added = (float(_pull(each, goal)[which]) for each in (first, second))
    if there == 0:
        return Solved((mass, 0.0), None)
    if there * added < 0:
        return Solved((mass, -mass * there / added), None)
    return Solved(None, _why(np.array([mass]), stacked((first,)), (second,), goal))


def _why(mass: Lanes, known: Material, unknown: tuple[Material, ...], goal: Bounds) -> Reach:
    """What is there is one column: its materials do not part."""
    there, added = sums(mass, known), sums(np.ones(len(unknown)), stacked(unknown))
    return reach(Sums(*(np.append(each.sum(), more) for each, more in zip(there, added, strict=True))), goal)


def _pull(material: Material, goal: Bounds) -> Lanes:
    """What a kilogram adds to the water and to the carbon that are too much."""
    moisture, carbon, nitrogen = checked(material)
    wet = moisture - (goal.moisture_pct[0] if goal.moisture_pct else 0.0)
    rich = (100.0 - moisture) * (carbon - (goal.carbon_nitrogen[0] if goal.carbon_nitrogen else 0.0) * nitrogen)
    return np.stack([wet, rich])
