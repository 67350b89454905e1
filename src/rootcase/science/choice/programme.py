"""The set of remedies for a whole property that gains most for the money there is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from rootcase.ground.errors import Missing, require_range

GAP = 1e-4
"""Relative gap at which the search stops; the bound is returned with the choice."""


@dataclass(frozen=True, slots=True)
class Option:
    """One remedy at one tree."""

    tree: int
    value: float
    """What it adds to the sum that is maximised, above zero."""
    cost: float
    """Of its own. [money]"""
    visits: frozenset[str]
    """Visits it needs; a visit's set-up is paid once, whoever shares it."""


@dataclass(frozen=True, slots=True)
class Programme:
    chosen: tuple[int, ...]
    """Indices of the options taken, rising."""
    value: float
    bound: float
    """No choice inside the constraints can reach more."""
    own_cost: float
    shared_cost: float
    """Set-up of the visits, and what is missing to the minimum charge. [money]"""


def best_programme(options: Sequence[Option], *, visit_cost: float, minimum_charge: float,
                   budget: float | None) -> Programme:
    """At most one option a tree so that the summed value is largest and the money suffices.

    Parameters
    ----------
    options : what may be chosen; any number, also none.
    visit_cost : set-up of one visit, paid once for all trees that share it, >= 0. [money]
    minimum_charge : least sum asked for when anything is done, >= 0. [money]
    budget : ceiling of the whole sum, >= 0; None: no ceiling. [money]

    Returns
    -------
    Programme : the choice, its value, the bound nothing can pass, and what it costs.

    Raises
    ------
    OutOfRange : a cost, value or budget is below zero.
    Missing : the solver came back without an answer.

    Notes
    -----
    Mixed-integer programme: x_j takes option j, y_v makes visit v (y_v >= x_j), z says that anything is done, m is
    the top-up to the minimum charge (m >= minimum z - costs). Maximise sum value x under costs + set-ups + m <=
    budget. Among choices of equal value the solver's is kept; a purse of zero gives the empty choice.

    References
    ----------
    Kellerer, Pferschy and Pisinger 2004, Knapsack problems, chapter 11: the multiple-choice knapsack (memory).
    Solver: HiGHS through scipy.optimize.milp.

    Examples
    --------
    >>> oak = Option(0, 10.0, 100.0, frozenset({"chips"})), Option(0, 14.0, 300.0, frozenset({"air"}))
    >>> best_programme(oak, visit_cost=50.0, minimum_charge=0.0, budget=200.0).chosen
    (0,)
    """
    require_range("visit cost", visit_cost, 0.0, np.inf, "money")
    require_range("minimum charge", minimum_charge, 0.0, np.inf, "money")
    require_range("budget", 0.0 if budget is None else budget, 0.0, np.inf, "money")
    if not options:
        return Programme((), 0.0, 0.0, 0.0, 0.0)
    value = np.array([option.value for option in options])
    cost = np.array([option.cost for option in options])
    require_range("value", value, 0.0, np.inf, "")
    require_range("cost", cost, 0.0, np.inf, "money")
    objective, rows, lower, upper = _problem(options, value, cost, visit_cost, minimum_charge, budget)
    binary = objective.size - 1
    found = milp(-objective, constraints=LinearConstraint(rows, lower, upper),
                 integrality=np.append(np.ones(binary), 0),
                 bounds=Bounds(0, np.append(np.ones(binary), np.inf)), options={"mip_rel_gap": GAP})
    if found.x is None:
        raise Missing("no programme was found", value=str(found.message), right="the empty choice always fits")
    chosen = tuple(int(j) for j in np.flatnonzero(found.x[:len(options)] > 0.5))
    reached, own = float(value[list(chosen)].sum()), float(cost[list(chosen)].sum())
    visits = {visit for j in chosen for visit in options[j].visits}
    shared = visit_cost * len(visits) if chosen else 0.0
    topped = max(own + shared, minimum_charge) if chosen else 0.0
    return Programme(chosen, reached, max(reached, float(-found.mip_dual_bound)), own, topped - own)


def _problem(options: Sequence[Option], value: np.ndarray, cost: np.ndarray, visit_cost: float,
             minimum_charge: float, budget: float | None) -> tuple[np.ndarray, ...]:
    """Objective and constraint rows over (x of each option, y of each visit, z anything done, m top-up)."""
    visits = sorted({visit for option in options for visit in option.visits})
    n, width = len(options), len(options) + len(visits) + 2
    done, top_up = width - 2, width - 1
    paid = np.zeros(width)
    paid[:n], paid[n:done] = cost, visit_cost
    rows: list[np.ndarray] = []
    lower: list[float] = []
    upper: list[float] = []

    def hold(entries: dict[int, float], low: float, high: float, base: np.ndarray | None = None) -> None:
        row = np.zeros(width) if base is None else base.copy()
        for at, figure in entries.items():
            row[at] += figure
        rows.append(row)
        lower.append(low)
        upper.append(high)

    for tree in sorted({option.tree for option in options}):
        hold({j: 1.0 for j, option in enumerate(options) if option.tree == tree}, -np.inf, 1.0)
    for j, option in enumerate(options):
        hold({j: 1.0, done: -1.0}, -np.inf, 0.0)
        for visit in sorted(option.visits):
            hold({j: 1.0, n + visits.index(visit): -1.0}, -np.inf, 0.0)
    hold({top_up: 1.0, done: -minimum_charge}, 0.0, np.inf, paid)
    if budget is not None:
        hold({top_up: 1.0}, -np.inf, budget, paid)
    objective = np.append(value, np.zeros(width - n))
    return objective, np.array(rows), np.array(lower), np.array(upper)
