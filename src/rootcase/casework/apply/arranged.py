"""An order of stops that a person arranged: it stays, and what it breaks is told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import inf

from rootcase.ground.errors import Missing
from rootcase.science.rounds.day import MOST_L, MOST_MIN, Day, Plan, Source, Step
from rootcase.science.rounds.legal import Fault, faults_of_plan
from rootcase.science.routing.order import round_in_order


def round_as_arranged(day: Day, crew: int, order: Sequence[int]) -> tuple[tuple[Step, ...], tuple[Fault, ...]]:
    """What a crew does in the order given, and what that breaks.

    Parameters
    ----------
    day : the day. [min, L]
    crew : place in its list of crews.
    order : places in its list of stops, in the order they were arranged.

    Returns
    -------
    Steps with their times [min], and each thing they break: none where the order can be driven

    Raises
    ------
    Missing : the stops cannot be timed at all.

    Notes
    -----
    Fills and times are the best for the order. Where none keep to everything, limits are lifted one after another,
    those first that are soonest mended on the day: the age of the load, hours, the end of the day, who can do what, the
    tank, where there is anything to fill. The checker then tells what the times break of the day as it is.

    References
    ----------
    As `round_in_order`, `faults_of_plan` (computed).

    Examples
    --------
    >>> import numpy as np
    >>> from rootcase.science.rounds.day import Crew, Stop
    >>> there = np.array([[0.0, 40.0], [40.0, 0.0]])
    >>> day = Day(there, (Stop(node=1, service_min=30.0),), (), (Crew(start=0, home=0, tank_l=0.0, back_by_min=100.0),))
    >>> steps, faults = round_as_arranged(day, 0, [0])
    >>> [(fault.why, fault.is_, fault.allowed) for fault in faults]
    [('home', 110.0, 100.0)]
    """
    given, many = day, len(day.sources)
    for lift in (_as_it_is, _any_age, _any_hour, _long_day, _anybody, _large_tank, _a_source):
        given = lift(given)
        steps = round_in_order(given, crew, order)
        if steps is not None:
            there = replace(day, sources=(*day.sources, *given.sources[many:]))
            found = faults_of_plan(there, Plan(tuple(steps if at == crew else () for at in range(len(day.crews)))))
            nowhere = (Fault("no_source", crew, place, 0.0, there.crews[crew].tank_l)
                       for place, step in enumerate(steps) if step.kind == "fill" and step.index >= many)
            return steps, (*found, *nowhere)
    raise Missing("these stops cannot be timed", value=f"{len(order)} stops", right="arrange fewer")


def _as_it_is(day: Day) -> Day:
    return day


def _any_age(day: Day) -> Day:
    crews = tuple(replace(each, on_board=each.on_board and replace(each.on_board, use_by_min=inf))
                  for each in day.crews)
    sources = tuple(replace(each, use_by_min=inf, keeps_min=inf) for each in day.sources)
    return replace(day, crews=crews, sources=sources)


def _any_hour(day: Day) -> Day:
    return replace(day, stops=tuple(replace(each, windows=((min(early for early, _ in each.windows), inf),))
                                    for each in day.stops))


def _long_day(day: Day) -> Day:
    return replace(day, crews=tuple(replace(each, back_by_min=MOST_MIN, rest=None) for each in day.crews))


def _anybody(day: Day) -> Day:
    return replace(day, stops=tuple(replace(each, crews=None) for each in day.stops),
                   sources=tuple(replace(each, crews=None) for each in day.sources))


def _large_tank(day: Day) -> Day:
    return replace(day, crews=tuple(replace(each, tank_l=MOST_L) for each in day.crews))


def _a_source(day: Day) -> Day:
    """Where each crew's day begins, one of each product."""
    more = {(crew.start, stop.product) for crew in day.crews for stop in day.stops if stop.product}
    return replace(day, sources=(*day.sources, *(Source(node=node, product=product) for node, product in sorted(more))))
