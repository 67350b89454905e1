"""What moisture and what carbon to nitrogen materials can give in any amounts, and what is missing for a goal."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np
from scipy.optimize import linprog

from rootcase.science.compost.material import Material, checked, dry_mass_kg
from rootcase.science.lanes import Lanes, Numbers, within

Band = tuple[float, float]
Kind = Literal["dry", "wet", "carbon", "nitrogen"]
DUST = 1e-9
NO_AMOUNTS = 2
"""Status of the solver where nothing keeps the limits."""


class Bounds(NamedTuple):
    """Between what a mix must lie; None where nothing is asked."""

    moisture_pct: Band | None = None
    carbon_nitrogen: Band | None = None


class Reach(NamedTuple):
    """Why no amounts of the materials meet the goals."""

    goal: Literal["volume", "moisture", "carbon_nitrogen", "both", "whole_units"]
    """The goal that cannot be met; `both`: either alone, not together; `whole_units`: in parts of a unit only."""
    moisture_pct: Band | None
    """What the materials can give; with `both`, at the goal's carbon to nitrogen."""
    carbon_nitrogen: Band | None
    """What they can give; with `both`, at the goal's moisture. None where they hold no nitrogen."""
    missing: tuple[Kind, ...]
    """What a further material would have to be; two words are one material that is both."""


class Sums(NamedTuple):
    """Mass, water, carbon and nitrogen that one unit of each column brings. [kg]"""

    mass: Lanes
    water: Lanes
    carbon: Lanes
    nitrogen: Lanes


def sums(mass_kg: Numbers, material: Material) -> Sums:
    """What masses of materials bring into a heap.

    Parameters
    ----------
    mass_kg : (materials,) wet mass. [kg], >= 0
    material : its fields (materials,)

    Returns
    -------
    Sums : mass, water, carbon, nitrogen of each. [kg]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Carbon and nitrogen are of the dry matter.

    References
    ----------
    Balance of masses (computed).

    Examples
    --------
    >>> [float(each[0].round(3)) for each in sums([100.0], Material([38.0], [48.6], [0.9]))]
    [100.0, 38.0, 30.132, 0.558]
    """
    moisture, carbon, nitrogen = checked(material)
    mass = within("mass_kg", mass_kg, 0.0, 1e9, "kg")
    dry = dry_mass_kg(mass, moisture)
    return Sums(mass, mass * moisture / 100.0, dry * carbon / 100.0, dry * nitrogen / 100.0)


def rows(brings: Sums, goal: Bounds) -> Lanes:
    """The goals as lines that must not pass zero, one column for each material.

    Parameters
    ----------
    brings : what a unit of each column brings. [kg]
    goal : the bands asked for

    Returns
    -------
    (lines, columns) each line times the amounts is at most 0 where its end of a band is kept. [kg]

    Raises
    ------
    None : the figures were checked as they were summed.

    Notes
    -----
    A band of a ratio is linear in the amounts once its denominator, above zero, is brought over.

    References
    ----------
    Balance of masses (computed).

    Examples
    --------
    >>> rows(sums([1.0], Material([70.0], [40.0], [2.0])), Bounds((50.0, 60.0))).round(2).tolist()
    [[-0.2], [0.1]]
    """
    lines = []
    if goal.moisture_pct:
        low, high = (end / 100.0 for end in goal.moisture_pct)
        lines += [low * brings.mass - brings.water, brings.water - high * brings.mass]
    if goal.carbon_nitrogen:
        low, high = goal.carbon_nitrogen
        lines += [low * brings.nitrogen - brings.carbon, brings.carbon - high * brings.nitrogen]
    return np.array(lines).reshape(len(lines), brings.mass.size)


def reach(brings: Sums, goal: Bounds, limits: Numbers = ()) -> Reach:
    """Which goal cannot be met, between what the materials can give, and what is missing.

    Parameters
    ----------
    brings : what a unit of each column brings; amounts of all columns are free. [kg]
    goal : the bands asked for
    limits : (lines, columns) further lines that must not pass zero, such as what there is of a material

    Returns
    -------
    Reach : the goal with both ranges and the kind of material that would help.

    Raises
    ------
    None : what cannot be met is the answer.

    Notes
    -----
    Ends of ranges may be met only in the limit of endless amounts. The most and least of a ratio under linear limits
    is a linear programme once its denominator is set to one.

    References
    ----------
    Charnes and Cooper 1962, Programming with linear fractional functionals, Naval Research Logistics Quarterly 9
    (memory). Solver: HiGHS through scipy.optimize.linprog.

    Examples
    --------
    >>> sawdust_and_leaves = sums([1.0, 1.0], Material([39.0, 38.0], [106.08, 48.6], [0.24, 0.9]))
    >>> found = reach(sawdust_and_leaves, Bounds(carbon_nitrogen=(25.0, 40.0)))
    >>> found.goal, [round(end) for end in found.carbon_nitrogen], found.missing
    ('carbon_nitrogen', [54, 442], ('nitrogen',))
    """
    more = np.asarray(limits, dtype=np.float64).reshape(-1, brings.mass.size)
    moisture = _range(100.0 * brings.water, brings.mass, more)
    ratio = _range(brings.carbon, brings.nitrogen, more)
    if moisture is None:
        return Reach("volume", None, None, ())
    if missing := _missing(moisture, goal.moisture_pct, "wet", "dry"):
        return Reach("moisture", moisture, ratio, missing)
    if goal.carbon_nitrogen and (missing := _missing(ratio, goal.carbon_nitrogen, "carbon", "nitrogen")):
        return Reach("carbon_nitrogen", moisture, ratio, missing)
    one, other = (np.vstack([more, rows(brings, part)]) for part in (
        goal._replace(moisture_pct=None), goal._replace(carbon_nitrogen=None)))
    at_ratio = _range(100.0 * brings.water, brings.mass, one)
    at_moisture = _range(brings.carbon, brings.nitrogen, other)
    missing = (_missing(at_ratio, goal.moisture_pct, "wet", "dry")
               + _missing(at_moisture, goal.carbon_nitrogen, "carbon", "nitrogen"))
    return Reach("both" if missing else "whole_units", at_ratio, at_moisture, missing)


def _missing(there: Band | None, asked: Band | None, above: Kind, below: Kind) -> tuple[Kind, ...]:
    """What would move a range toward a band that it does not touch."""
    if asked is None:
        return ()
    if there is None:
        return ("nitrogen",)
    dust = DUST * max(1.0, *(abs(end) for end in asked))
    if there[1] < asked[0] - dust:
        return (above,)
    return (below,) if there[0] > asked[1] + dust else ()


def _range(over: Lanes, under: Lanes, limits: Lanes) -> Band | None:
    """Least and most of one sum over another; None where no amounts are allowed."""
    ends = [linprog(sign * over, A_ub=limits, b_ub=np.zeros(len(limits)), A_eq=under[None, :], b_eq=[1.0])
            for sign in (1.0, -1.0)]
    if any(end.status == NO_AMOUNTS for end in ends):
        return None
    low, high = (-np.inf if end.x is None else float(end.fun) for end in ends)
    return low, -high
