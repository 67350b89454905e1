"""One option for each of many trees so that most is gained for a sum of money: the multiple-choice knapsack."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import floor, fsum, isfinite
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import OutOfRange, require_range
from rootcase.science.choice.core import most_for_capacity

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

MOST_DECIMALS = 6
"""Figures with so many decimals or fewer are reckoned as whole numbers of their smallest part, so exactly."""
EXACT_COST, EXACT_BENEFIT = 2.0**52, 2.0**40
"""Sums of whole numbers under these are exact, the benefits with a price on money taken off."""
LARGEST = 1e15
"""Of a figure; more is a slip, and its sums are no longer told apart."""
SPARE = 1e-12
"""Share of the budget by which two sums of figures that are no decimals may differ for nothing but rounding."""


@dataclass(frozen=True, slots=True)
class Chosen:
    total_benefit: float
    total_cost: float
    """Never above the budget. [money]"""
    bound: float
    """No choice inside the budget can reach more; equal to the total benefit where it is proved to be the most."""
    chosen: tuple[int, ...]
    """Row taken for each tree, in the order in which the trees first appear; -1: nothing, where nothing has no row."""


def multiple_choice(trees: npt.ArrayLike, costs: npt.ArrayLike, benefits: npt.ArrayLike, budget: float) -> Chosen:
    """One option a tree so that the summed benefit is largest and the summed cost stays inside the budget.

    Parameters
    ----------
    trees : (rows,) whole number that names the tree of each option, in any order. [-]
    costs : (rows,) cost of each option, >= 0. [money]
    benefits : (rows,) benefit of each option, of either sign. [any unit]
    budget : ceiling of the summed cost, >= 0. [money]

    Returns
    -------
    Chosen : the row taken for each tree, what they come to, and the bound nothing can pass.

    Raises
    ------
    OutOfRange : a cost or the budget is below zero or not a number, a figure is not finite, or the arrays differ in
        length.

    Notes
    -----
    Leaving a tree alone costs nothing and gains nothing, and is always allowed, with a row of its own or without.
    A price on money, found by intersecting lines of the Lagrangian dual, gives the bound of the linear relaxation and
    a first choice. What an option lies behind its tree's best at that price is a loss no choice with it can make good:
    options that lose more than the gap between bound and best choice fall away, and the few that are left are searched
    whole (`most_for_capacity`). Figures of up to six decimals are reckoned as whole numbers, so sums are exact;
    others to a part in 1e12. Where costs and benefits both are, the cheapest of the best choices is taken. A search too
    large to be made whole is cut: the bound then stays above the benefit, and the choice need not be the cheapest.

    References
    ----------
    Kellerer, Pferschy and Pisinger 2004, Knapsack problems, chapter 11 (memory).
    Pisinger 1995, A minimal algorithm for the multiple-choice knapsack problem, European Journal of Operational
    Research 83 (memory): the core that grows from the price outward.

    Examples
    --------
    >>> multiple_choice([0, 0, 1, 1], [100.0, 300.0, 120.0, 260.0], [10.0, 16.0, 9.0, 17.0], 400.0)
    Chosen(total_benefit=27.0, total_cost=360.0, bound=27.0, chosen=(0, 3))
    """
    cost, benefit = np.atleast_1d(np.asarray(costs, float)), np.atleast_1d(np.asarray(benefits, float))
    names = np.atleast_1d(np.asarray(trees))
    if not names.shape == cost.shape == benefit.shape:
        raise OutOfRange("trees, costs and benefits differ in length", right="one of each for every option",
                         value=f"{names.size}, {cost.size} and {benefit.size}")
    require_range("cost", cost, 0.0, LARGEST, "money")
    require_range("budget", budget, 0.0, np.inf, "money")
    require_range("benefit", benefit, -LARGEST, LARGEST, "")
    if not names.size:
        return Chosen(0.0, 0.0, 0.0, ())
    offered = _offered(names, cost, benefit, float(budget))
    taken, bound = _solved(offered, float(budget))
    rows = offered.row[taken]
    real = rows[rows >= 0]
    total = _sum(benefit[real])
    first = np.unique(names, return_index=True)[1]
    return Chosen(total, _sum(cost[real]), max(total, bound), tuple(rows[np.argsort(first)].tolist()))


class _Offered(NamedTuple):
    """The options by tree and cost, "nothing" among them, those dearer than the budget left out."""

    row: IntArray
    """-1: a nothing that no row offers."""
    tree: IntArray
    cost: FloatArray
    benefit: FloatArray


def _offered(names: npt.NDArray[np.generic], cost: FloatArray, benefit: FloatArray, budget: float) -> _Offered:
    _, tree = np.unique(names, return_inverse=True)
    count = int(tree.max()) + 1
    row = np.append(np.flatnonzero(cost <= budget), np.full(count, -1))
    added = row < 0
    tree = np.concatenate([tree[row[~added]], np.arange(count)])
    cost, benefit = np.where(added, 0.0, cost[row]), np.where(added, 0.0, benefit[row])
    order = np.lexsort((added, -benefit, cost, tree))
    return _Offered(row[order], tree[order], cost[order], benefit[order])


def _solved(offered: _Offered, budget: float) -> tuple[IntArray, float]:
    """The options taken and the bound of the benefit."""
    _, tree, cost, benefit = offered
    cost_scale, scale = _whole(cost, EXACT_COST), _whole(benefit, EXACT_BENEFIT)
    if not cost_scale:
        ceiling = min(budget, fsum(cost))
        found = most_for_capacity(tree, cost, benefit, ceiling * (1 + SPARE))
        if fsum(cost[found.taken]) <= budget:
            return found.taken, found.bound
        return most_for_capacity(tree, cost, benefit, ceiling * (1 - SPARE)).taken, found.bound
    cost = np.rint(cost * cost_scale)
    ceiling = float(cost.sum())
    if isfinite(budget):
        ceiling = min(ceiling, float(floor(Decimal(repr(budget)) * cost_scale)))
    if not scale:
        return most_for_capacity(tree, cost, benefit, ceiling)
    thrift = 0.5 / (ceiling + 1)
    found = most_for_capacity(tree, cost, np.rint(benefit * scale) - thrift * cost, ceiling)
    return found.taken, floor(found.bound + thrift * ceiling) / scale


def _sum(figures: FloatArray) -> float:
    """As a person adds: 0.1 and 0.2 are 0.3."""
    scale = _whole(figures, EXACT_COST)
    return float(np.rint(figures * scale).sum()) / scale if scale else fsum(figures)


def _whole(figures: FloatArray, exact: float) -> int:
    """The power of ten that makes all of them whole numbers whose sums are exact; 0: there is none."""
    for decimals in range(MOST_DECIMALS + 1):
        scale: int = 10**decimals
        scaled = np.rint(figures * scale)
        if float(np.abs(scaled).sum()) >= exact:
            return 0
        if np.array_equal(scaled / scale, figures):
            return scale
    return 0
