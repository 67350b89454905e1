"""What each wish and each limit costs: the property solved with it and without it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from rootcase.casework.prescribe.case import Case
from rootcase.casework.prescribe.judge import Judged, may_be_taken
from rootcase.casework.prescribe.lifted import FREE
from rootcase.casework.prescribe.programme import POINTS, Ceilings, Solved, Taken, limits_of, paid_for, solve
from rootcase.records.observe import PriceBook
from rootcase.records.prescribe import ConstraintPrice
from rootcase.science.choice.programme import Programme, constraint_price

REACHED = ("possible", "gain too small", "costs more than it gives")
"""Verdicts on courses that nothing forbids."""
LEAST_SHOWN = 0.5
"""Points at a tree under which a wish is said to cost nothing. JUDGEMENT."""
Without = Callable[[str, str], tuple[Case, Judged]]
"""A tree's case without the wish of that kind, and what is said of its courses: tree id, kind."""


def prices_of(cases: Sequence[Case], verdicts: dict[str, Judged], forced: Sequence[Taken], held: Solved,
              ceilings: Ceilings, book: PriceBook, *, wishes: Sequence[tuple[str, str, str]], property_id: str,
              without: Without) -> tuple[ConstraintPrice, ...]:
    """What each wish and each limit costs that binds the plan.

    Parameters
    ----------
    cases : the trees.
    verdicts : on each tree's courses.
    forced : what the client insists on.
    held : the programme inside all of them.
    ceilings : of money and hours.
    book : the practice's prices.
    wishes : (place id, kind, answer) of those the client told.
    property_id : whose the ceilings are.
    without : gives a tree's case without one wish.

    Returns
    -------
    Prices, the dearest for the property first; those that cost nothing are left out.

    Raises
    ------
    OutOfRange, Missing : as `best_programme`.

    Notes
    -----
    At a tree a wish costs the gain of its best allowed course without it less that with it, whatever either costs. For
    the property two programmes are solved; without the wish what was possible with it stays possible, so no wish is
    worth less than nothing. Where the best is the same and only a cheaper one is barred, a wish costs a tree what a
    limit does: by how much its chosen course falls back, at the tree where that is most.

    References
    ----------
    docs/prescribe.md: JUDGEMENT.

    Examples
    --------
    >>> prices_of([], {}, [], Solved((), 0.0, 0.0, Programme((), 0.0, 0.0, 0.0, 0.0)), Ceilings(),
    ...           PriceBook("USD", ()), wishes=[], property_id="p", without=lambda tree, kind: None)
    ()
    """
    choices = [(case, each) for case in cases for each in may_be_taken(case, verdicts[case.tree.id])]
    limits, before = limits_of(ceilings, book), paid_for(held.taken, book).total
    found = []
    binding = [wish for wish in wishes if wish[1] in FREE and wish[2] != FREE[wish[1]][1]]  # the others cost nothing
    for place_id, kind, answer in binding:
        here = [case for case in cases if case.tree.place_id == place_id]
        freed = [without(case.tree.id, kind) for case in here]
        more = [(free, each) for free, said in freed for each in may_be_taken(free, said)]
        then = solve([*choices, *more], forced, limits)
        costs = [POINTS * (_best(free, said) - _best(case, verdicts[case.tree.id]))
                 for case, (free, said) in zip(here, freed, strict=True)]
        points = max(costs, default=0.0)
        tree = here[costs.index(points)].tree.id if points >= LEAST_SHOWN else ""
        if not tree and _points_m2(held, then) > 0.0:
            tree, points = _falls_back(held, then)
        if points >= LEAST_SHOWN:
            found.append(ConstraintPrice(kind, answer, place_id, tree, points, _points_m2(held, then),
                                         paid_for(then.taken, book).total - before))
    for name in ("budget", "crew_hours", "machine_hours"):
        ceiling = getattr(ceilings, name)
        if ceiling is not None:
            then = solve(choices, forced, limits_of(_lifted(ceilings, name), book))
            tree, points = _falls_back(held, then)
            if _points_m2(held, then) > 0.0:
                found.append(ConstraintPrice(name, f"{ceiling:g}", property_id, tree, points, _points_m2(held, then),
                                             paid_for(then.taken, book).total - before))
    return tuple(sorted(found, key=lambda price: (-price.points_m2, -price.points_at_tree)))


def _best(case: Case, verdicts: Judged) -> float:
    """The largest mean gain that nothing forbids."""
    return max((each.mean_gain for each in case.treatments
                if each.outlook is not None and verdicts[each.code][0] in REACHED
                and verdicts[each.code][1] != "trial_only"), default=0.0)


def _points_m2(held: Solved, then: Solved) -> float:
    return constraint_price(_whole(held), _whole(then)).value


def _whole(solved: Solved) -> Programme:
    return Programme((), solved.value, solved.bound, 0.0, 0.0)


def _lifted(ceilings: Ceilings, name: str) -> Ceilings:
    return replace(ceilings, **{name: None})


def _falls_back(held: Solved, then: Solved) -> tuple[str, float]:
    """The tree that would gain most more without the limit, and how much. [points]"""
    now = {case.tree.id: each.mean_gain for case, each in held.taken}
    more = {case.tree.id: each.mean_gain - now.get(case.tree.id, 0.0) for case, each in then.taken}
    tree = max(more, key=lambda each: more[each], default="")
    return tree, max(POINTS * more.get(tree, 0.0), 0.0)
