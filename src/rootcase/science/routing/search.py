"""Good rounds for a day of any size: parts of a plan are taken out and put back better."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from rootcase.science.rounds.day import Day, Plan, holds_enough
from rootcase.science.routing.order import ROOM, best_place, cost_in_order, room, timed
from rootcase.science.routing.packed import FloatArray, IntArray, packed

LEFT_OUT_MIN = 1e6
"""A stop left out outweighs any drive."""
MOST_OUT = 14
"""Stops taken out at once. [JUDGEMENT: more is slower and found no better on the days measured]"""
WIDTH = 0.03
"""Share by which a plan may be worse than the best and still be gone on from, at the start. [JUDGEMENT]"""

Orders = tuple[tuple[int, ...], ...]


def searched_plan(day: Day, seed: int, left: Callable[[], float], start: Sequence[Sequence[int]] = ()) -> Plan:
    """A plan that leaves little undone and, with that, drives little.

    Parameters
    ----------
    day : of any size.
    seed : of what is taken out.
    left : how much of the search is still to come, 1 to 0; asked before each turn, and at 0 it is over.
    start : an order of stops for each crew to begin with; what of it cannot be driven is put in anew.

    Returns
    -------
    Plan, legal but for what its sources hold where even the start takes more

    Raises
    ------
    None

    Notes
    -----
    Large neighbourhood search: some stops are taken out (near one another, at random, those that cost most, a whole
    round) and put back by greatest regret, each at its best place with the best fills for that order; a worse plan is
    gone on from while it lies within a band that closes. What is best is kept only where its sources hold enough. The
    same seed and the same turns give the same plan.

    References
    ----------
    Shaw 1998, Using constraint programming and local search methods to solve vehicle routing problems, CP 98:417;
    Ropke & Pisinger 2006, An adaptive large neighborhood search heuristic, Transp. Sci. 40:455; Dueck 1993, New
    optimization heuristics: the great deluge and record-to-record travel, J. Comput. Phys. 104:86 (all memory).

    Examples
    --------
    >>> from rootcase.science.rounds.day import Crew, Stop, travel_of_plan
    >>> there = np.array([[0.0, 10.0, 11.0], [10.0, 0.0, 2.0], [11.0, 2.0, 0.0]])
    >>> day = Day(there, (Stop(node=1), Stop(node=2)), (), (Crew(start=0, home=0, tank_l=0.0, back_by_min=60.0),) * 2)
    >>> turns = iter((1.0, 0.5, 0.0))
    >>> travel_of_plan(day, searched_plan(day, 1, lambda: next(turns)))
    23.0
    """
    search = _Search(day, seed)
    here = search.filled(tuple(search.drivable(crew, start[crew] if start else ()) for crew in range(len(day.crews))))
    best = here if search.enough(here) else search.filled(((),) * len(day.crews), ())
    while (share := left()) > 0.0:
        there = search.filled(search.without_some(here))
        if search.score(there) < search.score(best) - 1e-9 and search.enough(there):
            best = there
        if search.score(there) <= search.score(best) + WIDTH * share * search.driven(best):
            here = there
    return search.plan(best)


class _Search:
    """What the turns share: arrays, room, chance, and what is known of orders seen before."""

    def __init__(self, day: Day, seed: int) -> None:
        self.day, self.arrays = day, packed(day)
        self.chance = np.random.default_rng(seed)
        self.figures, self.numbers = room(ROOM)
        self.heads = np.empty(len(day.stops) + 2, dtype=np.int64)
        self.costs: dict[tuple[int, tuple[int, ...]], float] = {}
        self.places: dict[tuple[int, tuple[int, ...], int], tuple[float, int]] = {}
        self.kind = self._kinds()
        nodes = self.arrays.stop_node
        self.near = self.arrays.travel[np.ix_(nodes, nodes)]
        # What nobody could do alone is not tried at every turn.
        self.hopeful = [stop for stop in range(len(day.stops))
                        if any(self.place(crew, (), stop)[1] >= 0 for crew in range(len(day.crews)))]
        self.bounded = any(np.isfinite(source.holds_l) for source in day.sources)

    def _kinds(self) -> list[int]:
        """The first crew that is the same: what is known of it holds for all of its kind."""
        seen: dict[tuple[object, ...], int] = {}
        return [seen.setdefault((crew, self.arrays.can_do[at].tobytes(), self.arrays.can_fill[at].tobytes()), at)
                for at, crew in enumerate(self.day.crews)]

    def cost(self, crew: int, order: tuple[int, ...]) -> float:
        if not order:
            return float(self.arrays.travel[self.day.crews[crew].start, self.day.crews[crew].home])
        key = (self.kind[crew], order)
        if key not in self.costs:
            self.costs[key] = cost_in_order(self.arrays, self.kind[crew], np.array(order), self.figures, self.numbers,
                                            self.heads)
        return self.costs[key]

    def place(self, crew: int, order: tuple[int, ...], stop: int) -> tuple[float, int]:
        key = (self.kind[crew], order, stop)
        if key not in self.places:
            self.places[key] = best_place(self.arrays, self.kind[crew], np.array(order, dtype=np.int64), stop,
                                          self.figures, self.numbers, self.heads)
        return self.places[key]

    def driven(self, orders: Orders) -> float:
        return sum(self.cost(crew, order) for crew, order in enumerate(orders))

    def score(self, orders: Orders) -> float:
        served = {stop for order in orders for stop in order}
        undone = sum(stop.weight for at, stop in enumerate(self.day.stops) if at not in served)
        return undone * LEFT_OUT_MIN + self.driven(orders)

    def drivable(self, crew: int, order: Sequence[int]) -> tuple[int, ...]:
        """An order without the stops that cannot follow those before them."""
        kept: tuple[int, ...] = ()
        for stop in order:
            if self.arrays.can_do[crew, stop] and np.isfinite(self.cost(crew, (*kept, stop))):
                kept = (*kept, stop)
        return kept

    def filled(self, orders: Orders, stops: Sequence[int] | None = None) -> Orders:
        """The stops that are in no round, or these, put in by regret; what fits nowhere stays out."""
        if len(self.places) > 400_000:
            self.places.clear()
            self.costs.clear()
        rounds = list(orders)
        there = {stop for order in orders for stop in order}
        out = [stop for stop in self.hopeful if stop not in there] if stops is None else list(stops)
        more, at = np.full((len(out), len(rounds)), np.inf), np.zeros((len(out), len(rounds)), dtype=np.int64)
        for crew in range(len(rounds)):
            self._try(rounds[crew], crew, out, more, at)
        while out:
            which, crew = self._most_missed(rounds, out, more)
            if which < 0:
                break
            place = int(at[which, crew])
            rounds[crew] = (*rounds[crew][:place], out.pop(which), *rounds[crew][place:])
            more, at = np.delete(more, which, axis=0), np.delete(at, which, axis=0)
            self._try(rounds[crew], crew, out, more, at)
        return tuple(rounds)

    def _try(self, order: tuple[int, ...], crew: int, out: Sequence[int], more: FloatArray, at: IntArray) -> None:
        """What each stop that is out would add to one round, and where."""
        now = self.cost(crew, order)
        for row, stop in enumerate(out):
            cost, at[row, crew] = self.place(crew, order, stop)
            more[row, crew] = cost - now

    def _most_missed(self, rounds: Sequence[tuple[int, ...]], out: Sequence[int], more: FloatArray) -> tuple[int, int]:
        """The stop whose second best round is farthest from its best, and that best; (-1, -1) where none fits."""
        empty = [self.kind[crew] if not order else -1 - crew for crew, order in enumerate(rounds)]
        one_of_each = [empty.index(kind) for kind in dict.fromkeys(empty)]  # of crews that stay in the yard
        costs = more[:, one_of_each]
        least = costs.min(axis=1)
        second = np.partition(costs, 1, axis=1)[:, 1] if len(one_of_each) > 1 else np.full(len(out), np.inf)
        gap = np.minimum(second, LEFT_OUT_MIN) - np.where(np.isfinite(least), least, 0.0)
        missed = self.arrays.weight[out] * gap * self.chance.uniform(0.7, 1.3, len(out))
        which = int(np.argmax(np.where(np.isfinite(least), missed, -np.inf)))
        if not np.isfinite(least[which]):
            return -1, -1
        return which, one_of_each[int(np.argmin(costs[which]))]

    def without_some(self, orders: Orders) -> Orders:
        served = [stop for order in orders for stop in order]
        if not served:
            return orders
        many = int(self.chance.integers(1, min(MOST_OUT, len(served)) + 1))
        how = self.chance.random()
        if how < 0.45:
            seed = served[self.chance.integers(len(served))]
            drives = self.near[seed, served] * self.chance.uniform(0.6, 1.4, len(served))
            out = {served[at] for at in np.argsort(drives, kind="stable")[:many]}
        elif how < 0.65:
            out = set(self.chance.choice(served, many, replace=False).tolist())
        elif how < 0.85:
            saved = np.array([self.cost(crew, order) - self.cost(crew, tuple(each for each in order if each != stop))
                              for crew, order in enumerate(orders) for stop in order])
            saved = np.where(np.isfinite(saved), saved, 0.0) * self.chance.uniform(0.4, 1.6, len(served))
            out = {served[at] for at in np.argsort(-saved, kind="stable")[:many]}
        else:
            driving = [crew for crew, order in enumerate(orders) if order]
            out = set(orders[driving[self.chance.integers(len(driving))]])
        return tuple(self._still(crew, tuple(stop for stop in order if stop not in out))
                     for crew, order in enumerate(orders))

    def _still(self, crew: int, order: tuple[int, ...]) -> tuple[int, ...]:
        """A shorter order need not be drivable where drives do not hold the triangle's rule."""
        return order if np.isfinite(self.cost(crew, order)) else self.drivable(crew, order)

    def enough(self, orders: Orders) -> bool:
        """Whether the sources hold what the best fills of these orders take."""
        if not self.bounded:
            return True
        return holds_enough(self.day, self.plan(orders))

    def plan(self, orders: Orders) -> Plan:
        """The best fills and times of these orders."""
        return Plan(tuple(timed(self.day, self.arrays, crew, order) or () if order else ()
                          for crew, order in enumerate(orders)))
