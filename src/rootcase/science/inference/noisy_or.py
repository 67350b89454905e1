"""Causes and signs in noisy-OR, exactly: each cause that is there may show each of its signs, by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rootcase.ground.errors import ImpossibleValue, OutOfRange, require_range
from rootcase.science.inference.noisy_or_sums import Weighed, evidence_and_causes

Array = NDArray[np.float64]

PRESENT = (0.0, 1.0)
ABSENT = (1.0, 0.0)
NOT_LOOKED = (1.0, 1.0)
LARGEST_LIKELIHOOD = 1e150


@dataclass(frozen=True, slots=True)
class NoisyOr:
    """Independent causes and their signs; leading axes, where there are any, are tries of the same network."""

    priors: Array
    """(..., causes) chance that a cause is there before any look."""
    weights: Array
    """(..., causes, signs) net: chance that this cause, being there, shows this sign; 0 where there is no link."""
    leaks: Array
    """(..., signs) chance that the sign shows with none of the causes there."""


@dataclass(frozen=True, slots=True)
class Judged:
    """What the evidence says."""

    evidence: Array
    """(...) chance of the evidence; with likelihoods other than 0 and 1, its mean likelihood."""
    causes: Array
    """(..., causes) chance that the cause is there."""


def net_weight(compound: ArrayLike, leak: ArrayLike) -> Array:
    """What is the net weight of a link whose figure already holds the leak?

    Parameters
    ----------
    compound : chance that the sign shows when this cause alone is there, the leak in it. leak to 1
    leak : chance that it shows with no cause there. 0 to below 1

    Returns
    -------
    Net weight: what the cause adds to the leak. [chance, 0 to 1]

    Raises
    ------
    OutOfRange : a value leaves its range, or the compound chance is below the leak.

    Notes
    -----
    1 - compound = (1 - leak)(1 - net). A count among trees that have the cause is compound; all weights here are net.

    References
    ----------
    Henrion 1989, Some practical issues in constructing belief networks, Uncertainty in Artificial Intelligence 3,
    161-173, for the leak (memory).

    Examples
    --------
    >>> float(net_weight(0.82, 0.1).round(12))
    0.8
    """
    require_range("leak", leak, 0.0, 1.0 - 1e-12, "")
    require_range("compound less leak", np.asarray(compound) - np.asarray(leak), 0.0, 1.0, "")
    require_range("compound", compound, 0.0, 1.0, "")
    return np.asarray(1.0 - (1.0 - np.asarray(compound)) / (1.0 - np.asarray(leak)))


def judge(network: NoisyOr, likelihoods: ArrayLike) -> Judged:
    """How likely is each cause after what was seen?

    Parameters
    ----------
    network : priors, net weights, leaks. 0 to 1
    likelihoods : (signs, 2) of what was found, were the sign not there, and were it there: PRESENT (0, 1), ABSENT
        (1, 0), NOT_LOOKED (1, 1), or any pair of numbers for a finding that is not certain. 0 to 1e150

    Returns
    -------
    Judged. [chances, 0 to 1]

    Raises
    ------
    OutOfRange : a value leaves its range, or more signs and causes hang together than can be counted out.
    ImpossibleValue : the network gives what was seen no chance at all.

    Notes
    -----
    P(sign) = 1 - (1 - leak) prod(1 - weight) over the causes that are there. An absent sign is a product over causes
    and is folded into them; a pair of numbers is virtual evidence on its sign. The signs left are summed out exactly,
    over the states of the causes that have one of them or, where these are fewer, over the states of the signs, cause
    after cause; every term is positive, so that rare evidence keeps its digits.

    References
    ----------
    Pearl 1988, Probabilistic Reasoning in Intelligent Systems, noisy-OR and virtual evidence (memory).

    Examples
    --------
    Two causes of one sign: the second, known from another sign, explains the first away.

    >>> leaf = NoisyOr(np.array([0.3, 0.2]), np.array([[0.7, 0.0], [0.5, 0.9]]), np.array([0.05, 0.0]))
    >>> judge(leaf, [PRESENT, NOT_LOOKED]).causes.round(3).tolist()
    [0.687, 0.385]
    >>> judge(leaf, [PRESENT, PRESENT]).causes.round(3).tolist()
    [0.412, 1.0]
    """
    found = _found(network, likelihoods)
    evidence, there = evidence_and_causes(_weighed(network, found), found)
    return Judged(evidence, there / _possible(evidence)[..., None])


def sign_chances(network: NoisyOr, likelihoods: ArrayLike) -> Array:
    """How likely is each sign to be there, read or not, after what was seen?

    Parameters
    ----------
    network : as `judge` has it
    likelihoods : as `judge` has it. 0 to 1e150

    Returns
    -------
    (..., signs). [chances, 0 to 1]

    Raises
    ------
    OutOfRange, ImpossibleValue : as `judge`.

    Notes
    -----
    One less the chance that the evidence comes without the sign, over the chance of the evidence. So a sign that holds
    nothing but virtual evidence, such as growth held back, is answered too.

    References
    ----------
    None: the law of total probability.

    Examples
    --------
    >>> leaf = NoisyOr(np.array([0.3, 0.2]), np.array([[0.7, 0.0], [0.5, 0.9]]), np.array([0.05, 0.0]))
    >>> sign_chances(leaf, [PRESENT, NOT_LOOKED]).round(3).tolist()
    [1.0, 0.346]
    """
    found = _found(network, likelihoods)
    weighed = _weighed(network, found)
    evidence = _possible(evidence_and_causes(weighed, found)[0])
    without = [evidence_and_causes(weighed, _with(found, sign, ABSENT))[0] for sign in range(len(found))]
    return np.clip(1.0 - np.stack(without, axis=-1) / evidence[..., None], 0.0, 1.0)


def look_bits(network: NoisyOr, likelihoods: ArrayLike, targets: Sequence[int]) -> Array:
    """How much doubt about some causes would a look for each sign take away, on the mean over what it may find?

    Parameters
    ----------
    network : as `judge` has it
    likelihoods : as `judge` has it. 0 to 1e150
    targets : the causes in doubt, together; one or a few. 0 to the number of causes less 1

    Returns
    -------
    (..., signs), expected fall of the entropy of which of the targets are there; 0 for a sign that was read. [bits]

    Raises
    ------
    OutOfRange, ImpossibleValue : as `judge`; a target asked for twice.

    Notes
    -----
    Each state of the targets is set in turn and the chance of the evidence taken, as it is and with the sign absent.
    The look itself is taken to be certain.

    References
    ----------
    Shannon 1948, A mathematical theory of communication, Bell System Technical Journal 27:379-423, entropy (memory).

    Examples
    --------
    >>> leaf = NoisyOr(np.array([0.3, 0.2]), np.array([[0.7, 0.0], [0.5, 0.9]]), np.array([0.05, 0.0]))
    >>> look_bits(leaf, [PRESENT, NOT_LOOKED], [0, 1]).round(4).tolist()
    [0.0, 0.7503]
    """
    found = _found(network, likelihoods)
    require_range("targets", targets, 0, np.shape(network.priors)[-1] - 1, "")
    if len(set(targets)) < len(targets):
        raise OutOfRange("a cause is asked for twice", value=str(list(targets)), right="name each target once")
    states = _each_state(_weighed(network, found), targets)
    before = evidence_and_causes(states, found)[0]
    evidence = _possible(before.sum(axis=0))
    bits = np.zeros((*before.shape[1:], len(found)))
    for sign in np.flatnonzero(found[:, 0] == found[:, 1]).tolist():
        without = evidence_and_causes(states, _with(found, sign, ABSENT))[0]
        chance = without.sum(axis=0) / evidence
        left = chance * _entropy(without) + (1.0 - chance) * _entropy(np.maximum(before - without, 0.0))
        bits[..., sign] = np.maximum(_entropy(before) - left, 0.0)
    return bits


def _found(network: NoisyOr, likelihoods: ArrayLike) -> Array:
    """The gate: every number a chance, the shapes those of one network."""
    require_range("priors", network.priors, 0.0, 1.0, "")
    require_range("weights", network.weights, 0.0, 1.0, "")
    require_range("leaks", network.leaks, 0.0, 1.0, "")
    found = np.asarray(likelihoods, dtype=np.float64)
    require_range("likelihoods", found, 0.0, LARGEST_LIKELIHOOD, "")
    there = (np.shape(network.priors)[-1], np.shape(network.leaks)[-1])
    if np.shape(network.weights)[-2:] != there or found.shape != (there[1], 2):
        raise OutOfRange("priors, weights, leaks and likelihoods do not go together",
                         value=f"{there[0]} causes, {there[1]} signs, weights {np.shape(network.weights)[-2:]}, "
                               f"likelihoods {found.shape}", right="weights (causes, signs), likelihoods (signs, 2)")
    return found


def _possible(evidence: Array) -> Array:
    if np.any(evidence <= 0.0):
        raise ImpossibleValue("what was seen cannot come from these causes", value="chance 0",
                              right="give each sign a leak above 0")
    return evidence


def _with(found: Array, sign: int, pair: tuple[float, float]) -> Array:
    changed = found.copy()
    changed[sign] *= pair
    return changed


def _weighed(network: NoisyOr, found: Array) -> Weighed:
    tries = np.broadcast_shapes(network.priors.shape[:-1], network.weights.shape[:-2], network.leaks.shape[:-1])
    priors = np.broadcast_to(network.priors, (*tries, network.priors.shape[-1]))
    return Weighed(1.0 - priors, priors, np.broadcast_to(network.weights, (*tries, *network.weights.shape[-2:])),
                   np.broadcast_to(network.leaks, (*tries, network.leaks.shape[-1])))


def _each_state(weighed: Weighed, targets: Sequence[int]) -> Weighed:
    """A leading axis of every state of the targets: which of them are there."""
    states = (np.arange(2 ** len(targets))[:, None] >> np.arange(len(targets))) & 1
    shape = (len(states), *weighed.there.shape)
    without, there = np.broadcast_to(weighed.without, shape).copy(), np.broadcast_to(weighed.there, shape).copy()
    for state, set_to in enumerate(states):
        for target, is_there in zip(targets, set_to, strict=True):
            (without if is_there else there)[state, ..., target] = 0.0
    return Weighed(without, there, np.broadcast_to(weighed.weights, (len(states), *weighed.weights.shape)),
                   np.broadcast_to(weighed.leaks, (len(states), *weighed.leaks.shape)))


def _entropy(chances: Array) -> Array:
    """Bits over the first axis, whatever it sums to; 0 where it sums to 0."""
    total = chances.sum(axis=0)
    share = np.divide(chances, total, out=np.zeros_like(chances), where=total > 0.0)
    return np.asarray(-(share * np.log2(share, out=np.zeros_like(share), where=share > 0.0)).sum(axis=0))
