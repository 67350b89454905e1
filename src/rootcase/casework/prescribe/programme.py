"""The property's choice: one course a tree at most, inside money and hours, with what the client insists on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import fsum

from rootcase.casework.prescribe.case import Case, Treatment
from rootcase.casework.prescribe.doses import visit_cost
from rootcase.casework.prescribe.paces import visit_hours
from rootcase.casework.prescribe.wishes import ceiling_of
from rootcase.records.observe import PriceBook, PropertyRecord
from rootcase.records.prescribe import FrontierPoint
from rootcase.science.choice.programme import Limits, Option, Programme, best_programme, frontier, knees

POINTS = 100.0
Taken = tuple[Case, Treatment]


@dataclass(frozen=True, slots=True)
class Ceilings:
    """What there is to spend this year; None: no ceiling."""

    budget: float | None = None
    crew_hours: float | None = None
    machine_hours: float | None = None


@dataclass(frozen=True, slots=True)
class Solved:
    """A choice for the property, and the bound nothing can pass."""

    taken: tuple[Taken, ...]
    value: float
    """Gain times weight times root zone, summed. [points m2]"""
    bound: float
    programme: Programme


@dataclass(frozen=True, slots=True)
class Paid:
    """What a choice costs and how long it takes."""

    shared: float
    """Set-up of visits in all years, and what is missing to the minimum charge. [money]"""
    total: float
    first_year: float
    crew_hours: float
    """Of this year, driving and setting up with them."""
    machine_hours: float


def ceilings_of(record: PropertyRecord) -> Ceilings:
    """What the client and the practice said there is to spend this year.

    Parameters
    ----------
    record : the property.

    Returns
    -------
    Ceilings. [money, h]

    Raises
    ------
    Nothing.

    Notes
    -----
    The newest answer holds.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> ceilings_of(PropertyRecord(owner, (), (), (), (), (), (), (), {}))
    Ceilings(budget=None, crew_hours=None, machine_hours=None)
    """
    return Ceilings(*(ceiling_of(record, f"{name}_year") for name in ("budget", "crew_hours", "machine_hours")))


def limits_of(ceilings: Ceilings, book: PriceBook) -> Limits:
    """The programme's limits.

    Parameters
    ----------
    ceilings : what there is to spend.
    book : the practice's prices.

    Returns
    -------
    Limits. [money, h]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    None.

    References
    ----------
    Table prescribe/paces: JUDGEMENT.

    Examples
    --------
    >>> limits_of(Ceilings(crew_hours=8.0), PriceBook("USD", (), 50.0)).minimum_charge
    50.0
    """
    return Limits(budget=ceilings.budget, crew_hours=ceilings.crew_hours, machine_hours=ceilings.machine_hours,
                  visit_cost=visit_cost(book), minimum_charge=book.minimum_charge, visit_hours=visit_hours())


def value_of(case: Case, each: Treatment) -> float:
    """What a course adds to the sum that is maximised.

    Parameters
    ----------
    case : the tree.
    each : the course there.

    Returns
    -------
    Mean gain times the client's weight times the root zone. [points m2]

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    docs/prescribe.md: JUDGEMENT.

    Examples
    --------
    >>> from types import SimpleNamespace as Told
    >>> value_of(Told(weight=2.0, root_zone_m2=50.0), Told(mean_gain=0.1))
    1000.0
    """
    return POINTS * each.mean_gain * case.weight * case.root_zone_m2


def solve(choices: Sequence[Taken], forced: Sequence[Taken], limits: Limits) -> Solved:
    """The best choice for the property.

    Parameters
    ----------
    choices : what may be taken, any number a tree.
    forced : what the client insists on, one a tree; their trees' other choices are left out.
    limits : of money and hours.

    Returns
    -------
    Solved, by the order of the trees.

    Raises
    ------
    OutOfRange, Missing : as `best_programme`.

    Notes
    -----
    What is forced is paid first, and its visits are free for the others. Where it alone passes a ceiling nothing else
    is taken.

    References
    ----------
    `science.choice.programme.best_programme`.

    Examples
    --------
    >>> solve([], [], Limits()).taken
    ()
    """
    insisted = {case.tree.id for case, _ in forced}
    options, free = options_of([taken for taken in choices if taken[0].tree.id not in insisted], forced)
    found = best_programme(options, _less(limits, forced))
    base = fsum(value_of(*each) for each in forced)
    taken = (*forced, *(free[at] for at in found.chosen))
    return Solved(taken, base + found.value, base + found.bound, found)


def options_of(choices: Sequence[Taken], forced: Sequence[Taken] = ()) -> tuple[list[Option], list[Taken]]:
    """What may be taken, as the programme's options.

    Parameters
    ----------
    choices : courses at trees.
    forced : what is taken in any case; its visits are free.

    Returns
    -------
    (options, choices), of equal length and order.

    Raises
    ------
    Nothing.

    Notes
    -----
    This year's money, visits and hours.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> options_of([])
    ([], [])
    """
    number = {tree_id: at for at, tree_id in enumerate(dict.fromkeys(case.tree.id for case, _ in choices))}
    paid = _visits(forced, 1)
    return [Option(number[case.tree.id], max(value_of(case, each), 0.0), each.first_year_cost, each.visits(1) - paid,
                   each.hours.person, each.hours.machine) for case, each in choices], list(choices)


def paid_for(taken: Iterable[Taken], book: PriceBook) -> Paid:
    """What a choice costs and how long it takes.

    Parameters
    ----------
    taken : courses at trees, each with a price.
    book : the practice's prices.

    Returns
    -------
    Paid. [money, h]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    The minimum charge is of this year; set-ups of later years are added.

    References
    ----------
    The practice's own prices: common practice, no source.

    Examples
    --------
    >>> paid_for([], PriceBook("USD", (), 250.0))
    Paid(shared=0.0, total=0.0, first_year=0.0, crew_hours=0.0, machine_hours=0.0)
    """
    every = list(taken)
    if not every:
        return Paid(0.0, 0.0, 0.0, 0.0, 0.0)
    own, this_year = (fsum(each.cost or 0.0 for _, each in every), fsum(each.first_year_cost for _, each in every))
    first, later = _visits(every, 1), _visits(every, None)
    first_year = max(this_year + visit_cost(book) * len(first), book.minimum_charge)
    shared = first_year - this_year + visit_cost(book) * len(later - first)
    return Paid(shared, own + shared, first_year,
                fsum(each.hours.person for _, each in every) + visit_hours() * len(first),
                fsum(each.hours.machine for _, each in every))


def frontier_of(choices: Sequence[Taken], limits: Limits, book: PriceBook) -> tuple[FrontierPoint, ...]:
    """The best choices for several budgets.

    Parameters
    ----------
    choices : what may be taken, any number a tree.
    limits : of money and hours; its budget is one of those shown.
    book : the practice's prices.

    Returns
    -------
    Points, rising: each budget at which the choice becomes another, and the client's own.

    Raises
    ------
    OutOfRange, Missing : as `best_programme`.

    Notes
    -----
    Hours keep their ceilings.

    References
    ----------
    `science.choice.programme.frontier`.

    Examples
    --------
    >>> frontier_of([], Limits(), PriceBook("USD", ()))
    ()
    """
    options, choices = options_of(choices)
    if not options:
        return ()
    own = () if limits.budget is None else (limits.budget,)
    budgets = sorted({*knees(options, replace(limits, budget=None)), *own})
    points = []
    for budget, found in zip(budgets, frontier(options, limits, budgets), strict=True):
        taken = [choices[at] for at in found.chosen]
        paid = paid_for(taken, book)
        points.append(FrontierPoint(budget, paid.first_year, paid.total, found.value, found.bound,
                                    tuple((case.tree.id, each.code) for case, each in taken)))
    return tuple(points)


def _visits(taken: Iterable[Taken], year: int | None) -> frozenset[str]:
    return frozenset(visit for _, each in taken for visit in each.visits(year))


def _less(limits: Limits, forced: Sequence[Taken]) -> Limits:
    """What is left once the forced choices are paid for."""
    if not forced:
        return limits
    visits = len(_visits(forced, 1))
    spent = fsum(each.first_year_cost for _, each in forced) + limits.visit_cost * visits

    def left(ceiling: float | None, used: float) -> float | None:
        return None if ceiling is None else max(ceiling - used, 0.0)

    return replace(
        limits, budget=left(limits.budget, spent), minimum_charge=max(limits.minimum_charge - spent, 0.0),
        crew_hours=left(limits.crew_hours, fsum(e.hours.person for _, e in forced) + limits.visit_hours * visits),
        machine_hours=left(limits.machine_hours, fsum(each.hours.machine for _, each in forced)))
