"""The best fills, rest and times for stops in a given order."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import inf
from types import FunctionType
from typing import Any

import numpy as np

from rootcase.ground.errors import OutOfRange
from rootcase.science.rounds.day import Day, Step
from rootcase.science.routing import labels
from rootcase.science.routing.labels import (
    END,
    FILL,
    KIND,
    LATEST,
    PARENT,
    REST,
    SPENT,
    START,
    WHICH,
    best_home,
    compiled,
    extend,
)
from rootcase.science.routing.packed import FloatArray, IntArray, Packed, packed

ROOM = 4096
"""Labels that one order may need; some dozens are usual."""


def round_in_order(day: Day, crew: int, order: Sequence[int]) -> tuple[Step, ...] | None:
    """What a crew does to serve stops in the order given, with the fills and the rest that cost least driving.

    Parameters
    ----------
    day : the day.
    crew : place in its list of crews.
    order : places in its list of stops, each once; none for a crew that only drives home.

    Returns
    -------
    Steps with start and end [min], or None where this order cannot be driven

    Raises
    ------
    OutOfRange : the order needs more room than there is, some hundred stops.

    Notes
    -----
    Labels of (minutes driven, earliest end, minutes since the fill, latest fill, litres) that no other beats; see
    `extend`. A fill of what ages from then on is put off as long as nothing after it is later for it. The order
    itself is not touched: what a person arranged stays. Nothing is compiled for it, which takes longer than some dozen
    orders do: whoever times thousands takes `timed`.

    References
    ----------
    Desrochers & Soumis 1988, A generalized permanent labelling algorithm for the shortest path problem with time
    windows, INFOR 26:191 (memory); the two-sided form of a fill's time is own work (computed).

    Examples
    --------
    >>> from rootcase.science.rounds.day import Crew, Source, Stop
    >>> there = np.array([[0.0, 20.0], [20.0, 0.0]])
    >>> day = Day(there, (Stop(node=1, product="water", demand_l=200.0, service_min=15.0, windows=((60.0, 90.0),)),),
    ...           (Source(node=0, product="water", fill_min=10.0, keeps_min=60.0),),
    ...           (Crew(start=0, home=0, tank_l=600.0, back_by_min=480.0),))
    >>> [(step.kind, step.start_min, step.end_min) for step in round_in_order(day, 0, [0])]
    [('fill', 30.0, 40.0), ('stop', 60.0, 75.0)]
    """
    loops = _as_written()
    return _timed(day, packed(day), crew, order, loops["extend"], loops["best_home"])


def timed(day: Day, arrays: Packed, crew: int, order: Sequence[int]) -> tuple[Step, ...] | None:
    """As `round_in_order`, for a day whose arrays are at hand.

    Parameters
    ----------
    day : the day. [min, L]
    arrays : the same.
    crew : place in its list of crews.
    order : places in its list of stops.

    Returns
    -------
    Steps with start and end [min], or None where this order cannot be driven

    Raises
    ------
    OutOfRange : the order needs more room than there is, some hundred stops.

    Notes
    -----
    None

    References
    ----------
    As `round_in_order`.

    Examples
    --------
    >>> from rootcase.science.rounds.day import Crew
    >>> day = Day(np.zeros((1, 1)), (), (), (Crew(start=0, home=0, tank_l=0.0, back_by_min=60.0),))
    >>> timed(day, packed(day), 0, [])
    ()
    """
    return _timed(day, arrays, crew, order, extend, best_home)


def _timed(day: Day, arrays: Packed, crew: int, order: Sequence[int], onward: Any, home: Any
           ) -> tuple[Step, ...] | None:
    figures, numbers = room(ROOM)
    heads = np.empty(len(order) + 1, dtype=np.int64)
    stops = np.array(order, dtype=np.int64)
    if onward(arrays, crew, stops, True, figures, numbers, heads) < 0:
        raise OutOfRange("the order is too long to be timed", value=f"{len(order)} stops", right="part it in two days")
    _, best = home(arrays, crew, figures, numbers, heads[-1])
    return steps_of_label(day, crew, figures, numbers, best) if best >= 0 else None


@cache
def _as_written() -> dict[str, Any]:
    """The loops of labels as they are written, each of which calls the others as they are written."""
    found = dict(vars(labels))
    for name, each in vars(labels).items():
        if hasattr(each, "py_func"):
            found[name] = FunctionType(each.py_func.__code__, found, name, each.py_func.__defaults__)
    return found


def steps_of_label(day: Day, crew: int, figures: FloatArray, numbers: IntArray, best: int) -> tuple[Step, ...]:
    """The steps that led to a label, with their times.

    Parameters
    ----------
    day : the day.
    crew : place in its list of crews.
    figures, numbers : labels of that crew, as `extend` leaves them.
    best : row of the last label.

    Returns
    -------
    Steps with start and end [min]

    Raises
    ------
    None

    Notes
    -----
    Within a trip the fill of what ages from then on ends at min(LATEST, END - SPENT) of its last label: as late as
    delays nothing. Any other is done at once.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> steps_of_label(Day(np.zeros((1, 1)), (), (), ()), 0, np.zeros((1, 7)), np.zeros((1, 8), int), 0)
    ()
    """
    way = []
    while best >= 0 and numbers[best, KIND] != START:
        way.append(int(best))
        best = numbers[best, PARENT]
    way.reverse()
    windows = max((len(stop.windows) for stop in day.stops), default=1)
    at = day.crews[crew].start if day.crews else 0
    now = day.crews[crew].leaves_min if day.crews else 0.0
    steps: list[Step] = []
    for place, label in enumerate(way):
        kind, index = numbers[label, KIND], int(numbers[label, WHICH])
        if kind == REST:
            rest = day.crews[crew].rest
            assert rest is not None
            start = max(now, rest.earliest_min)
            steps.append(Step("rest", 0, start, start + rest.length_min))
        elif kind == FILL:
            last = next((later for later in range(place + 1, len(way)) if numbers[way[later], KIND] == FILL), len(way))
            figure, source = figures[way[last - 1]], day.sources[index]
            soonest = max(now + float(day.travel_min[at, source.node]), source.ready_min) + source.fill_min
            ages = source.keeps_min < inf
            end = float(min(figure[LATEST], figure[END] - figure[SPENT])) if ages else soonest
            at = source.node
            steps.append(Step("fill", index, end - source.fill_min, end))
        else:
            stop = day.stops[index // windows]
            start = max(now + float(day.travel_min[at, stop.node]), stop.windows[index % windows][0])
            at = stop.node
            steps.append(Step("stop", index // windows, start, start + stop.service_min))
        now = steps[-1].end_min
    return tuple(steps)


def room(labels: int) -> tuple[FloatArray, IntArray]:
    """Place for labels.

    Parameters
    ----------
    labels : how many.

    Returns
    -------
    Two empty arrays, figures and numbers, dimensionless

    Raises
    ------
    None

    Notes
    -----
    Reused from order to order.

    References
    ----------
    None

    Examples
    --------
    >>> [each.shape for each in room(5)]
    [(5, 7), (5, 8)]
    """
    return np.zeros((labels, 7)), np.zeros((labels, 8), dtype=np.int64)


@compiled
def cost_in_order(day: Packed, crew: int, order: IntArray, figures: FloatArray, numbers: IntArray,
                  heads: IntArray) -> float:
    """Minutes driven for stops in an order.

    Parameters
    ----------
    day : the day as arrays.
    crew : place in its list of crews.
    order : stops.
    figures, numbers : room for labels.
    heads : room for one number more than there are stops.

    Returns
    -------
    [min]; infinite where the order cannot be driven

    Raises
    ------
    None

    Notes
    -----
    As `round_in_order`, without its times.

    References
    ----------
    As `round_in_order`.

    Examples
    --------
    >>> from rootcase.science.rounds.day import Crew, Stop
    >>> day = packed(Day(np.array([[0.0, 9.0], [4.0, 0.0]]), (Stop(node=1),), (),
    ...                  (Crew(start=0, home=0, tank_l=0.0, back_by_min=60.0),)))
    >>> cost_in_order(day, 0, np.array([0]), *room(16), np.empty(2, dtype=np.int64))
    13.0
    """
    if extend(day, crew, order, True, figures, numbers, heads[:len(order) + 1]) < 0:
        return np.inf
    least, _ = best_home(day, crew, figures, numbers, heads[len(order)])
    return least


@compiled
def best_place(day: Packed, crew: int, order: IntArray, stop: int, figures: FloatArray, numbers: IntArray,
               heads: IntArray) -> tuple[float, int]:
    """Where one stop more costs a round least.

    Parameters
    ----------
    day : the day as arrays.
    crew : place in its list of crews.
    order : stops it serves already.
    stop : the one to put in.
    figures, numbers : room for labels.
    heads : room for two numbers more than there are stops in the order.

    Returns
    -------
    ([min] driven with it, place in the order); (inf, -1) where it fits nowhere

    Raises
    ------
    None

    Notes
    -----
    Every place is tried, each with the best fills.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> from rootcase.science.rounds.day import Crew, Stop
    >>> day = packed(Day(np.array([[0.0, 9.0], [4.0, 0.0]]), (Stop(node=1), Stop(node=0)), (),
    ...                  (Crew(start=0, home=0, tank_l=0.0, back_by_min=60.0),)))
    >>> best_place(day, 0, np.array([0]), 1, *room(32), np.empty(3, dtype=np.int64))
    (13.0, 0)
    """
    least, best = np.inf, -1
    if not day.can_do[crew, stop]:
        return least, best
    longer = np.empty(len(order) + 1, dtype=np.int64)
    for place in range(len(order) + 1):
        longer[:place] = order[:place]
        longer[place] = stop
        longer[place + 1:] = order[place:]
        cost = cost_in_order(day, crew, longer, figures, numbers, heads)
        if cost < least - 1e-9:
            least, best = cost, place
    return least, best
