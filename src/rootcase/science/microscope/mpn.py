"""Most probable number: how many were in the liquid, by which tubes of a row of dilutions showed growth.

With n tubes of x grams each, p of them positive and q negative, the score of a number M is
sum p x / (exp(M x) - 1) - sum q x. It falls with M and is a weighted sum of the negatives, which gives both the
estimate and its exact limits.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq
from scipy.special import gammaln, xlog1py, xlogy

from rootcase.ground.errors import ImpossibleValue, OutOfRange
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.microscope.combining import errors_to_each_side
from rootcase.science.microscope.poisson import whole

MOST_TUBES = 1000.0
MOST_OUTCOMES = 2_000_000
"""Of either half of the dilutions."""
TIE = 1e-9
"""Outcomes whose estimates are this near, as a share, are one outcome."""


@dataclass(frozen=True, slots=True)
class Mpn:
    """What a row of tubes says, in numbers per unit of the inoculum."""

    number: float
    """0 where no tube is positive, infinite where all are: tell it then as below or above."""
    low: float
    high: float
    rarity: float
    """Likelihood of this outcome over that of the likeliest one at the same number."""
    least: float
    """The smallest number the design can show above none."""
    most: float
    """The largest it can show short of all."""


def mpn(inoculum_g: Numbers, tubes: Numbers, positive: Numbers, confidence: float) -> Mpn:
    """How many were there, with exact limits?

    Parameters
    ----------
    inoculum_g : grams, or mL, of the undiluted material in each tube, one a dilution. [g], 1e-15 to 1e6
    tubes : set up of each dilution. [1], 1 to 1000
    positive : of these. [1], 0 to the tubes
    confidence : of the limits. [1], 0.5 to 0.9999

    Returns
    -------
    number, low, high, rarity, least, most; per mL where the inocula are mL. [1/g, 1/g, 1/g, -, 1/g, 1/g]

    Raises
    ------
    OutOfRange : a value leaves its range, more positive than tubes, or a design too large for exact limits.
    ImpossibleValue : a number of tubes that is not whole.

    Notes
    -----
    No tube positive: fewer than `least`, and not more than `high`. All positive: more than `most`, and not fewer than
    `low`. The limits are those means under which an estimate as high, or as low, has half of the rest as its chance,
    all outcomes reckoned: they cover at least as often as they say. Printed tables use other limits, often
    narrower.
    Rarity below 1e-4 (an outcome so odd can even lie beyond such a limit, which is then the number itself): distrust
    the tubes (mixed up, poorly diluted, something that stops growth).

    References
    ----------
    McCrady 1915, The numerical interpretation of fermentation-tube results, J. Infect. Dis. 17:183-212 (memory), for
    the likelihood; Clopper and Pearson 1934, Biometrika 26:404-413 (memory), for limits by the order of the estimates;
    Blodgett 2010, Bacteriological Analytical Manual, Appendix 2 (seen: a reprint of its table), for rarity.

    Examples
    --------
    >>> found = mpn([0.1, 0.01, 0.001], [10, 10, 10], [5, 3, 0], 0.95)
    >>> round(found.number, 3), round(found.low, 2), round(found.high, 2), round(found.rarity, 4)
    (9.951, 4.07, 18.99, 0.0925)
    """
    x, n, p = _row(inoculum_g, tubes, positive)
    beyond = (1.0 - float(within("confidence", confidence, 0.5, 0.9999, ""))) / 2.0
    number = _estimate(x, n, p)
    least, most = _ends(x, n)
    low, high = _exact(x, n, p, number, beyond)
    return Mpn(number, min(low, number), max(high, number), _rarity(x, n, p, number), least, most)


def mpn_limits_delta(inoculum_g: Numbers, tubes: Numbers, positive: Numbers,
                     confidence: float) -> tuple[float, float, float]:
    """Which standard error and limits do sheets print that take the logarithm as normal?

    Parameters
    ----------
    inoculum_g : grams, or mL, of the undiluted material in each tube, one a dilution. [g], 1e-15 to 1e6
    tubes : set up of each dilution. [1], 1 to 1000
    positive : of these, neither none nor all. [1], 0 to the tubes
    confidence : of the limits. [1], 0.5 to 0.9999

    Returns
    -------
    standard error of log10 of the number [1], lower and upper limit [1/g] or [1/mL]

    Raises
    ------
    OutOfRange : a value leaves its range, or none or all of the tubes are positive.
    ImpossibleValue : a number of tubes that is not whole.

    Notes
    -----
    The information is the observed one, of the positives; that of the tubes expected gives other figures. Not exact:
    with few tubes it covers less than it says. `mpn` has exact limits.

    References
    ----------
    Haldane 1939, Sampling errors in the determination of bacterial or virus density by the dilution method, J. Hyg.
    39:289-293 (memory); Jarvis, Wilrich and Wilrich 2010, Reconsideration of the derivation of most probable numbers,
    J. Appl. Microbiol. 109:1660-1667 (seen: figures of its tables).

    Examples
    --------
    >>> [round(x, 4) for x in mpn_limits_delta([0.1, 0.01, 0.001], [10, 10, 10], [5, 3, 0], 0.95)]
    [0.1575, 4.8886, 20.2547]
    """
    x, n, p = _row(inoculum_g, tubes, positive)
    number = _estimate(x, n, p)
    if not 0.0 < number < np.inf:
        raise OutOfRange("no standard error where none or all of the tubes are positive",
                         value=f"{p.sum():g} of {n.sum():g} positive", right="tell the bound and its exact limit")
    z = errors_to_each_side(confidence)
    information = (p * x**2 * np.exp(-number * x) / np.expm1(-number * x) ** 2).sum()
    se = float(1.0 / (np.log(10.0) * number * np.sqrt(information)))
    return se, float(number * 10.0 ** (-z * se)), float(number * 10.0 ** (z * se))


def thomas_estimate(inoculum_g: Numbers, tubes: Numbers, positive: Numbers) -> float:
    """How many were there, by a formula for the back of the sheet?

    Parameters
    ----------
    inoculum_g : grams, or mL, of the undiluted material in each tube, one a dilution. [g], 1e-15 to 1e6
    tubes : set up of each dilution. [1], 1 to 1000
    positive : of these, not all. [1], 0 to the tubes

    Returns
    -------
    an approximate number; per mL where the inocula are mL. [1/g]

    Raises
    ------
    OutOfRange : a value leaves its range, or all of the tubes are positive.
    ImpossibleValue : a number of tubes that is not whole.

    Notes
    -----
    The geometric mean of two bounds that hold the exact estimate between them; a check by hand, not the answer.

    References
    ----------
    Thomas 1942, Bacterial densities from fermentation tube tests, J. Am. Water Works Assoc. 34:572-576 (memory).

    Examples
    --------
    >>> round(thomas_estimate([0.1, 0.01, 0.001], [10, 10, 10], [5, 3, 0]), 2)
    9.97
    """
    x, n, p = _row(inoculum_g, tubes, positive)
    if (p == n).all():
        raise OutOfRange("no estimate where all tubes are positive", value=f"{p.sum():g} of {n.sum():g} positive",
                         right="tell the bound")
    return float(p.sum() / np.sqrt((x * (n - p)).sum() * (x * n).sum()))


def _row(inoculum_g: Numbers, tubes: Numbers, positive: Numbers) -> tuple[Lanes, Lanes, Lanes]:
    x = np.atleast_1d(within("inoculum_g", inoculum_g, 1e-15, 1e6, "g"))
    n, p = (np.atleast_1d(whole(name, value, MOST_TUBES)) for name, value in (("tubes", tubes), ("positive", positive)))
    within("tubes", n, 1.0, MOST_TUBES, "")
    if not x.shape == n.shape == p.shape or x.ndim != 1:
        raise ImpossibleValue("the dilutions do not match", right="one of each for every dilution",
                              value=f"{x.size} inocula, {n.size} tubes, {p.size} positive")
    within("tubes in all", n.sum(), 2.0, np.inf, "")
    if (p > n).any():
        raise OutOfRange("more positive than tubes", value=f"{p[p > n][0]:g} of {n[p > n][0]:g}",
                         right="no more positive than were set up")
    return x, n, p


def _estimate(x: Lanes, n: Lanes, p: Lanes) -> float:
    if not p.any():
        return 0.0
    if (p == n).all():
        return np.inf

    def score(log_number: float) -> float:
        return float((p * _pull(x, np.exp(log_number))).sum() - ((n - p) * x).sum())

    # 1/M - x <= x/(exp(M x) - 1) <= 1/M, so the root lies between these; a hair wider for rounding.
    low, high = p.sum() / (n * x).sum(), p.sum() / ((n - p) * x).sum()
    return float(np.exp(brentq(score, np.log(low) - 1e-9, np.log(high) + 1e-9, xtol=1e-14, rtol=1e-14)))


def _pull(x: Lanes, number: float) -> Lanes:
    """x / (exp(M x) - 1), also where that is next to nothing."""
    return np.asarray(x * np.exp(-number * x) / -np.expm1(-number * x))


def _ends(x: Lanes, n: Lanes) -> tuple[float, float]:
    """The smallest estimate with one tube positive, the largest with one negative."""
    one = np.eye(x.size)
    return min(_estimate(x, n, tube) for tube in one), max(_estimate(x, n, n - tube) for tube in one)


def _rarity(x: Lanes, n: Lanes, p: Lanes, number: float) -> float:
    if not 0.0 < number < np.inf:
        return 1.0
    chance = -np.expm1(-number * x)
    likeliest = np.minimum(np.floor((n + 1.0) * chance), n)
    return float(np.exp((_log_likelihood(n, p, chance) - _log_likelihood(n, likeliest, chance)).sum()))


def _log_likelihood(n: Numbers, p: Lanes, chance: Numbers) -> Lanes:
    negative = np.subtract(n, p)
    ways = gammaln(p + negative + 1.0) - gammaln(p + 1.0) - gammaln(negative + 1.0)
    return np.asarray(ways + xlogy(p, chance) + xlog1py(negative, np.negative(chance)))


def _exact(x: Lanes, n: Lanes, p: Lanes, number: float, beyond: float) -> tuple[float, float]:
    """Limits by the chance of estimates as high and as low, over all outcomes."""
    if number == 0.0:
        return 0.0, float(-np.log(beyond) / (n * x).sum())
    top = number == np.inf
    # In the order of the estimates an outcome comes as high as this one where its score here is not below 0.
    pull = np.zeros_like(x) if top else _pull(x, number)
    weight = x + pull
    halves = [slice(0, x.size // 2), slice(x.size // 2, None)]
    first, second = (_sums(weight[half], n[half]) for half in halves)
    order = np.argsort(second, kind="stable")
    reached = float((n * pull).sum())
    as_high = np.searchsorted(second[order], reached * (1.0 + TIE) - first, side="right")
    below = np.searchsorted(second[order], reached * (1.0 - TIE) - first, side="left")

    def chances(log_number: float) -> tuple[float, float]:
        """Of an estimate as high, and of one as low."""
        growth = -np.expm1(-np.exp(log_number) * x)
        one, two = (_chances(growth[half], n[half]) for half in halves)
        so_far = np.concatenate(([0.0], np.cumsum(two[order])))
        return float(one @ so_far[as_high]), 1.0 - float(one @ so_far[below])

    ends = np.log(1e-9 / (n * x).sum()), np.log(1e3 / x.min())
    low = np.exp(brentq(lambda u: chances(u)[0] - beyond, *ends, xtol=1e-12))
    return float(low), np.inf if top else float(np.exp(brentq(lambda u: chances(u)[1] - beyond, *ends, xtol=1e-12)))


def _sums(weight: Lanes, n: Lanes) -> Lanes:
    """The weighted sum of the negatives of every outcome, none to all of each dilution."""
    outcomes = np.prod(n + 1.0)
    if outcomes > MOST_OUTCOMES:
        raise OutOfRange("too many outcomes for exact limits", value=f"{outcomes:.3g} in half of the dilutions",
                         right=f"at most {MOST_OUTCOMES:,}: leave out dilutions that are all positive or all negative")
    total = np.zeros(1)
    for each, tubes in zip(weight, n, strict=True):
        total = np.add.outer(total, each * np.arange(tubes + 1.0)).ravel()
    return total


def _chances(growth: Lanes, n: Lanes) -> Lanes:
    """The chance of every outcome, in the order of `_sums`."""
    total = np.ones(1)
    for each, tubes in zip(growth, n, strict=True):
        positive = np.arange(tubes, -1.0, -1.0)
        total = np.multiply.outer(total, np.exp(_log_likelihood(tubes, positive, each))).ravel()
    return total
