"""The set of remedies for a whole property that gains most for the money and the hours there are."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import fsum, inf

import numpy as np
import numpy.typing as npt
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from rootcase.ground.errors import Missing, require_range

FloatArray = npt.NDArray[np.float64]

GAP = 1e-4
"""Relative gap at which the search stops; the bound is returned with the choice."""
ALIKE = 1e-9
"""Share by which two values may differ and count as the same: what sums of floats leave."""
DUST = 1e-6
"""Money or hours by which a sum may pass its ceiling: what rounding leaves, far under a cent and a second."""
MOST_KNEES = 12


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
    crew_hours: float = 0.0
    machine_hours: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What there is to spend, and what a visit takes of it; None: no ceiling."""

    budget: float | None = None
    """Of the whole sum. [money]"""
    crew_hours: float | None = None
    machine_hours: float | None = None
    visit_cost: float = 0.0
    """Set-up of one visit, paid once for all trees that share it. [money]"""
    minimum_charge: float = 0.0
    """Least sum asked for when anything is done. [money]"""
    visit_hours: float = 0.0
    """Crew's hours that one visit takes before its first tree."""


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
    crew_hours: float = 0.0
    """Set-up of the visits with them."""
    machine_hours: float = 0.0

    @property
    def paid(self) -> float:
        """The whole sum, which the budget holds. [money]"""
        return self.own_cost + self.shared_cost


NOTHING = Programme((), 0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Span:
    """A difference of two solved programmes, and how far their bounds let it lie off."""

    value: float
    least: float
    most: float


def best_programme(options: Sequence[Option], limits: Limits) -> Programme:
    """At most one option a tree so that the summed value is largest and the money and the hours suffice.

    Parameters
    ----------
    options : what may be chosen, every figure of them >= 0; any number, also none. [money, h]
    limits : ceilings and what a visit takes, >= 0; a ceiling of None does not bind. [money, h]

    Returns
    -------
    Programme : the choice, its value, the bound nothing can pass, what it costs and how long it takes.

    Raises
    ------
    OutOfRange : a cost, value, ceiling or time is below zero.
    Missing : the solver came back without an answer.

    Notes
    -----
    Mixed-integer programme: x_j takes option j, z says that anything is done, y_v makes visit v, m is the top-up to
    the minimum charge. For each tree sum x_j <= z; for each tree and visit the sum of those x_j that need it <= y_v;
    m >= minimum z - costs - set-ups. Maximise sum value x under costs + set-ups + m <= budget, and crew's and
    machine's hours likewise. Solved to a gap of 1e-4; where no gap is left, solved again for the least money that
    gains as much, so that of choices that gain the most the cheapest is taken.

    References
    ----------
    Kellerer, Pferschy and Pisinger 2004, Knapsack problems, chapter 11: the multiple-choice knapsack (memory).
    Solver: HiGHS through scipy.optimize.milp.

    Examples
    --------
    >>> oak = Option(0, 10.0, 100.0, frozenset({"chips"})), Option(0, 14.0, 300.0, frozenset({"air"}))
    >>> best_programme(oak, Limits(budget=200.0, visit_cost=50.0)).chosen
    (0,)
    >>> best_programme(oak, Limits(visit_cost=50.0)).chosen
    (1,)
    """
    _require_sane(options, limits)
    if not options:
        return NOTHING
    found, bound = _solve(options, limits)
    if not _within(found, limits):  # the solver's own tolerance was used up; ask again from a little inside
        found, _ = _solve(options, _inside(limits))
    if not _within(found, limits):
        raise Missing("no programme was found", value=f"{found.paid:g} money", right="the solver passes its ceilings")
    if found.paid > 0 and bound <= found.value * (1 + ALIKE):
        cheaper, _ = _solve(options, limits, found.value * (1 - ALIKE))
        if cheaper.paid < found.paid and cheaper.value >= found.value * (1 - ALIKE) and _within(cheaper, limits):
            found = cheaper
    return replace(found, bound=max(bound, found.value))


def frontier(options: Sequence[Option], limits: Limits, budgets: Sequence[float]) -> tuple[Programme, ...]:
    """The best programme for each of several budgets.

    Parameters
    ----------
    options : what may be chosen, as for `best_programme`. [money, h]
    limits : the other ceilings, and what a visit takes; its budget is not used. [money, h]
    budgets : ceilings of the whole sum, >= 0, in any order. [money]

    Returns
    -------
    A programme for each budget, in their order.

    Raises
    ------
    OutOfRange : a cost, value, ceiling or time is below zero.
    Missing : the solver came back without an answer.

    Notes
    -----
    More money never gains less: where the solver's gap let it, the choice of the smaller budget stays. A bound of a
    larger budget holds for the smaller ones too, so bounds never fall either.

    References
    ----------
    `best_programme`.

    Examples
    --------
    >>> oak = Option(0, 10.0, 100.0, frozenset()), Option(0, 14.0, 300.0, frozenset())
    >>> [each.value for each in frontier(oak, Limits(), (400.0, 50.0, 100.0))]
    [14.0, 0.0, 10.0]
    """
    rising = sorted(set(budgets))
    solved: list[Programme] = []
    for budget in rising:
        found = best_programme(options, replace(limits, budget=budget))
        if solved and solved[-1].value >= found.value:
            found = replace(solved[-1], bound=found.bound)
        solved.append(found)
    least = inf
    by_budget = {}
    for budget, found in zip(reversed(rising), reversed(solved), strict=True):
        least = min(least, found.bound)
        by_budget[budget] = replace(found, bound=max(least, found.value))
    return tuple(by_budget[budget] for budget in budgets)


def knees(options: Sequence[Option], limits: Limits) -> tuple[float, ...]:
    """Budgets at which the best choice becomes another, from the first that buys anything to the last.

    Parameters
    ----------
    options : what may be chosen, as for `best_programme`. [money, h]
    limits : the other ceilings, and what a visit takes; where it has a budget no knee lies above it. [money, h]

    Returns
    -------
    Rising, at most a dozen: each is what its choice costs, so the least budget that buys it; the last buys all that
    money can. [money]

    Raises
    ------
    OutOfRange : a cost, value, ceiling or time is below zero.
    Missing : the solver came back without an answer.

    Notes
    -----
    Goes down from the largest budget, each time to just under what the last choice costs. Where that would take more
    than a dozen steps, they are spread evenly and the changes between them are passed over.

    References
    ----------
    `best_programme`.

    Examples
    --------
    >>> oak = Option(0, 10.0, 100.0, frozenset()), Option(0, 14.0, 300.0, frozenset())
    >>> knees(oak, Limits())
    (100.0, 300.0)
    """
    found = best_programme(options, limits)
    step = found.paid / MOST_KNEES
    known: list[float] = []
    while found.value > 0 and len(known) < MOST_KNEES:
        known.append(found.paid)
        under = min(found.paid * (1 - 1e-6) - 2 * DUST, step * (MOST_KNEES - len(known) + 0.5))
        if under < 0:
            break
        found = best_programme(options, replace(limits, budget=under))
    return tuple(sorted(known))


def constraint_price(held: Programme, without: Programme) -> Span:
    """What a constraint costs: how much more is gained without it.

    Parameters
    ----------
    held : the best programme that keeps the constraint.
    without : the best that need not, of the same options and more, or under the same limits and wider.

    Returns
    -------
    Span : value without less value with, and the least and the most it can be, each >= 0. [the value's unit]

    Raises
    ------
    Nothing; the programmes were checked when they were solved.

    Notes
    -----
    Each programme's true optimum lies between its value and its bound. A difference below zero is the solver's gap.

    References
    ----------
    None: the difference of two optima.

    Examples
    --------
    >>> constraint_price(Programme((0,), 10.0, 10.5, 0.0, 0.0), Programme((1,), 14.0, 14.0, 0.0, 0.0))
    Span(value=4.0, least=3.5, most=4.0)
    """
    least = max(without.value - held.bound, 0.0)
    most = max(without.bound - held.value, 0.0)
    return Span(min(max(without.value - held.value, least), most), least, most)


def _require_sane(options: Sequence[Option], limits: Limits) -> None:
    for name, of in (("budget", limits.budget), ("crew hours", limits.crew_hours),
                     ("machine hours", limits.machine_hours), ("visit cost", limits.visit_cost),
                     ("minimum charge", limits.minimum_charge), ("visit hours", limits.visit_hours)):
        require_range(name, 0.0 if of is None else of, 0.0, np.inf, "h" if name.endswith("hours") else "money")
    for name, unit in (("value", ""), ("cost", "money"), ("crew_hours", "h"), ("machine_hours", "h")):
        require_range(name.replace("_", " "), [getattr(option, name) for option in options], 0.0, np.inf, unit)


def _within(found: Programme, limits: Limits) -> bool:
    return all(ceiling is None or used <= ceiling + DUST
               for used, ceiling in ((found.paid, limits.budget), (found.crew_hours, limits.crew_hours),
                                     (found.machine_hours, limits.machine_hours)))


def _inside(limits: Limits) -> Limits:
    def less(ceiling: float | None) -> float | None:
        return None if ceiling is None else max(0.0, ceiling * (1 - 1e-6) - DUST)

    return replace(limits, budget=less(limits.budget), crew_hours=less(limits.crew_hours),
                   machine_hours=less(limits.machine_hours))


def _solve(options: Sequence[Option], limits: Limits, least_value: float | None = None) -> tuple[Programme, float]:
    """The programme of largest value and a bound of it; or of least money that gains so much, and no bound."""
    visits = {visit: at for at, visit in enumerate(sorted({visit for option in options for visit in option.visits}))}
    paid = np.concatenate([[option.cost for option in options], np.full(len(visits), limits.visit_cost), [0.0, 1.0]])
    value = np.append([option.value for option in options], np.zeros(len(visits) + 2))
    least = () if least_value is None else (LinearConstraint(value[None, :], least_value),)
    binary = paid.size - 1
    found = milp(-value if least_value is None else paid, constraints=(_rows(options, visits, paid, limits), *least),
                 integrality=np.append(np.ones(binary), 0),
                 bounds=Bounds(0, np.append(np.ones(binary), np.inf)), options={"mip_rel_gap": GAP})
    if found.x is None and least_value is not None:
        return NOTHING, inf
    if found.x is None:
        raise Missing("no programme was found", value=str(found.message), right="the empty choice always fits")
    taken = np.flatnonzero(found.x[:len(options)] > 0.5).tolist()
    chosen = tuple(j for j in taken if options[j].value > 0)
    bound = inf if least_value is not None else min(_best_of_each(options), float(-found.mip_dual_bound))
    return _programme(options, chosen, limits), bound


def _best_of_each(options: Sequence[Option]) -> float:
    """The value where nothing is short."""
    best: dict[int, float] = {}
    for option in options:
        best[option.tree] = max(option.value, best.get(option.tree, 0.0))
    return fsum(best.values())


def _programme(options: Sequence[Option], chosen: tuple[int, ...], limits: Limits) -> Programme:
    """What a choice comes to, its bound left at its value."""
    if not chosen:
        return NOTHING
    taken = [options[j] for j in chosen]
    visits = len({visit for option in taken for visit in option.visits})
    value, own = fsum(option.value for option in taken), fsum(option.cost for option in taken)
    asked = max(own + limits.visit_cost * visits, limits.minimum_charge)
    return Programme(chosen, value, value, own, asked - own,
                     fsum(option.crew_hours for option in taken) + limits.visit_hours * visits,
                     fsum(option.machine_hours for option in taken))


def _rows(options: Sequence[Option], visits: dict[str, int], paid: FloatArray, limits: Limits) -> LinearConstraint:
    """The constraints over (x of each option, y of each visit, z anything done, m top-up), as few as hold tight."""
    n, width = len(options), paid.size
    done = width - 2
    tied: dict[tuple[int, int], list[int]] = {}
    """By tree and what its options need: a visit, or that anything is done."""
    for j, option in enumerate(options):
        for needed in (done, *(n + visits[visit] for visit in option.visits)):
            tied.setdefault((option.tree, needed), []).append(j)
    at = [(row, j, 1.0) for row, group in enumerate(tied.values()) for j in group]
    at += [(row, needed, -1.0) for row, (_, needed) in enumerate(tied)]
    high = [0.0] * len(tied)

    def ceiling(figures: FloatArray, most: float | None) -> None:
        if most is not None:
            at.extend((len(high), int(j), float(figures[j])) for j in np.flatnonzero(figures))
            high.append(most)

    charge = -paid
    charge[done] = limits.minimum_charge
    ceiling(charge, 0.0)
    ceiling(paid, limits.budget)
    for name, most, a_visit in (("crew_hours", limits.crew_hours, limits.visit_hours),
                                ("machine_hours", limits.machine_hours, 0.0)):
        hours = [getattr(option, name) for option in options]
        ceiling(np.concatenate([hours, np.full(len(visits), a_visit), [0.0, 0.0]]), most)
    row, column, entry = zip(*at, strict=True)
    matrix = coo_array((entry, (row, column)), shape=(len(high), width)).tocsr()
    return LinearConstraint(matrix, -np.inf, np.array(high))
