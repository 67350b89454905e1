"""One option for each of many trees: our knapsack beside a general solver on the same lists."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from bench.work import Work
from rootcase.science.choice.knapsack import multiple_choice
from tests.science.choice.knapsacks import Rows, trees_of_five_options

GAP = 1e-4
LISTS = {"1,000 trees": (3, 1_000, 100_000.0, 74_679.0), "10,000 trees": (4, 10_000, 1_000_000.0, 753_451.0)}
"""Seed, trees, budget, and the optimum by a table over every sum of money."""


def about() -> Work:
    return Work(what="The largest benefit of five options a tree under a budget. The knapsack proves the optimum (a "
                     "turn that misses it fails); milp is HiGHS through scipy.optimize.milp, stopped at a gap of 1e-4. "
                     "Figures hold between candidates of one size.",
                yardsticks=tuple(f"milp, {name}" for name in LISTS))


def by_solver(rows: Rows, budget: float) -> float:
    """At most one option a tree, as a mixed-integer programme."""
    tree, cost, benefit = rows
    one_each = coo_array((np.ones(tree.size), (tree, np.arange(tree.size)))).tocsr()
    found = milp(-benefit, constraints=(LinearConstraint(one_each, -np.inf, 1.0),
                                        LinearConstraint(cost[None, :], -np.inf, budget)),
                 integrality=np.ones(tree.size), bounds=Bounds(0, 1), options={"mip_rel_gap": GAP})
    return float(-found.fun)


def run() -> Mapping[str, Callable[[], object]]:
    candidates: dict[str, Callable[[], object]] = {}
    for name, (seed, trees, budget, optimum) in LISTS.items():
        rows = trees_of_five_options(seed, trees)

        def ours(rows: Rows = rows, budget: float = budget, optimum: float = optimum) -> object:
            found = multiple_choice(*rows, budget)
            if not found.total_benefit == found.bound == optimum:
                raise AssertionError(f"{found.total_benefit} under {found.bound} is not the optimum {optimum}")
            return found

        def general(rows: Rows = rows, budget: float = budget, optimum: float = optimum) -> object:
            reached = by_solver(rows, budget)
            if not optimum * (1 - 2 * GAP) <= reached <= optimum + 1e-6:
                raise AssertionError(f"{reached} is not within the gap of {optimum}")
            return reached

        candidates[f"ours, {name}"] = ours
        candidates[f"milp, {name}"] = general
    return candidates
