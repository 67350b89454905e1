"""Problems of choosing, made and solved in other ways than ours."""

from __future__ import annotations

import itertools
from fractions import Fraction

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
Rows = tuple[npt.NDArray[np.int64], FloatArray, FloatArray]
"""Tree, cost and benefit of every option."""


def trees_of_five_options(seed: int, trees: int) -> Rows:
    """Costs and benefits that grow with the trunk; option 0 is nothing."""
    rng = np.random.default_rng(seed)
    dbh_cm, base = np.round(rng.uniform(8, 90, trees), 1), rng.uniform(0.5, 1.5, trees)
    cost, benefit = np.zeros((trees, 5)), np.zeros((trees, 5))
    for j in range(1, 5):
        cost[:, j] = np.round((20 + 2.5 * dbh_cm) * (0.4 + 0.5 * j) * rng.uniform(0.8, 1.25, trees))
        benefit[:, j] = np.round(100 * base * (1 - np.exp(-0.6 * j)) * (dbh_cm / 30) ** 0.8
                                 * rng.uniform(0.6, 1.4, trees))
    return np.repeat(np.arange(trees), 5), cost.ravel(), benefit.ravel()


def by_every_choice(rows: Rows, budget: float) -> tuple[Fraction, Fraction]:
    """Largest benefit and least cost that gives it, in exact fractions of what is written."""
    tree, cost, benefit = rows
    written = [(int(t), Fraction(str(c)), Fraction(str(b)))
               for t, c, b in zip(tree.tolist(), cost.tolist(), benefit.tolist(), strict=True)]
    nothing = Fraction(0), Fraction(0)
    groups = [[nothing, *((c, b) for t, c, b in written if t == each)] for each in sorted({t for t, _, _ in written})]
    reached = ((sum(b for _, b in choice), -sum(c for c, _ in choice)) for choice in itertools.product(*groups))
    best = max(each for each in reached if -each[1] <= Fraction(str(budget)))
    return Fraction(best[0]), Fraction(-best[1])


def by_every_sum(rows: Rows, budget: int) -> float:
    """Largest benefit by a table over every whole sum of money up to the budget."""
    tree, cost, benefit = rows
    best = np.zeros(budget + 1)
    for each in np.unique(tree):
        wider = best.copy()
        for j in np.flatnonzero((tree == each) & (cost <= budget)):
            paid = int(cost[j])
            wider[paid:] = np.maximum(wider[paid:], best[:budget + 1 - paid] + benefit[j])
        best = wider
    return float(best[-1])
