"""What a look is worth in money, where the cases, what the look may show and the choices can be counted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rootcase.ground.errors import ImpossibleValue, OutOfRange, require_range

Array = NDArray[np.float64]

LARGEST = float(np.finfo(np.float64).max)


@dataclass(frozen=True, slots=True)
class LookValue:
    """A choice without a look, with one, and with certainty. [money]"""

    best_without: float
    perfect_information: float
    """What knowing the case would add: no look is worth more."""
    result_chances: Array
    """(results,) 0 to 1"""
    best_by_result: Array
    """(results,) what the best choice is worth once the look has shown this; 0 for a result that cannot come."""
    look: float
    """What the look would add, its price not counted."""
    best_after_price: float
    """What choosing after a paid look is worth; below `best_without` the look does not pay."""


def value_of_look(priors: ArrayLike, result_given_case: ArrayLike, payoffs: ArrayLike, price: float = 0.0) -> LookValue:
    """What is a look worth before a choice?

    Parameters
    ----------
    priors : (cases,) chances of the cases; they sum to 1. 0 to 1
    result_given_case : (cases, results) chance of what the look shows; each case's sum to 1. 0 to 1
    payoffs : (choices, cases) what a choice brings in each case. [money]
    price : of the look. [money, 0 or more]

    Returns
    -------
    LookValue. [money]

    Raises
    ------
    OutOfRange : a value leaves its range or the shapes do not go together.
    ImpossibleValue : chances that do not sum to 1.

    Notes
    -----
    The chooser takes the choice of the largest expected payoff: gain is not weighed against risk.

    References
    ----------
    Raiffa 1968, Decision Analysis, expected value of perfect and of sample information (memory).

    Examples
    --------
    An open collar costs 40 and saves a tree worth 300 if its roots girdle, which one tree in five does; a look at the
    flare tells it in nine of ten cases and cries wolf in one of ten.

    >>> found = value_of_look([0.8, 0.2], [[0.9, 0.1], [0.1, 0.9]], [[0, 0], [-40, 260]], price=5)
    >>> [round(float(money), 1) for money in (found.best_without, found.perfect_information, found.look)]
    [20.0, 32.0, 23.6]
    """
    chance, shown, worth = (np.asarray(each, dtype=np.float64) for each in (priors, result_given_case, payoffs))
    require_range("priors", chance, 0.0, 1.0, "")
    require_range("result_given_case", shown, 0.0, 1.0, "")
    require_range("payoffs", worth, -LARGEST, LARGEST, "")
    require_range("price", price, 0.0, LARGEST, "")
    if chance.ndim != 1 or shown.ndim != 2 or worth.ndim != 2 or not len(chance) == len(shown) == worth.shape[1]:
        raise OutOfRange("priors, results and payoffs do not go together",
                         value=f"{chance.shape}, {shown.shape}, {worth.shape}",
                         right="(cases,), (cases, results), (choices, cases)")
    for name, sums in (("priors", np.atleast_1d(chance.sum())), ("result_given_case", shown.sum(axis=1))):
        if (wrong := np.abs(sums - 1.0) > 1e-9).any():
            raise ImpossibleValue(f"{name} do not sum to 1", value=f"{sums[wrong][0]:g}", right="give every case")
    without = float((worth @ chance).max())
    results = chance @ shown
    expected = (worth @ (chance[:, None] * shown)).max(axis=0)
    return LookValue(
        best_without=without, perfect_information=float(chance @ worth.max(axis=0)) - without, result_chances=results,
        best_by_result=np.divide(expected, results, out=np.zeros_like(results), where=results > 0.0),
        look=float(expected.sum()) - without, best_after_price=float(expected.sum()) - price)
