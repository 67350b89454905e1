"""The cheapest mix of whole buckets or yards of what there is."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt
from scipy.optimize import Bounds as Box
from scipy.optimize import LinearConstraint, milp

from rootcase.ground.errors import Missing
from rootcase.science.compost.material import Material
from rootcase.science.compost.reach import Band, Bounds, Reach, reach, rows, sums
from rootcase.science.lanes import Lanes, Numbers, within

NO_MIX = 2
"""Status of the solver where nothing keeps the goals."""

class Yard(NamedTuple):
    """What there is, one of each field for each material; water is one of them, with no volume."""

    unit_mass_kg: Numbers
    """A bucket or a yard of it, wet."""
    unit_volume_m3: Numbers
    unit_cost: Numbers
    """[money]"""
    most_units: Numbers
    material: Material


class Mix(NamedTuple):
    """How many units of each; None where none meets the goals, with the reason."""

    units: npt.NDArray[np.int64] | None
    cost: float
    """[money]; not a number where there is no mix."""
    reach: Reach | None


def cheapest(yard: Yard, goal: Bounds, volume_m3: Band) -> Mix:
    """Which whole units of what is in the yard meet the goals at least cost?

    Parameters
    ----------
    yard : (materials,) what there is
    goal : bands of moisture [%] and carbon to nitrogen [-]
    volume_m3 : least and most of the loose volume put in, summed. [m3], above 0

    Returns
    -------
    Mix : units of each and their cost [money]; or None, what the yard can give and what is missing.

    Raises
    ------
    OutOfRange : a value leaves its range.
    Missing : the search ended without an answer.

    Notes
    -----
    The least cost is proved, to no gap. Of mixes that cost the same one is given. Volumes are summed as they lie;
    mixed, fine stuff goes between coarse and the heap is smaller. Bands are kept to a milligram. The share of air in
    the mix is not asked for here: see the density of the mix.

    References
    ----------
    Balance of masses (computed). Solver: HiGHS through scipy.optimize.milp.

    Examples
    --------
    >>> straw_food_water = Material([12.0, 70.0, 100.0], [56.0, 36.0, 0.0], [0.7, 2.4, 0.0])
    >>> yard = Yard([2.7, 8.4, 18.9], [0.02, 0.02, 0.0], [1.0, 0.0, 0.0], [60, 40, 20], straw_food_water)
    >>> found = cheapest(yard, Bounds((50.0, 60.0), (25.0, 40.0)), (1.0, 1.1))
    >>> found.units.tolist(), round(found.cost, 2)
    ([20, 30, 0], 20.0)
    """
    mass, volume, cost, most = _checked(yard)
    least, largest = (float(within("volume_m3", end, 1e-6, 1e6, "m3")) for end in volume_m3)
    within("most less least volume", largest - least, 0.0, 1e6, "m3")
    brings = sums(mass, yard.material)
    lines = rows(brings, goal)
    found = milp(cost, integrality=np.ones(mass.size), bounds=Box(0, most), options={"mip_rel_gap": 0.0},
                 constraints=[LinearConstraint(volume[None, :], least, largest),
                              *([LinearConstraint(lines, -np.inf, 0.0)] if lines.size else [])])
    if found.x is not None:
        units = np.rint(found.x).astype(np.int64)
        return Mix(units, float(cost @ units), None)
    if found.status != NO_MIX:
        raise Missing("no mix was found", value=str(found.message), right="fewer materials or wider bands")
    return Mix(None, np.nan, _why(yard.material, mass, volume, most, goal, (least, largest)))


def _checked(yard: Yard) -> tuple[Lanes, Lanes, Lanes, Lanes]:
    most = within("most_units", yard.most_units, 0.0, 1e6, "units")
    within("part of a unit", most % 1, 0.0, 0.0, "units")
    return (within("unit_mass_kg", yard.unit_mass_kg, 1e-3, 1e5, "kg"),
            within("unit_volume_m3", yard.unit_volume_m3, 0.0, 1e3, "m3"),
            within("unit_cost", yard.unit_cost, 0.0, 1e6, "money"), most)


def _why(material: Material, mass: Lanes, volume: Lanes, most: Lanes, goal: Bounds, band: Band) -> Reach:
    """The last column is the one in "no more than there is": amounts and it are scaled together."""
    nothing = np.zeros(1)
    brings = sums(np.append(mass, 0.0), Material(*(np.append(field, nothing) for field in material)))
    stock = np.column_stack([np.eye(mass.size), -most])
    size = np.array([np.append(-volume, band[0]), np.append(volume, -band[1])])
    return reach(brings, goal, np.vstack([stock, size]))
