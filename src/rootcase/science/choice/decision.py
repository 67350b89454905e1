"""Which remedies are worth their money at one tree."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import require_range

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

LEAST_GAIN = 0.10
"""Mean gain that could be seen at all; a smaller one takes more trees than a practice has. JUDGEMENT."""


def net_benefit(gain: npt.ArrayLike, cost: npt.ArrayLike, worth: float) -> FloatArray:
    """What is left of a gain's worth once it is paid for.

    Parameters
    ----------
    gain : (options,) mean gain over the years as a fraction of the yardstick's growth. [-]
    cost : (options,) cost over the same years for one square metre of root zone, >= 0. [money m-2]
    worth : worth of one full share for one square metre of root zone over the same years, >= 0. [money m-2]

    Returns
    -------
    (options,) net benefit. [money m-2]

    Raises
    ------
    OutOfRange : a cost or the worth is below zero.

    Notes
    -----
    The model writes NB = V gain - cost.

    References
    ----------
    JUDGEMENT: the worth is the client's figure; 100 where nobody was asked.

    Examples
    --------
    >>> net_benefit([0.17], [12.0], 100.0).round(6).tolist()
    [5.0]
    """
    require_range("cost", cost, 0.0, np.inf, "money/m2")
    require_range("worth", worth, 0.0, np.inf, "money/m2")
    left: FloatArray = worth * np.asarray(gain, dtype=float) - np.asarray(cost, dtype=float)
    return left


def worth_taking(gain: npt.ArrayLike, cost: npt.ArrayLike, worth: float) -> BoolArray:
    """Which options earn their money: seen, worth more than they cost, and no cheaper one leaves more over.

    Parameters
    ----------
    gain : (options,) mean gain as a fraction of the yardstick's growth. [-]
    cost : (options,) cost for one square metre of root zone, >= 0. [money m-2]
    worth : worth of one full share for one square metre of root zone, >= 0. [money m-2]

    Returns
    -------
    (options,) True where the option earns its money.

    Raises
    ------
    OutOfRange : a cost or the worth is below zero.

    Notes
    -----
    Among the options that pass, net benefit rises with cost. So a programme that maximises gain takes the one of
    largest net benefit where money is no object (`best_of_one_tree`), and a cheaper one where it is short.

    References
    ----------
    JUDGEMENT: the least gain of 0.10.

    Examples
    --------
    >>> worth_taking([0.17, 0.30, 0.08], [12.0, 35.0, 1.0], 100.0).tolist()
    [True, False, False]
    """
    gains, costs = np.asarray(gain, dtype=float), np.asarray(cost, dtype=float)
    left = net_benefit(gains, costs, worth)
    seen = (gains >= LEAST_GAIN) & (left > 0)
    cheaper = seen[None, :] & ((costs[None, :] < costs[:, None])
                               | ((costs[None, :] == costs[:, None]) & (left[None, :] > left[:, None])))
    best_cheaper = np.where(cheaper, left[None, :], -np.inf).max(axis=1, initial=-np.inf)
    taken: BoolArray = seen & (left > best_cheaper)
    return taken


def best_of_one_tree(gain: npt.ArrayLike, cost: npt.ArrayLike, worth: float) -> int | None:
    """The remedy to take at one tree when money is no object, or None: leave it alone.

    Parameters
    ----------
    gain : (options,) mean gain as a fraction of the yardstick's growth. [-]
    cost : (options,) cost for one square metre of root zone, >= 0. [money m-2]
    worth : worth of one full share for one square metre of root zone, >= 0. [money m-2]

    Returns
    -------
    Index of the option with the largest net benefit among those that can be seen; None where there is none.

    Raises
    ------
    OutOfRange : a cost or the worth is below zero.

    Notes
    -----
    Of two alike the first is taken.

    References
    ----------
    JUDGEMENT: the least gain of 0.10.

    Examples
    --------
    >>> best_of_one_tree([0.17, 0.30], [12.0, 35.0], 100.0), best_of_one_tree([0.02], [1.0], 100.0)
    (0, None)
    """
    taken = worth_taking(gain, cost, worth)
    if not taken.any():
        return None
    return int(np.argmax(np.where(taken, net_benefit(gain, cost, worth), -np.inf)))
