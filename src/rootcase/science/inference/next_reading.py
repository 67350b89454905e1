"""What a reading not yet taken would be worth: the doubt it removes, and what it could change in the plan."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import OutOfRange, require_range

Floats = npt.NDArray[np.float64]
PERMUTATIONS = 20
"""Shuffles of the reading whose mean is what chance alone would give. JUDGEMENT."""
DEGREE = 3
LEAST_DRAWS = 10.0
LARGEST = float(np.finfo(np.float64).max)
DEPENDENT = 1e-9
"""So little of a variance, or of a draw's freedom, is none."""


@dataclass(frozen=True, slots=True)
class VarianceRemoved:
    """How much of the variance of some quantities a reading takes away. [unit squared]"""

    removed: float
    """What chance alone would give is taken off, so it may fall a little below zero."""
    by_chance_sd: float
    """How far a reading that tells nothing strays from zero: about one standard deviation, seldom more."""
    total: float


def variance_removed(quantities: Floats, reading: Floats, weights: Floats | None = None) -> VarianceRemoved:
    """How much of the variance of some quantities would a reading take away?

    Parameters
    ----------
    quantities : (quantities, draws) such as the losses of the limits. [any unit]
    reading : (draws,) or (numbers, draws) the reading as it would come out in each draw, its error included. [any unit]
    weights : (draws,) of the draws, 0 or more; None: all alike. [-]

    Returns
    -------
    VarianceRemoved : sum over the quantities of Var(E[quantity | reading]), less what chance alone gives.

    Raises
    ------
    OutOfRange : fewer than ten effective draws, a number that is none, or weights below zero or all zero.

    Notes
    -----
    The expectation given the reading is a regression on the first three powers of each of its numbers. A reading that
    is the same in all draws removes nothing. What chance gives is the variance of the regression's own coefficients,
    from its residuals, each over 1 - its draw's leverage; for a reading that tells nothing this is the mean over
    shuffles of it, and where it tells much, shuffles would take off too much (.37 left of .50 by 48 columns of 200
    draws). Its standard deviation is that of a chi-squared law, as if all the quantities went together.

    References
    ----------
    Strong, Oakley, Brennan and Breeze 2015, Estimating the expected value of sample information using the
    probabilistic sensitivity analysis sample, Medical Decision Making 35:570-583, for the regression (abstract seen).
    MacKinnon and White 1985, Some heteroskedasticity-consistent covariance matrix estimators with improved finite
    sample properties, Journal of Econometrics 29:305-325, for the variance of the coefficients, HC2 (memory).

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> x, z, error = rng.standard_normal(4000), rng.standard_normal(4000), 0.5 * rng.standard_normal(4000)
    >>> 2.9 < variance_removed(np.stack([2 * x + z]), x + error).removed < 3.5
    True
    """
    require_range("quantities", quantities, -LARGEST, LARGEST, "")
    draws = quantities.shape[1]
    weight = _weights(weights, draws)
    basis = _basis(reading, weight)
    apart = quantities - (quantities @ weight)[:, None]
    fitted = (apart * weight) @ basis.T
    spread = (basis**2).sum(axis=0)
    left_free = np.maximum(1.0 - weight * (1.0 + spread), DEPENDENT)
    by_chance = float((((apart - fitted @ basis) ** 2) @ (weight**2 * spread / left_free)).sum())
    return VarianceRemoved(
        removed=float((fitted**2).sum()) - by_chance, by_chance_sd=by_chance * float(np.sqrt(2.0 / max(len(basis), 1))),
        total=float((apart**2 @ weight).sum()))


def plan_value(net_benefits: Floats, reading: Floats, rng: np.random.Generator) -> float:
    """How much better would the choice among plans be with a reading than without it?

    Parameters
    ----------
    net_benefits : (plans, draws) what each plan is worth in each draw. [money]
    reading : (draws,) or (numbers, draws) the reading as it would come out in each draw, its error included. [any unit]
    rng : the generator of the shuffles.

    Returns
    -------
    Expected value of sample information, less what chance alone gives. [money]

    Raises
    ------
    OutOfRange : fewer than ten draws, or a number that is none.

    Notes
    -----
    Mean over draws of the best expected plan given the reading, less the best plan without it; regression as in
    `variance_removed`. The mean over 20 shuffles of the reading is taken off, so that a reading that tells nothing is
    worth nothing but for noise of either sign.

    References
    ----------
    Strong, Oakley, Brennan and Breeze 2015, Medical Decision Making 35:570-583 (abstract seen); the correction by
    shuffles JUDGEMENT.

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> x, error = rng.standard_normal(4000), 0.5 * rng.standard_normal(4000)
    >>> 0.33 < plan_value(np.stack([0 * x, x]), x + error, rng) < 0.39
    True
    """
    require_range("net_benefits", net_benefits, -LARGEST, LARGEST, "")
    draws = net_benefits.shape[1]
    basis = _basis(reading, _weights(None, draws))
    mean = net_benefits.mean(axis=1)

    def gained(columns: Floats) -> float:
        expected = mean[:, None] + (net_benefits @ columns.T / draws) @ columns
        return float(expected.max(axis=0).mean() - mean.max())

    return gained(basis) - float(np.mean([gained(basis[:, rng.permutation(draws)]) for _ in range(PERMUTATIONS)]))


def _weights(weights: Floats | None, draws: int) -> Floats:
    given = np.ones(draws) if weights is None else weights
    require_range("weights", given, 0.0, LARGEST, "")
    require_range("the sum of the weights", given.sum(), float(np.finfo(float).tiny), LARGEST, "")
    weight = np.asarray(given / given.sum())
    effective = 1.0 / float(weight @ weight)
    if effective < LEAST_DRAWS * (1.0 - 1e-9):
        raise OutOfRange("the draws of a reading tell nothing", value=f"{effective:.3g} effective draws",
                         right=f"at least {LEAST_DRAWS:g} are needed")
    return weight


def _basis(reading: Floats, weight: Floats) -> Floats:
    """Powers of the reading's numbers (columns, draws), each of mean 0 and variance 1, no two of them related."""
    require_range("reading", reading, -LARGEST, LARGEST, "")
    numbers = np.atleast_2d(reading)
    apart = numbers - (numbers @ weight)[:, None]
    variance = apart**2 @ weight
    differs = variance > (DEPENDENT * np.abs(numbers).max(axis=1)) ** 2
    standard = apart[differs] / np.sqrt(variance[differs])[:, None]
    powers = np.concatenate(list(accumulate([standard] * DEGREE, np.multiply)))
    powers -= (powers @ weight)[:, None]
    variances, directions = np.linalg.eigh((powers * weight) @ powers.T)
    kept = variances > DEPENDENT * variances.max(initial=0.0)
    return np.asarray((directions[:, kept] / np.sqrt(variances[kept])).T @ powers)
