"""Which remedies are worth their money at one tree."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import require_range

FloatArray = npt.NDArray[np.float64]
BoolArray = npt.NDArray[np.bool_]

LEAST_GAIN = 0.10
"""Mean gain that could be seen at all; a smaller one takes more trees than a practice has. JUDGEMENT."""
BEYOND_LUCK = 2.0
"""Standard errors by which the draws' luck alone seldom sets two options apart. JUDGEMENT."""


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


def luck_between(gain: npt.ArrayLike, worth: float, other: int) -> FloatArray:
    """By how much the luck of the draws could set each option's net benefit apart from that of another.

    Parameters
    ----------
    gain : (options, draws) gain as a fraction of the yardstick's growth, the same draws for all; or (options,) as it
        is known for sure. [-]
    worth : worth of one full share for one square metre of root zone, >= 0. [money m-2]
    other : index of the option the others are set beside.

    Returns
    -------
    (options,) two standard errors of the difference. [money m-2]

    Raises
    ------
    OutOfRange : the worth is below zero.

    Notes
    -----
    Draw by draw, so that what moves both alike does not count. Costs are known and have no luck.

    References
    ----------
    Paired comparison with common random numbers: Law 2015, Simulation Modeling and Analysis, 5th ed., 11.2 (memory).
    JUDGEMENT: two standard errors.

    Examples
    --------
    >>> luck_between([[0.2, 0.4], [0.3, 0.5], [0.5, 0.3]], 100.0, 0).round(6).tolist()
    [0.0, 0.0, 28.284271]
    """
    require_range("worth", worth, 0.0, np.inf, "money/m2")
    gains = _by_draw(gain)
    apart = worth * (gains - gains[other])
    luck: FloatArray = BEYOND_LUCK * apart.std(axis=1) / np.sqrt(gains.shape[1])
    return luck


def worth_taking(gain: npt.ArrayLike, cost: npt.ArrayLike, worth: float) -> BoolArray:
    """Which options earn their money: seen, worth more than they cost, and the cheapest of what leaves as much over.

    Parameters
    ----------
    gain : (options, draws) gain as a fraction of the yardstick's growth, or (options,) its mean. [-]
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
    Of all that leave as much over as the best, give or take `luck_between` them, the cheapest is taken, so that other
    draws seldom turn the choice; then the same again among what is cheaper than that and leaves less over. So among
    the options that pass, net benefit rises with cost, and a programme that maximises gain takes the one of largest
    net benefit among them where money is no object (`best_of_one_tree`), and a cheaper one where it is short.

    References
    ----------
    Nothing that passes as the best is surely worse than it: subset selection, Gupta 1965, On some multiple decision
    (selection and ranking) rules, Technometrics 7:225-245 (memory). JUDGEMENT: the least gain of 0.10.

    Examples
    --------
    >>> worth_taking([0.17, 0.30, 0.08], [12.0, 35.0, 1.0], 100.0).tolist()
    [True, False, False]
    >>> worth_taking([[0.3, 0.3], [0.2, 0.6]], [12.0, 20.0], 100.0).tolist()
    [True, False]
    """
    gains, costs = _by_draw(gain), np.asarray(cost, dtype=float)
    means = gains.mean(axis=1)
    left = net_benefit(means, costs, worth)
    rest = (means >= LEAST_GAIN) & (left > 0)
    taken: BoolArray = np.zeros(len(left), dtype=bool)
    while rest.any():
        best = int(np.argmax(np.where(rest, left, -np.inf)))
        near = np.flatnonzero(rest & (left[best] - left <= luck_between(gains, worth, best)))
        cheapest = near[np.lexsort((-left[near], costs[near]))[0]]
        taken[cheapest] = True
        rest &= (costs < costs[cheapest]) & (left < left[cheapest])
    return taken


def nearly_as_good(gain: npt.ArrayLike, cost: npt.ArrayLike, worth: float, chosen: int) -> BoolArray:
    """Which options leave as much over as the chosen one, give or take the luck of the draws.

    Parameters
    ----------
    gain : (options, draws) gain as a fraction of the yardstick's growth, or (options,) its mean. [-]
    cost : (options,) cost for one square metre of root zone, >= 0. [money m-2]
    worth : worth of one full share for one square metre of root zone, >= 0. [money m-2]
    chosen : index of the chosen option.

    Returns
    -------
    (options,) True where it could as well be taken; False for the chosen one itself.

    Raises
    ------
    OutOfRange : a cost or the worth is below zero.

    Notes
    -----
    Only what can be seen and is worth more than it costs.

    References
    ----------
    `luck_between`.

    Examples
    --------
    >>> nearly_as_good([[0.3, 0.3], [0.2, 0.6], [0.6, 0.9]], [12.0, 20.0, 20.0], 100.0, 0).tolist()
    [False, True, False]
    """
    gains = _by_draw(gain)
    means = gains.mean(axis=1)
    left = net_benefit(means, cost, worth)
    near: BoolArray = ((means >= LEAST_GAIN) & (left > 0)
                       & (np.abs(left - left[chosen]) <= luck_between(gains, worth, chosen)))
    near[chosen] = False
    return near


def best_of_one_tree(gain: npt.ArrayLike, cost: npt.ArrayLike, worth: float) -> int | None:
    """The remedy to take at one tree when money is no object, or None: leave it alone.

    Parameters
    ----------
    gain : (options, draws) gain as a fraction of the yardstick's growth, or (options,) its mean. [-]
    cost : (options,) cost for one square metre of root zone, >= 0. [money m-2]
    worth : worth of one full share for one square metre of root zone, >= 0. [money m-2]

    Returns
    -------
    Index of the option with the largest net benefit among those `worth_taking`; None where there is none.

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
    return int(np.argmax(np.where(taken, net_benefit(_by_draw(gain).mean(axis=1), cost, worth), -np.inf)))


def _by_draw(gain: npt.ArrayLike) -> FloatArray:
    """Gains by option and draw; a mean stands as a draw of its own."""
    gains = np.asarray(gain, dtype=float)
    return gains if gains.ndim == 2 else gains[:, None]
