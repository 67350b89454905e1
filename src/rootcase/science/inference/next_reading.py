"""What a reading not yet taken would be worth: the doubt it removes, and what it could change in the plan."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import OutOfRange

Floats = npt.NDArray[np.float64]
PERMUTATIONS = 20
"""Shuffles of the reading whose mean is what chance alone would give. JUDGEMENT."""
DEGREE = 3


def variance_removed(quantities: Floats, reading: Floats, rng: np.random.Generator) -> float:
    """How much of the variance of some quantities a reading would take away.

    Parameters
    ----------
    quantities : (quantities, draws) such as the losses of the limits. [any unit]
    reading : (draws,) the reading as it would come out in each draw, its error included. [any unit]
    rng : the generator of the shuffles.

    Returns
    -------
    Sum over the quantities of Var(E[quantity | reading]), less what chance alone gives. [unit squared]

    Raises
    ------
    OutOfRange : fewer than ten draws, or a reading that is the same in all of them.

    Notes
    -----
    The expectation given the reading is a cubic regression on it; the mean over 20 shuffles of the reading is taken
    off, so that a reading that tells nothing is worth nothing but for noise of either sign.

    References
    ----------
    Strong, Oakley, Brennan and Breeze 2015, Estimating the expected value of sample information using the
    probabilistic sensitivity analysis sample, Medical Decision Making 35:570-583, for the regression (abstract seen);
    the correction by shuffles JUDGEMENT.

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> x, z, error = rng.standard_normal(4000), rng.standard_normal(4000), 0.5 * rng.standard_normal(4000)
    >>> 2.9 < variance_removed(np.stack([2 * x + z]), x + error, rng) < 3.5
    True
    """
    def explained(fitted: Floats) -> float:
        return float(fitted.var(axis=1).sum())

    return _above_chance(quantities, reading, explained, rng)


def plan_value(net_benefits: Floats, reading: Floats, rng: np.random.Generator) -> float:
    """How much better the choice among plans would be with a reading than without it.

    Parameters
    ----------
    net_benefits : (plans, draws) what each plan is worth in each draw. [money]
    reading : (draws,) the reading as it would come out in each draw, its error included. [any unit]
    rng : the generator of the shuffles.

    Returns
    -------
    Expected value of sample information, less what chance alone gives. [money]

    Raises
    ------
    OutOfRange : fewer than ten draws, or a reading that is the same in all of them.

    Notes
    -----
    Mean over draws of the best expected plan given the reading, less the best plan without it; regression and
    correction as in `variance_removed`.

    References
    ----------
    Strong, Oakley, Brennan and Breeze 2015, Medical Decision Making 35:570-583 (abstract seen).

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> x, error = rng.standard_normal(4000), 0.5 * rng.standard_normal(4000)
    >>> 0.33 < plan_value(np.stack([0 * x, x]), x + error, rng) < 0.39
    True
    """
    without = float(net_benefits.mean(axis=1).max())

    def gained(fitted: Floats) -> float:
        return float(fitted.max(axis=0).mean()) - without

    return _above_chance(net_benefits, reading, gained, rng)


def _above_chance(quantities: Floats, reading: Floats, worth: Callable[[Floats], float],
                  rng: np.random.Generator) -> float:
    spread = float(reading.std())
    if reading.size < 10 or not spread > 0.0:
        raise OutOfRange("the draws of a reading tell nothing", value=f"{reading.size} draws, spread {spread:g}",
                         right="at least ten draws that differ are needed")
    basis, _ = np.linalg.qr(np.vander((reading - reading.mean()) / spread, DEGREE + 1))

    def fitted(order: npt.NDArray[np.int64]) -> Floats:
        shuffled = basis[order]
        return np.asarray((quantities @ shuffled) @ shuffled.T)

    in_place = np.arange(reading.size)
    chance = np.mean([worth(fitted(rng.permutation(reading.size))) for _ in range(PERMUTATIONS)])
    return worth(fitted(in_place)) - float(chance)
