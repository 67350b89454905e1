"""The sums behind noisy-OR: over the states of the causes or over the states of the signs, whichever are fewer."""

from __future__ import annotations

from dataclasses import dataclass
from math import prod

import numpy as np
from numpy.typing import NDArray

from rootcase.ground.errors import OutOfRange

Array = NDArray[np.float64]

LARGEST_TABLE = 2**22
"""Cells of the tables kept at a time (32 MB); more tries than fit are taken in turns."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A network with a weight for each cause not there and there; leading axes are tries."""

    without: Array
    """(..., causes)"""
    there: Array
    weights: Array
    """(..., causes, signs)"""
    leaks: Array
    """(..., signs)"""

    def turn(self, tries: slice, causes: NDArray[np.intp]) -> Weighed:
        return Weighed(self.without[tries][:, causes], self.there[tries][:, causes], self.weights[tries][:, causes],
                       self.leaks[tries])


def evidence_and_causes(weighed: Weighed, likelihoods: Array) -> tuple[Array, Array]:
    """What weight does the evidence have, and what weight each cause together with it?

    Parameters
    ----------
    weighed : weights of the causes, net weights of the links, leaks. 0 or more, 0 to 1, 0 to 1
    likelihoods : (signs, 2) of what was found, were the sign not there, and were it there. 0 or more

    Returns
    -------
    (...) of the evidence, (..., causes) of the evidence with the cause there. [as the weights]

    Raises
    ------
    OutOfRange : neither the causes nor the signs that hang together are few enough to be counted out.

    Notes
    -----
    A sign with the same likelihood there or not says nothing; one that cannot be there is a product over causes. The
    others bind their causes together and are summed out.

    References
    ----------
    None: the law of total probability.

    Examples
    --------
    >>> one = Weighed(np.array([0.7]), np.array([0.3]), np.array([[0.5]]), np.array([0.1]))
    >>> [part.round(3).tolist() for part in evidence_and_causes(one, np.array([[0.0, 1.0]]))]
    [0.235, [0.165]]
    """
    tries = weighed.there.shape[:-1]
    count, (causes, signs) = prod(tries), weighed.weights.shape[-2:]
    flat = Weighed(weighed.without.reshape(count, causes), weighed.there.reshape(count, causes),
                   weighed.weights.reshape(count, causes, signs), weighed.leaks.reshape(count, signs))
    silent = likelihoods[:, 0] == likelihoods[:, 1]
    absent = ~silent & (likelihoods[:, 1] == 0.0)
    scale = likelihoods[silent | absent, 0].prod() * (1.0 - flat.leaks[:, absent]).prod(axis=1)
    binding = ~(silent | absent)
    left = Weighed(flat.without, flat.there * (1.0 - flat.weights[:, :, absent]).prod(axis=2),
                   flat.weights[:, :, binding], flat.leaks[:, binding])
    evidence, there = _by_turns(left, likelihoods[binding])
    return (scale * evidence).reshape(tries), (scale[:, None] * there).reshape(*tries, causes)


def _by_turns(weighed: Weighed, likelihoods: Array) -> tuple[Array, Array]:
    linked = (weighed.weights > 0.0).any(axis=(0, 2))
    causes, signs = int(linked.sum()), len(likelihoods)
    over_causes = causes <= signs + np.log2(max(2 * causes, 1))
    cells = max(signs, 1) << causes if over_causes else (causes + 2) << signs
    if cells > LARGEST_TABLE:
        raise OutOfRange("too many signs and causes hang together to be counted out",
                         value=f"{signs} signs of {causes} causes", right="about 17 of one of them are the most")
    either = weighed.without + weighed.there
    tries, at_once = len(either), LARGEST_TABLE // cells
    evidence, there = np.empty(tries), np.empty_like(either)
    summed = _over_causes if over_causes else _over_signs
    for first in range(0, tries, at_once):
        some = slice(first, first + at_once)
        evidence[some], there[some, linked] = summed(weighed.turn(some, np.flatnonzero(linked)), likelihoods)
    loose = either[:, ~linked]
    there[:, linked] *= loose.prod(axis=1)[:, None]
    evidence *= loose.prod(axis=1)
    there[:, ~linked] = evidence[:, None] * np.divide(weighed.there[:, ~linked], loose, out=np.zeros_like(loose),
                                                      where=loose > 0.0)
    return evidence, there


def _over_causes(weighed: Weighed, likelihoods: Array) -> tuple[Array, Array]:
    """Every state of the causes; cause i is bit i of the state."""
    tries, causes = weighed.there.shape
    weight = np.ones((tries, 2**causes))
    found = np.empty((tries, len(likelihoods), 2**causes))  # first the chance that a sign stays silent
    found[:, :, 0] = 1.0 - weighed.leaks
    for cause in range(causes):
        less, more = slice(2**cause), slice(2**cause, 2 ** (cause + 1))
        weight[:, more] = weight[:, less] * weighed.there[:, cause, None]
        weight[:, less] *= weighed.without[:, cause, None]
        np.multiply(found[:, :, less], 1.0 - weighed.weights[:, cause, :, None], out=found[:, :, more])
    absent, present = likelihoods[:, 0, None], likelihoods[:, 1, None]
    found *= absent - present
    found += present
    weight *= found.prod(axis=1)
    there = [weight.reshape(tries, -1, 2, 2**cause)[:, :, 1].sum(axis=(1, 2)) for cause in range(causes)]
    return weight.sum(axis=1), np.stack(there, axis=1) if there else np.empty((tries, 0))


def _over_signs(weighed: Weighed, likelihoods: Array) -> tuple[Array, Array]:
    """Every state of the signs; causes come one after the other and may each turn on what is still off."""
    tries, causes = weighed.there.shape
    state, after = np.ones((tries, 1)), np.ones(1)
    for sign, (absent, present) in enumerate(likelihoods):
        leak = weighed.leaks[:, sign, None]
        state = np.concatenate([state * (1.0 - leak), state * leak], axis=1)
        after = np.concatenate([after * absent, after * present])
    before = []
    for cause in range(causes):
        before.append(state)
        turned = _turned(state, weighed.weights[:, cause], forward=True)
        state = weighed.without[:, cause, None] * state + weighed.there[:, cause, None] * turned
    evidence = state @ after
    rest = np.broadcast_to(after, state.shape)
    there = np.empty((tries, causes))
    for cause in reversed(range(causes)):
        turned = _turned(rest, weighed.weights[:, cause], forward=False)
        there[:, cause] = weighed.there[:, cause] * (before[cause] * turned).sum(axis=1)
        rest = weighed.without[:, cause, None] * rest + weighed.there[:, cause, None] * turned
    return evidence, there


def _turned(state: Array, weights: Array, *, forward: bool) -> Array:
    """States after a cause that is there has turned on its signs; backward: what is still to come, before it has."""
    turned = state.copy()
    for sign, weight in enumerate(weights.T):
        if weight.any():
            off, on = np.moveaxis(turned.reshape(len(state), -1, 2, 2**sign), 2, 0)
            by_it = weight[:, None, None]
            if forward:
                on += by_it * off
                off *= 1.0 - by_it
            else:
                off += by_it * (on - off)
    return turned
