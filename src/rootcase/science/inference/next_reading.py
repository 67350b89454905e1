"""What a reading not yet taken would be worth: the doubt it removes, and what it could change in the plan."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import OutOfRange, require_range

Floats = npt.NDArray[np.float64]
BY_LUCK = 3.0
"""What is less than so many standard deviations of chance above chance is taken to be nothing. JUDGEMENT."""
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
    apart = quantities - (quantities @ weight)[:, None]
    found = _regressed(apart, _basis(reading, weight), weight)
    return VarianceRemoved(
        removed=float(found.variance.sum() - found.by_chance.sum()), by_chance_sd=float(found.by_chance_sd.sum()),
        total=float((apart**2 @ weight).sum()))


@dataclass(frozen=True, slots=True)
class PlanValue:
    """What a reading is worth to the choice among plans."""

    worth: float
    """Expected value of sample information. [money]"""
    standard_error: float
    """Of the worth, from the number of draws. [money]"""
    best: int
    """The plan taken without the reading."""
    chances: Floats
    """(plans,) that each is the one taken once the reading is known; sums to 1. [-]"""


def plan_value(net_benefits: Floats, reading: Floats, weights: Floats | None = None, *,
               least: npt.ArrayLike = -np.inf) -> PlanValue:
    """How much better would the choice among plans be with a reading than without it?

    Parameters
    ----------
    net_benefits : (plans, draws) what each plan is worth in each draw; the first may always be taken. [money]
    reading : (draws,) or (numbers, draws) the reading as it would come out in each draw, its error included. [any unit]
    weights : (draws,) of the draws, 0 or more; None: all alike. [-]
    least : (plans,) expected lead over the first plan under which a plan is not taken. [money]

    Returns
    -------
    PlanValue. What is taken off for chance never makes a worth below zero.

    Raises
    ------
    OutOfRange : fewer than ten effective draws, a number that is none, or weights below zero or all zero.

    Notes
    -----
    Mean over draws of the best expected plan given the reading, less the best plan without it; regression as in
    `variance_removed`, of each plan's lead over the best. A regression's values are spread by its coefficients' chance
    as well as by what the reading tells, and a maximum is raised by any spread; so they are drawn together until their
    variance is what is left once chance (HC2) is taken off, and where that is less than three standard deviations of
    chance the reading is taken to tell nothing of that lead. The mean of twenty shuffles, which is the older way, takes
    off too much where a reading tells much, and goes wrong under weights. The standard error is that of the mean, over
    the draws, of what following the reading gains, which strays more than the regression's.

    References
    ----------
    Strong, Oakley, Brennan and Breeze 2015, Medical Decision Making 35:570-583 (abstract seen), for the regression;
    MacKinnon and White 1985, Journal of Econometrics 29:305-325, for the chance (memory). That the variances are
    matched: JUDGEMENT.

    Examples
    --------
    >>> rng = np.random.default_rng(1)
    >>> x, error = rng.standard_normal(4000), 0.5 * rng.standard_normal(4000)
    >>> found = plan_value(np.stack([0 * x, x]), x + error)
    >>> 0.33 < found.worth < 0.39, found.chances.round(1).tolist()
    (True, [0.5, 0.5])
    """
    require_range("net_benefits", net_benefits, -LARGEST, LARGEST, "")
    plans, draws = net_benefits.shape
    weight, floor = _weights(weights, draws), _floor(least, plans)
    best = int(_taken((net_benefits @ weight)[:, None], floor)[0])
    lead = net_benefits - net_benefits[best]
    mean = (lead @ weight)[:, None]
    regressed = _regressed(lead - mean, _basis(reading, weight), weight)
    expected = mean + regressed.told()[:, None] * regressed.values
    taken, each = _taken(expected, floor), np.arange(draws)
    gained = lead[taken, each]
    return PlanValue(
        worth=max(float(expected[taken, each] @ weight), 0.0),
        standard_error=float(np.sqrt(weight**2 @ (gained - gained @ weight) ** 2)), best=best,
        chances=np.bincount(taken, weight, plans).astype(np.float64))


def answers_value(net_benefits: Floats, answers: Floats, weights: Floats | None = None, *,
                  least: npt.ArrayLike = -np.inf) -> PlanValue:
    """How much better would the choice among plans be with a look whose answers are few and have known chances?

    Parameters
    ----------
    net_benefits : (plans, draws) what each plan is worth in each draw; the first may always be taken. [money]
    answers : (answers, draws) chance of each answer in each draw; a draw's sum to 1. [-]
    weights : (draws,) of the draws, 0 or more; None: all alike. [-]
    least : (plans,) expected lead over the first plan under which a plan is not taken. [money]

    Returns
    -------
    PlanValue; the standard error is that of the draws, for nothing else is left to chance.

    Raises
    ------
    OutOfRange : fewer than ten effective draws, chances that do not sum to 1, or weights below zero or all zero.

    Notes
    -----
    Exact over the answers: the sum over them of their chance times the best plan once the draws are weighed by the
    answer, less the best plan without it.

    References
    ----------
    Raiffa 1968, Decision Analysis: the value of sample information (memory).

    Examples
    --------
    >>> ground = np.repeat(np.eye(3), (5, 3, 2), axis=1)  # dry 5, wet 3, soaking 2 in ten
    >>> drilled, sounding = np.array([-70.0, 50.0, 200.0]) @ ground, np.array(
    ...     [[0.6, 0.3, 0.1], [0.3, 0.4, 0.4], [0.1, 0.3, 0.5]]) @ ground
    >>> round(answers_value(np.stack([0 * drilled, drilled]), sounding).worth, 9)
    12.5
    """
    require_range("net_benefits", net_benefits, -LARGEST, LARGEST, "")
    require_range("answers", answers, 0.0, 1.0, "")
    require_range("the sum of a draw's answers", answers.sum(axis=0), 1.0 - 1e-6, 1.0 + 1e-6, "")
    plans, draws = net_benefits.shape
    weight, floor = _weights(weights, draws), _floor(least, plans)
    best = int(_taken((net_benefits @ weight)[:, None], floor)[0])
    lead = net_benefits - net_benefits[best]
    chances = answers @ weight
    taken = _taken(lead @ (answers * weight).T / np.maximum(chances, np.finfo(np.float64).tiny), floor)
    gained = (answers * lead[taken]).sum(axis=0)
    worth = float(gained @ weight)
    return PlanValue(worth=max(worth, 0.0), standard_error=float(np.sqrt(weight**2 @ (gained - worth) ** 2)), best=best,
                     chances=np.bincount(taken, chances, plans).astype(np.float64))


def _floor(least: npt.ArrayLike, plans: int) -> Floats:
    floor = np.array(np.broadcast_to(np.asarray(least, dtype=np.float64), plans))
    floor[0] = -np.inf
    return floor


def _taken(expected: Floats, floor: Floats) -> npt.NDArray[np.intp]:
    """Of each column the plan of the largest expected benefit among those that lead the first by enough."""
    enough = expected - expected[:1] >= floor[:, None]
    return np.asarray(np.where(enough, expected, -np.inf).argmax(axis=0))


@dataclass(frozen=True, slots=True)
class _Regressed:
    """Quantities as a regression on a reading has them, about their means."""

    values: Floats
    """(quantities, draws)"""
    variance: Floats
    """(quantities,) of the values."""
    by_chance: Floats
    """(quantities,) what of it chance alone would give, and about one standard deviation of that."""
    by_chance_sd: Floats

    def told(self) -> Floats:
        """(quantities,) what the values are to be multiplied by for their variance to be what the reading tells."""
        left = self.variance - self.by_chance
        sure = left > BY_LUCK * self.by_chance_sd
        return np.sqrt(np.where(sure, left, 0.0) / np.where(sure, self.variance, 1.0))


def _regressed(apart: Floats, basis: Floats, weight: Floats) -> _Regressed:
    """Quantities of mean 0 on the basis; chance by the coefficients' variance, HC2."""
    fitted = (apart * weight) @ basis.T
    spread = (basis**2).sum(axis=0)
    left_free = np.maximum(1.0 - weight * (1.0 + spread), DEPENDENT)
    values = fitted @ basis
    by_chance = ((apart - values) ** 2) @ (weight**2 * spread / left_free)
    return _Regressed(values, (fitted**2).sum(axis=1), by_chance, by_chance * np.sqrt(2.0 / max(len(basis), 1)))


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
