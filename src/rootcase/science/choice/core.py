"""The search under the multiple-choice knapsack: a price on money, then the few options that the price leaves open."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import require_range

FloatArray = npt.NDArray[np.float64]
IntArray = npt.NDArray[np.int64]

ROUNDING = 1e-12
"""Share of the bound under which two sums are the same."""
MOST_SWAPS = 50
"""Of the first choice; the search goes on from there."""
MOST_STATES, MOST_KEPT, FEWEST_STATES = 50_000, 6_000_000, 500
"""States of one step and of all steps (about 50 MB); beyond them only the most promising of a step go on. JUDGEMENT."""
NEARNESS = 1e-6
"""Of two states that promise the same the one goes on that is nearer to spending all. JUDGEMENT."""


class Priced(NamedTuple):
    """What a price on money says of a problem."""

    price: float
    first: IntArray
    """An option of each tree, inside the capacity, all of them best at this price."""
    loss: FloatArray
    """What each option lies behind the best of its tree at this price."""
    bound: float
    """Of the relaxed problem, in which options may be taken in parts."""


class Found(NamedTuple):
    taken: IntArray
    """Option of each tree."""
    bound: float
    """No choice can reach more, but for rounding (1e-12); the choice's own worth where that is proved."""


def most_for_capacity(tree: IntArray, cost: FloatArray, worth: FloatArray, capacity: float) -> Found:
    """One option a tree so that the summed worth is largest and the summed cost within capacity.

    Parameters
    ----------
    tree : (options,) number of each option's tree, 0 and up without a gap, rising. [-]
    cost : (options,) cost, >= 0; rising within a tree, whose first costs nothing. [money]
    worth : (options,) worth, of either sign. [any unit]
    capacity : of the summed cost, >= 0. [money]

    Returns
    -------
    Found : the option of each tree, and the bound.

    Raises
    ------
    OutOfRange : a cost or the capacity is below zero.

    Notes
    -----
    At price p an option is worth w - p c. With p where the sum of the best options passes the capacity, the bound is
    p capacity + sum of the best. Any choice lies under the bound by the losses of its options and p times the money
    left over. So a choice better than the best known can hold no option that loses more than the gap between the two.
    Trees with such options are taken up one by one, those with the least loss for a unit of money first; a state is a
    difference in cost and worth to the first choice, kept where no other costs less and is worth more, and where its
    loss, with the least that spending its rest or saving its excess must yet lose, stays under the gap.

    References
    ----------
    Kellerer, Pferschy and Pisinger 2004, Knapsack problems, chapter 11 (memory).
    Pisinger 1995, A minimal algorithm for the multiple-choice knapsack problem, European Journal of Operational
    Research 83 (memory): growing core, bounds by the slopes of what is left.

    Examples
    --------
    >>> tree, cost = np.array([0, 0, 1, 1]), np.array([0.0, 3.0, 0.0, 4.0])
    >>> most_for_capacity(tree, cost, np.array([0.0, 5.0, 0.0, 6.0]), 4.0)
    Found(taken=array([0, 3]), bound=6.0)
    """
    require_range("cost", cost, 0.0, np.inf, "money")
    require_range("capacity", capacity, 0.0, np.inf, "money")
    priced = _price(tree, cost, worth, capacity)
    known = _filled(tree, cost, worth, priced.first, capacity)
    reached = float(worth[known].sum())
    if priced.bound - reached <= ROUNDING * abs(priced.bound):
        return Found(known, reached)
    search = _Search(tree, cost - cost[priced.first][tree], worth - worth[priced.first][tree], priced,
                     room=capacity - float(cost[priced.first].sum()), gap=priced.bound - reached)
    search.run()
    taken = known if search.best[0] < 0 else search.choice()
    reached = float(worth[taken].sum())
    return Found(taken, max(reached, priced.bound - search.dropped))


def _price(tree: IntArray, cost: FloatArray, worth: FloatArray, capacity: float) -> Priced:
    """The price at which the relaxed problem just spends the capacity: where two lines of the dual meet."""
    start = np.searchsorted(tree, np.arange(tree[-1] + 1))

    def best(figures: FloatArray) -> tuple[IntArray, FloatArray]:
        top = np.maximum.reduceat(figures, start)
        hit = np.flatnonzero(figures == top[tree])
        return hit[np.searchsorted(tree[hit], np.arange(start.size))], top

    def priced(price: float, first: IntArray) -> Priced:
        left = worth - price * cost
        _, top = best(left)
        return Priced(price, first, top[tree] - left, price * capacity + float(top.sum()))

    dear, _ = best(worth)
    if cost[dear].sum() <= capacity:
        return priced(0.0, dear)
    cheap, _ = best(np.where(cost == 0, worth, -np.inf))
    while True:
        spent = cost[cheap].sum(), cost[dear].sum()
        price = max(0.0, float((worth[dear].sum() - worth[cheap].sum()) / (spent[1] - spent[0])))
        between, top = best(worth - price * cost)
        line = float((worth[cheap] - price * cost[cheap]).sum())
        if top.sum() - line <= ROUNDING * (abs(line) + price * capacity) or cost[between].sum() in spent:
            return priced(price, cheap)
        if cost[between].sum() <= capacity:
            cheap = between
        else:
            dear = between


def _filled(tree: IntArray, cost: FloatArray, worth: FloatArray, first: IntArray, capacity: float) -> IntArray:
    """The first choice with what money it leaves spent: each time the swap that adds most."""
    taken = first.copy()
    for _ in range(MOST_SWAPS):
        room = capacity - cost[taken].sum()
        added = np.where(cost - cost[taken][tree] <= room, worth - worth[taken][tree], 0.0)
        swap = int(np.argmax(added))
        if added[swap] <= 0:
            break
        taken[tree[swap]] = swap
    return taken


@dataclass(slots=True)
class _Search:
    """Tree by tree through the options that the gap leaves open; each step's states with the way they came."""

    tree: IntArray
    spends: FloatArray
    """Cost of each option less that of its tree in the first choice."""
    adds: FloatArray
    """Worth likewise."""
    priced: Priced
    room: float
    """Money the first choice leaves."""
    gap: float
    """Loss of the best choice known."""
    best: tuple[int, int] = (-1, 0)
    """Step and state of the best choice; -1: none is better than the one that was handed in."""
    dropped: float = np.inf
    """Least loss there can be behind a state that was dropped for want of space."""
    kept: int = 0
    steps: list[tuple[IntArray, IntArray]] = field(default_factory=list)
    """Of each state the option taken, or -1, and the state it came from."""

    def run(self) -> None:
        spent, added = np.zeros(1), np.zeros(1)
        for options, up, down in self._turns():
            options = options[self.priced.loss[options] < self._under()]
            if not options.size:
                continue
            took = np.repeat(np.append(-1, options), spent.size)
            came = np.tile(np.arange(spent.size), options.size + 1)
            spent = (np.append(0.0, self.spends[options])[:, None] + spent).ravel()
            added = (np.append(0.0, self.adds[options])[:, None] + added).ravel()
            least = self._least_loss(spent, added, up, down)
            going = np.flatnonzero(least < self._under())
            going = going[_undominated(spent[going], added[going])]
            going = self._afforded(going, spent, added, least)
            spent, added = spent[going], added[going]
            self.steps.append((took[going].astype(np.int32), came[going].astype(np.int32)))
            self.kept += going.size
            self._remember(spent, added)

    def choice(self) -> IntArray:
        """The best choice, traced back."""
        step, state = self.best
        taken = self.priced.first.copy()
        for took, came in reversed(self.steps[:step + 1]):
            if took[state] >= 0:
                taken[self.tree[took[state]]] = took[state]
            state = came[state]
        return taken

    def _turns(self) -> Iterator[tuple[IntArray, float, float]]:
        """Each tree's open options, with the least that a unit of money spent or saved loses in the trees behind it."""
        useful = (self.priced.loss < self._under()) & ((self.spends < 0) | ((self.spends > 0) & (self.adds > 0)))
        options = np.flatnonzero(useful)
        if not options.size:
            return
        slope = self.priced.loss[options] / np.abs(self.spends[options])
        start = np.flatnonzero(np.diff(self.tree[options], prepend=-1))
        turns = np.argsort(np.minimum.reduceat(slope, start), kind="stable")
        behind = []
        for way in (self.spends[options] > 0, self.spends[options] < 0):
            least = np.minimum.reduceat(np.where(way, slope, np.inf), start)[turns]
            behind.append(np.append(np.minimum.accumulate(least[::-1])[::-1][1:], np.inf))
        ends = np.append(start[1:], options.size)
        for at, turn in enumerate(turns):
            yield (options[start[turn]:ends[turn]], min(float(behind[0][at]), self.priced.price), float(behind[1][at]))

    def _under(self) -> float:
        return self.gap - ROUNDING * abs(self.priced.bound)

    def _least_loss(self, spent: FloatArray, added: FloatArray, up: float, down: float) -> FloatArray:
        over = spent - self.room
        save = np.multiply(over, down, out=np.zeros_like(over), where=over > 0)
        loss: FloatArray = self.priced.price * spent - added + save + np.maximum(-over, 0.0) * up
        return loss

    def _afforded(self, going: IntArray, spent: FloatArray, added: FloatArray, least: FloatArray) -> IntArray:
        """As many states as there is space for, the most promising and the best that fits; the rest are dropped."""
        space = max(FEWEST_STATES, min(MOST_STATES, MOST_KEPT - self.kept))
        if going.size <= space:
            return going
        promise = least[going] + NEARNESS * self.priced.price * np.abs(spent[going] - self.room)
        promise[np.argmax(np.where(spent[going] <= self.room, added[going], -np.inf))] = -np.inf
        order = np.argpartition(promise, space)
        self.dropped = min(self.dropped, float(least[going[order[space:]]].min()))
        return going[np.sort(order[:space])]

    def _remember(self, spent: FloatArray, added: FloatArray) -> None:
        fits = int(np.searchsorted(spent, self.room, side="right")) - 1
        if fits >= 0 and self.priced.price * self.room - added[fits] < self._under():
            self.gap = float(self.priced.price * self.room - added[fits])
            self.best = len(self.steps) - 1, fits


def _undominated(spent: FloatArray, added: FloatArray) -> IntArray:
    """Rising in cost, those that add more than any that costs no more."""
    order = np.lexsort((-added, spent))
    most = np.maximum.accumulate(added[order])
    rises: IntArray = order[np.append(True, most[1:] > most[:-1])[:order.size]]
    return rises
