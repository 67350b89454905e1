"""Small causal networks of yes and no, by counting out every state."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange, require_range

Array = NDArray[np.float64]
Evidence = Mapping[str, bool]

MOST_NODES = 20


@dataclass(frozen=True, slots=True)
class Node:
    """One question with the answer yes or no."""

    name: str
    chance: ArrayLike
    """Chance of yes, an axis of two (no, yes) for each parent in turn; one number where there is none."""
    parents: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Belief:
    """What the evidence says."""

    evidence: float
    """Its chance."""
    chances: Mapping[str, float]
    """Chance of yes for each node; 1 or 0 for one that was seen."""


@dataclass(frozen=True, slots=True)
class Explanation:
    """The most probable state of all nodes that were not seen."""

    state: Mapping[str, bool]
    chance: float
    """Given the evidence."""


def belief(nodes: Sequence[Node], evidence: Evidence) -> Belief:
    """How likely is each node after the evidence?

    Parameters
    ----------
    nodes : parents before their children, 1 to 20. [chances 0 to 1]
    evidence : what was seen, by name

    Returns
    -------
    Belief. [chances, 0 to 1]

    Raises
    ------
    OutOfRange : a chance leaves its range, a table has another shape than its parents ask for, or over 20 nodes.
    Missing : a node is asked for that is not there, or comes before its parent.
    ImpossibleValue : the network gives the evidence no chance at all.

    Notes
    -----
    The whole joint table, so the time doubles with each node.

    References
    ----------
    Pearl 1988, Probabilistic Reasoning in Intelligent Systems, for the model (memory).

    Examples
    --------
    >>> wet = Node("wet soil", 0.2)
    >>> smell = Node("sour smell", [0.01, 0.6], ("wet soil",))
    >>> round(belief([wet, smell], {"sour smell": True}).chances["wet soil"], 4)
    0.9375
    """
    joint = _seen(nodes, evidence)
    total = float(joint.sum())
    yes = {node.name: float(np.take(joint, 1, axis=axis).sum()) / total for axis, node in enumerate(nodes)}
    return Belief(total, yes)


def most_probable(nodes: Sequence[Node], evidence: Evidence) -> Explanation:
    """Which state of everything not seen is the most probable?

    Parameters
    ----------
    nodes : as `belief` has them. [chances 0 to 1]
    evidence : what was seen, by name

    Returns
    -------
    Explanation; of two as probable, the one with the earlier no. [chance, 0 to 1]

    Raises
    ------
    OutOfRange, Missing, ImpossibleValue : as `belief`.

    Notes
    -----
    Of the whole state: it need not hold the likelier answer of each single node.

    References
    ----------
    Pearl 1988, Probabilistic Reasoning in Intelligent Systems, most probable explanation (memory).

    Examples
    --------
    >>> wet = Node("wet soil", 0.2)
    >>> smell = Node("sour smell", [0.01, 0.6], ("wet soil",))
    >>> most_probable([wet, smell], {"sour smell": True}).state
    {'wet soil': True}
    """
    joint = _seen(nodes, evidence)
    best = np.unravel_index(int(joint.argmax()), joint.shape)
    state = {node.name: bool(answer) for node, answer in zip(nodes, best, strict=True) if node.name not in evidence}
    return Explanation(state, float(joint[best] / joint.sum()))


def look_bits(nodes: Sequence[Node], target: str, look: str, evidence: Evidence) -> float:
    """How much doubt about one node would a look at another take away, on the mean over what it may show?

    Parameters
    ----------
    nodes : as `belief` has them. [chances 0 to 1]
    target : the node in doubt
    look : the node to be looked at
    evidence : what was seen before, by name

    Returns
    -------
    Expected fall of the target's entropy. [bits, 0 to 1]

    Raises
    ------
    OutOfRange, Missing, ImpossibleValue : as `belief`.

    Notes
    -----
    The mutual information of the two given the evidence; a look at what was seen, or at nothing to do with it, is 0.

    References
    ----------
    Shannon 1948, A mathematical theory of communication, Bell System Technical Journal 27:379-423 (memory).

    Examples
    --------
    >>> wet = Node("wet soil", 0.2)
    >>> smell = Node("sour smell", [0.01, 0.6], ("wet soil",))
    >>> round(look_bits([wet, smell], "wet soil", "sour smell", {}), 4)
    0.2931
    """
    joint = _seen(nodes, evidence)
    axes = (_axis(nodes, target), _axis(nodes, look))
    if axes[0] == axes[1]:
        return _entropy(joint.sum(axis=tuple(set(range(joint.ndim)) - {axes[0]})))
    both = joint.sum(axis=tuple(set(range(joint.ndim)) - set(axes)))
    return max(_entropy(both.sum(axis=0)) + _entropy(both.sum(axis=1)) - _entropy(both), 0.0)


def _seen(nodes: Sequence[Node], evidence: Evidence) -> Array:
    """The joint table with the states that were not seen at 0; an axis of two for each node."""
    joint = _joint(nodes)
    for name, answer in evidence.items():
        axis = _axis(nodes, name)
        joint = joint * np.expand_dims([not answer, answer], [other for other in range(joint.ndim) if other != axis])
    if joint.sum() <= 0.0:
        raise ImpossibleValue("what was seen cannot be in this network", value=", ".join(evidence),
                              right="no state of it has a chance above 0")
    return np.asarray(joint)


def _joint(nodes: Sequence[Node]) -> Array:
    require_range("the number of nodes", len(nodes), 1, MOST_NODES, "")
    joint = np.ones(())
    for count, node in enumerate(nodes):
        yes = np.asarray(node.chance, dtype=np.float64)
        require_range(f"the chance of {node.name}", yes, 0.0, 1.0, "")
        axes = [_axis(nodes[:count], parent) for parent in node.parents]
        if yes.shape != (2,) * len(axes):
            raise OutOfRange("a table does not fit its parents", where=node.name, value=f"shape {yes.shape}",
                             right=f"two entries for each of {len(axes)} parents")
        placed = np.expand_dims(yes.transpose(np.argsort(axes)), [axis for axis in range(count) if axis not in axes])
        joint = np.stack([joint * (1.0 - placed), joint * placed], axis=-1)
    return joint


def _axis(nodes: Sequence[Node], name: str) -> int:
    for axis, node in enumerate(nodes):
        if node.name == name:
            return axis
    raise Missing("there is no such node", value=name, right="one of " + ", ".join(node.name for node in nodes))


def _entropy(chances: Array) -> float:
    share = chances[chances > 0.0] / chances.sum()
    return -float((share * np.log2(share)).sum())
