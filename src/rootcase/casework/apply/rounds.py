"""The rounds of a day, and why a stop is in none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from math import inf

import numpy as np

from rootcase.ground.errors import Missing
from rootcase.science.rounds.day import MOST_L, MOST_MIN, Day, Plan, Source
from rootcase.science.rounds.legal import faults_of_plan

OF_SOLVER = 0.6
"""Share of a long search that goes to the solver for large days. [JUDGEMENT]"""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A stop that is in no round."""

    stop: int
    """Place in the day's stops."""
    why: str
    """`no_crew`, `no_source`, `tank`, `window`, `age`, `day`: it could not be done alone either; else `no_room`."""


@dataclass(frozen=True, slots=True)
class Rounds:
    """What came of the search."""

    plan: Plan
    proven: bool
    """No plan leaves less undone or, with that, drives less."""
    left_out: tuple[LeftOut, ...]


def rounds_of_day(day: Day, seed: int, left: Callable[[], float]) -> Rounds:
    """Rounds that leave as little undone as can be and, with that, drive least.

    Parameters
    ----------
    day : its stops, sources, crews. [min, L]
    seed : of the search; dimensionless.
    left : how much of the search is still to come, 1 to 0, dimensionless.

    Returns
    -------
    Rounds : the plan [min], whether it is proven, and why each stop that is missing is missing

    Raises
    ------
    Missing : the plan that was found breaks something: a fault of ours, told rather than driven.

    Notes
    -----
    Up to 15 stops by the proven search, where that has room; else a solver for large days begins and our search goes
    on, since it alone knows the age of a load. Every plan is walked through by `faults_of_plan`, which knows nothing of
    either.

    References
    ----------
    As `best_plan`, `orders_of_large_day`, `searched_plan` (computed).

    Examples
    --------
    >>> import numpy as np
    >>> from rootcase.science.rounds.day import Crew, Stop
    >>> there = np.array([[0.0, 40.0], [40.0, 0.0]])
    >>> day = Day(there, (Stop(node=1), Stop(node=1, crews=frozenset())), (),
    ...           (Crew(start=0, home=0, tank_l=0.0, back_by_min=90.0),))
    >>> found = rounds_of_day(day, 1, lambda: 0.0)
    >>> found.proven, [(each.stop, each.why) for each in found.left_out]
    (True, [(1, 'no_crew')])
    """
    # A compiler comes along, which pages that only show rounds do without.
    from rootcase.science.routing.exact import MOST_STOPS, best_plan
    from rootcase.science.routing.large import orders_of_large_day
    from rootcase.science.routing.search import searched_plan

    plan = best_plan(day) if len(day.stops) <= MOST_STOPS else None
    proven = plan is not None
    if plan is None:
        start = orders_of_large_day(day, seed, lambda: (left() - (1.0 - OF_SOLVER)) / OF_SOLVER)
        plan = searched_plan(day, seed, left, start)
    faults = faults_of_plan(day, plan)
    if faults:
        raise Missing("the rounds that were found cannot be driven", value=faults[0].why,
                      right="tell us of the day they were for")
    served = plan.served
    return Rounds(plan, proven, tuple(LeftOut(stop, why_left_out(day, stop)) for stop in range(len(day.stops))
                                      if stop not in served))


def why_left_out(day: Day, stop: int) -> str:
    """Why a stop is in no round: what would have to give for it to be done, were it the only one.

    Parameters
    ----------
    day : the whole day.
    stop : place in its stops.

    Returns
    -------
    `no_crew`, `no_source`, `tank`, `window`, `age`, `day`: the first of them that alone would let it be done, or the
    first that has to give where several have; `no_room` where it could be done alone

    Raises
    ------
    None

    Notes
    -----
    Each is lifted by itself and the day of one stop is solved anew; then all before it together with it.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> import numpy as np
    >>> from rootcase.science.rounds.day import Crew, Stop
    >>> day = Day(np.array([[0.0, 40.0], [40.0, 0.0]]), (Stop(node=1, product="extract", demand_l=10.0),), (),
    ...           (Crew(start=0, home=0, tank_l=600.0, back_by_min=90.0),))
    >>> why_left_out(day, 0)
    'no_source'
    """
    alone = _alone(day, stop)
    if _can_be_done(alone):
        return "no_room"
    for why, lift in _LIFTS.items():
        if _can_be_done(lift(alone)):
            return why
    given = alone
    for why, lift in _LIFTS.items():
        given = lift(given)
        if _can_be_done(given):
            return why
    return "day"


def with_any_age(day: Day) -> Day:
    """The same day, were what is filled and what is aboard good for ever.

    Parameters
    ----------
    day : the whole day.

    Returns
    -------
    Day

    Raises
    ------
    None

    Notes
    -----
    To find what is left out for its age alone; nobody drives it.

    References
    ----------
    None

    Examples
    --------
    >>> import numpy as np
    >>> from rootcase.science.rounds.day import Crew, OnBoard
    >>> crew = Crew(start=0, home=0, tank_l=600.0, back_by_min=90.0, on_board=OnBoard("extract", 50.0, 10.0))
    >>> with_any_age(Day(np.zeros((1, 1)), (), (), (crew,))).crews[0].on_board.use_by_min
    inf
    """
    crews = tuple(replace(each, on_board=each.on_board and replace(each.on_board, use_by_min=inf))
                  for each in day.crews)
    sources = tuple(replace(each, use_by_min=inf, keeps_min=inf) for each in day.sources)
    return replace(day, crews=crews, sources=sources)


def _alone(day: Day, stop: int) -> Day:
    """The day of one stop, on a table of the places that it needs."""
    nodes = sorted({day.stops[stop].node, *(source.node for source in day.sources),
                    *(node for crew in day.crews for node in (crew.start, crew.home))})
    new = {node: at for at, node in enumerate(nodes)}
    return Day(day.travel_min[np.ix_(nodes, nodes)], (replace(day.stops[stop], node=new[day.stops[stop].node]),),
               tuple(replace(source, node=new[source.node]) for source in day.sources),
               tuple(replace(crew, start=new[crew.start], home=new[crew.home]) for crew in day.crews))


def _can_be_done(day: Day) -> bool:
    from rootcase.science.routing.order import timed
    from rootcase.science.routing.packed import packed

    arrays, who = packed(day), day.stops[0].crews
    for crew in range(len(day.crews)):
        steps = timed(day, arrays, crew, [0]) if who is None or crew in who else None
        if steps and not faults_of_plan(day, Plan(tuple(steps if at == crew else () for at in range(len(day.crews))))):
            return True
    return False


def _any_crew(day: Day) -> Day:
    return replace(day, stops=(replace(day.stops[0], crews=None),))


def _a_source(day: Day) -> Day:
    """One more where each crew begins, that lasts."""
    product = day.stops[0].product
    more = {crew.start for crew in day.crews} if product else set()
    return replace(day, sources=(*day.sources, *(Source(node=node, product=product) for node in sorted(more))))


def _any_hour(day: Day) -> Day:
    return replace(day, stops=(replace(day.stops[0], windows=((0.0, inf),)),))


def _large_tank(day: Day) -> Day:
    return replace(day, crews=tuple(replace(each, tank_l=MOST_L) for each in day.crews))


def _long_day(day: Day) -> Day:
    return replace(day, crews=tuple(replace(each, back_by_min=MOST_MIN, rest=None) for each in day.crews))


_LIFTS: dict[str, Callable[[Day], Day]] = {"no_crew": _any_crew, "tank": _large_tank, "age": with_any_age,
                                           "window": _any_hour, "day": _long_day, "no_source": _a_source}
