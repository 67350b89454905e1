"""The cheapest rounds of a small day, proven."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.science.rounds.day import Crew, Day, Plan, Step, holds_enough
from rootcase.science.routing.labels import best_home, compiled, extend
from rootcase.science.routing.order import room, steps_of_label
from rootcase.science.routing.packed import FloatArray, IntArray, Packed, packed

MOST_STOPS = 15
MOST_LABELS = 2_000_000
"""0.2 GB; a day that needs more is left to the search."""


class _Own(NamedTuple):
    """What one crew can do alone."""

    cost: FloatArray
    """By set of stops, as bits. [min]"""
    labels: IntArray
    figures: FloatArray
    numbers: IntArray


def best_plan(day: Day) -> Plan | None:
    """The plan that leaves least undone and, of those, drives least; proven.

    Parameters
    ----------
    day : with at most 15 stops.

    Returns
    -------
    Plan, legal; None where the day is too large to be sure, or sources hold less than the best plan would take

    Raises
    ------
    None

    Notes
    -----
    For each crew all sets of stops it can serve alone, by labels that no other beats (see `extend`); then the crews
    one after the other share out the sets: cost(S) = least over T in S of cost of the others(S - T) + own(T). Crews of
    one kind are searched once.

    References
    ----------
    Held & Karp 1962, A dynamic programming approach to sequencing problems, J. SIAM 10:196 (memory); Desrochers &
    Soumis 1988, INFOR 26:191 (memory).

    Examples
    --------
    >>> from rootcase.science.rounds.day import Stop, travel_of_plan
    >>> there = np.array([[0.0, 10.0, 11.0], [10.0, 0.0, 2.0], [11.0, 2.0, 0.0]])
    >>> day = Day(there, (Stop(node=1), Stop(node=2)), (), (Crew(start=0, home=0, tank_l=0.0, back_by_min=60.0),) * 2)
    >>> travel_of_plan(day, best_plan(day))
    23.0
    """
    if len(day.stops) > MOST_STOPS:
        return None
    arrays = packed(day)
    kinds: dict[tuple[object, ...], _Own | None] = {}
    own = []
    for index, crew in enumerate(day.crews):
        kind = (crew, arrays.can_do[index].tobytes(), arrays.can_fill[index].tobytes())
        if kind not in kinds:
            kinds[kind] = _alone(arrays, index, crew)
        own.append(kinds[kind])
    if any(each is None for each in own):
        return None
    return _shared(day, [each for each in own if each is not None])


def _alone(day: Packed, index: int, crew: Crew) -> _Own | None:
    size = len(day.stop_node)
    heads = np.empty(1 << size, dtype=np.int64)
    stops = np.arange(size)
    labels = 1 << 14
    while labels <= MOST_LABELS * 2:
        figures, numbers = room(min(labels, MOST_LABELS))
        count = extend(day, index, stops, False, figures, numbers, heads)
        if count >= 0:
            cost, best = _homes(day, index, figures, numbers, heads)
            if crew.start == crew.home and crew.on_board is None:
                cost[0] = 0.0
            return _Own(cost, best, figures[:count], numbers[:count])
        labels *= 8
    return None


@compiled
def _homes(day: Packed, index: int, figures: FloatArray, numbers: IntArray,
           heads: IntArray) -> tuple[FloatArray, IntArray]:
    """The shortest way home of every set of stops, and its label."""
    cost, best = np.empty(len(heads)), np.empty(len(heads), dtype=np.int64)
    for served in range(len(heads)):
        cost[served], best[served] = best_home(day, index, figures, numbers, heads[served])
    return cost, best


def _shared(day: Day, own: list[_Own]) -> Plan | None:
    every = np.arange(1 << len(day.stops))
    least = np.where(every == 0, 0.0, np.inf)
    taken = []
    for each in own:
        then, by = np.full(len(every), np.inf), np.zeros(len(every), dtype=np.int64)
        for part in np.flatnonzero(np.isfinite(each.cost)):
            others = every[(every & part) == 0]
            others = others[np.isfinite(least[others])]
            cost = least[others] + each.cost[part]
            whole = others | part
            better = cost < then[whole] - 1e-9
            then[whole[better]], by[whole[better]] = cost[better], part
        least = then
        taken.append(by)
    weights = np.array([stop.weight for stop in day.stops])
    gains = ((every[:, None] >> np.arange(len(day.stops))) & 1) @ weights if len(day.stops) else np.zeros(1)
    gains = np.where(np.isfinite(least), gains, -np.inf)
    best = int(min(np.flatnonzero(gains >= gains.max() - 1e-9), key=lambda each: least[each]))
    rounds: list[tuple[Step, ...]] = []
    for at in range(len(own) - 1, -1, -1):
        bits = int(taken[at][best])
        label = int(own[at].labels[bits])
        rounds.append(steps_of_label(day, at, own[at].figures, own[at].numbers, label) if bits else ())
        best ^= bits
    plan = Plan(tuple(reversed(rounds)))
    return plan if holds_enough(day, plan) else None

