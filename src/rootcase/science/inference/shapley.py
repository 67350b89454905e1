"""A loss shared fairly among its causes: exact Shapley and Owen values."""

from __future__ import annotations

from math import factorial

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rootcase.ground.errors import OutOfRange

Array = NDArray[np.float64]


def shapley_values(values: ArrayLike) -> Array:
    """What does each player add to the whole, averaged over every order in which they may come?

    Parameters
    ----------
    values : (2^n, ...), what each coalition is worth; bit i of the first index set: player i takes part

    Returns
    -------
    (n, ...), one share for each player; they sum to values[-1] - values[0].

    Raises
    ------
    OutOfRange : the number of coalitions is not a power of two.

    Notes
    -----
    Exact, over all coalitions. A player that changes nothing gets nothing.

    References
    ----------
    Shapley 1953, A value for n-person games, Contributions to the Theory of Games II, 307-317 (memory).

    Examples
    --------
    >>> [round(float(share), 12) for share in shapley_values([1.0, 0.5, 0.4, 0.2])]
    [-0.35, -0.45]
    """
    worth = np.asarray(values, dtype=np.float64)
    players = _players(worth.shape[0])
    shares = np.zeros((players, *worth.shape[1:]))
    for player in range(players):
        for coalition in range(worth.shape[0]):
            if not coalition & (1 << player):
                weight = _weight(coalition.bit_count(), players)
                shares[player] += weight * (worth[coalition | (1 << player)] - worth[coalition])
    return shares


def owen_values(values: ArrayLike) -> Array:
    """How is one player's share split among its own parts?

    Parameters
    ----------
    values : (2^(n-1), 2^m, ...), what the coalition of the n - 1 other players with these of the m parts is worth

    Returns
    -------
    (m, ...), one share for each part; they sum to the Shapley value of the player that is the union of the parts.

    Raises
    ------
    OutOfRange : a number of coalitions is not a power of two.

    Notes
    -----
    Outer order over the players, inner order over the parts: the parts come one after the other with nobody between.

    References
    ----------
    Owen 1977, Values of games with a priori unions, Mathematical Economics and Game Theory, 76-88 (memory).

    Examples
    --------
    >>> game = np.zeros((2, 4)); game[:, 3] = 1.0
    >>> [float(share) for share in owen_values(game)]
    [0.5, 0.5]
    """
    worth = np.asarray(values, dtype=np.float64)
    others = _players(worth.shape[0])
    outer = np.array([_weight(coalition.bit_count(), others + 1) for coalition in range(worth.shape[0])])
    return shapley_values(np.tensordot(outer, worth, axes=(0, 0)))


def _weight(size: int, players: int) -> float:
    return factorial(size) * factorial(players - 1 - size) / factorial(players)


def _players(coalitions: int) -> int:
    players = coalitions.bit_length() - 1
    if coalitions != 1 << players:
        raise OutOfRange("the number of coalitions is not a power of two", value=str(coalitions),
                         right="give every coalition once")
    return players
