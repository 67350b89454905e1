"""Several trials together: the mean effect, how far trials differ, what each says when it has heard the others."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, log, sqrt
from typing import Literal, get_args

import numpy as np
from scipy.optimize import brentq, minimize
from scipy.stats import chi2, norm
from scipy.stats import t as student

from rootcase.ground.errors import OutOfRange, require_range
from rootcase.science.trials.cells import Floats, Integers

Method = Literal["fixed", "dl", "reml", "pm", "ml", "hedges"]
METHODS: tuple[Method, ...] = get_args(Method)
TRIALS_A_MODERATOR = 10
"""Fewer trials say nothing of what effects depend on: Cochrane Handbook, sect. 10.11 (memory)."""


@dataclass(frozen=True, slots=True)
class Together:
    """What several trials say together."""

    coefficients: Floats
    """The mean effect, or the intercept and one slope a moderator. [unit of the effects]"""
    covariance: Floats
    """Of the coefficients. [unit squared]"""
    between: float
    """Variance of true effects between trials, around the mean or the line. [unit squared]"""
    q: float
    """Squares around the mean of all trials as if alike, over their variances. [-]"""
    q_freedom: int
    p_alike: float
    """Chance of as large a q were all alike. [-]"""
    i2: float
    """Share of what is seen to differ that is no chance. [-]"""
    low: Floats
    high: Floats
    """Interval of each coefficient."""
    new_low: float
    new_high: float
    """Where the true effect of one more trial lies, at moderators of 0."""
    shrunken: Floats
    """(trials,) effect of each after hearing the others. [unit of the effects]"""


def together(effect: Floats, variance: Floats, method: Method = "reml", *, moderators: Floats | None = None,
             knapp_hartung: bool = False, level: float = 0.95) -> Together:
    """Mean effect of several trials whose true effects may differ.

    Parameters
    ----------
    effect : (trials,) estimates. [any unit]
    variance : (trials,) of the estimates, above 0. [its square]
    method : how the variance between trials is found; `fixed` says there is none.
    moderators : (trials, some) what effects may depend on; None: nothing.
    knapp_hartung : scale the interval by how far trials really lie from the mean, with Student's t; narrower where they
        happen to agree.
    level : of the intervals, between 0 and 1. [-]

    Returns
    -------
    Together. [unit of the effects]

    Raises
    ------
    OutOfRange : fewer trials than coefficients, a variance that is not above 0, moderators that cannot be told apart.

    Notes
    -----
    `dl` solves the mean of q for it, `pm` the whole of q, `hedges` the plain variance of the effects, `ml` and `reml`
    the likelihood. I2 is what lies between over that and a typical variance of one trial.

    References
    ----------
    DerSimonian and Laird 1986, Meta-analysis in clinical trials, Control. Clin. Trials 7:177-188; Paule and Mandel
    1982, J. Res. Natl. Bur. Stand. 87:377-385; Hedges and Olkin 1985, Statistical Methods for Meta-Analysis, ch. 9;
    Knapp and Hartung 2003, Stat. Med. 22:2693-2710; Higgins and Thompson 2002, Stat. Med. 21:1539-1558 (all memory);
    compared with figures of a program in tests/science/trials.

    Examples
    --------
    >>> y = np.array([28.0, 8, -3, 7, -1, 1, 18, 12])
    >>> eight = together(y, np.array([15.0, 10, 16, 11, 9, 11, 10, 18]) ** 2)
    >>> round(float(eight.coefficients[0]), 6), eight.between, round(eight.q, 6)
    (7.685617, 0.0, 4.707079)
    """
    design = np.ones((effect.size, 1)) if moderators is None else np.column_stack([np.ones(effect.size), moderators])
    _ask(effect, variance, design, level)
    trials, many = design.shape
    between = 0.0 if method == "fixed" or trials == many else _BETWEEN[method](effect, variance, design)
    weight = 1.0 / (variance + between)
    covariance, coefficients = _line(effect, weight, design)
    left = effect - design @ coefficients
    alike = 1.0 / variance
    q = float(alike @ (effect - design @ _line(effect, alike, design)[1]) ** 2)
    if knapp_hartung and trials > many:
        covariance = covariance * float(weight @ left**2) / (trials - many)
    wide = float(student.ppf(0.5 + level / 2, trials - many) if knapp_hartung and trials > many
                 else norm.ppf(0.5 + level / 2))
    reach = wide * np.sqrt(np.diag(covariance))
    new = wide * sqrt(between + covariance[0, 0])
    typical = (trials - many) / float(_away(alike, design)) if trials > many else float(variance.mean())
    heard = between * weight
    return Together(coefficients, covariance, between, q, trials - many,
                    float(chi2.sf(q, trials - many)) if trials > many else 1.0, between / (between + typical),
                    coefficients - reach, coefficients + reach, float(coefficients[0] - new),
                    float(coefficients[0] + new), heard * effect + (1.0 - heard) * (design @ coefficients))


def _ask(effect: Floats, variance: Floats, design: Floats, level: float) -> None:
    require_range("level of the interval", level, 1e-6, 1.0 - 1e-6, "")
    require_range("effect of a trial", effect, -1e12, 1e12, "")
    require_range("variance of a trial", variance, 1e-24, 1e24, "")
    if np.linalg.matrix_rank(design) < design.shape[1]:
        raise OutOfRange("too few trials for what is asked", value=f"{effect.size} trials",
                         right=f"at least {design.shape[1]}, which differ in what effects may depend on")


def _line(effect: Floats, weight: Floats, design: Floats) -> tuple[Floats, Floats]:
    """Covariance and coefficients of the weighted line."""
    toward = design * weight[:, None]
    covariance = np.asarray(np.linalg.inv(toward.T @ design), dtype=float)
    return covariance, covariance @ (toward.T @ effect)


def _away(weight: Floats, design: Floats) -> float:
    """Weights less what the line takes of them."""
    toward = design * weight[:, None]
    return float(weight.sum() - np.trace(np.linalg.solve(toward.T @ design, toward.T @ toward)))


def _by_q(effect: Floats, variance: Floats, design: Floats) -> float:
    weight = 1.0 / variance
    q = float(weight @ (effect - design @ _line(effect, weight, design)[1]) ** 2)
    return float(max(0.0, (q - effect.size + design.shape[1]) / _away(weight, design)))


def _by_plain_variance(effect: Floats, variance: Floats, design: Floats) -> float:
    flat = np.ones(effect.size)
    left = effect - design @ _line(effect, flat, design)[1]
    hat = np.einsum("ij,jk,ik->i", design, np.linalg.inv(design.T @ design), design)
    return float(max(0.0, left @ left - (variance * (1.0 - hat)).sum()) / (effect.size - design.shape[1]))


def _by_whole_q(effect: Floats, variance: Floats, design: Floats) -> float:
    def over(between: float) -> float:
        weight = 1.0 / (variance + between)
        left = effect - design @ _line(effect, weight, design)[1]
        return float(weight @ left**2 - (effect.size - design.shape[1]))

    if over(0.0) <= 0.0:
        return 0.0
    most = float(variance.max())
    while over(most) > 0.0:
        most *= 4.0
    return float(brentq(over, 0.0, most, xtol=1e-14, rtol=1e-13))


def _by_likelihood(restricted: bool) -> Callable[[Floats, Floats, Floats], float]:
    def found(effect: Floats, variance: Floats, design: Floats) -> float:
        def slope(between: float) -> float:
            """Of the log likelihood, twice."""
            weight = 1.0 / (variance + between)
            covariance, coefficients = _line(effect, weight, design)
            left = effect - design @ coefficients
            taken = np.einsum("ij,jk,ik,i->", design, covariance, design, weight**2) if restricted else 0.0
            return float((weight * left) @ (weight * left) - weight.sum() + taken)

        if slope(0.0) <= 0.0:
            return 0.0
        most = float(variance.max()) + float(np.var(effect))
        while slope(most) > 0.0:
            most *= 4.0
        return float(brentq(slope, 0.0, most, xtol=1e-14, rtol=1e-13))

    return found


_BETWEEN: dict[str, Callable[[Floats, Floats, Floats], float]] = {
    "dl": _by_q, "pm": _by_whole_q, "hedges": _by_plain_variance, "ml": _by_likelihood(restricted=False),
    "reml": _by_likelihood(restricted=True)}


@dataclass(frozen=True, slots=True)
class Nested:
    """Mean of effects of which several are of one property."""

    mean: float
    standard_error: float
    between_groups: float
    """Variance between properties. [unit squared]"""
    inside_groups: float
    """Variance between effects of one property beyond their own errors. [unit squared]"""
    groups: int

    def interval(self, level: float) -> tuple[float, float]:
        """Of the mean, by Student's t: properties are what was repeated; infinite where there is one."""
        reach = self.standard_error * float(student.ppf(0.5 + level / 2, self.groups - 1)) if self.groups > 1 else inf
        return self.mean - reach, self.mean + reach


def together_in_groups(effect: Floats, variance: Floats, group: Integers) -> Nested:
    """Mean of effects of which several are of one property, such as its years.

    Parameters
    ----------
    effect : (effects,) estimates. [any unit]
    variance : (effects,) of the estimates, above 0. [its square]
    group : (effects,) number of each one's property.

    Returns
    -------
    Nested. [unit of the effects]

    Raises
    ------
    OutOfRange : fewer than two effects, a variance that is not above 0.

    Notes
    -----
    Two variances by restricted likelihood, the errors of the estimates known. Effects of one property do not count as
    so many properties.

    References
    ----------
    Konstantopoulos 2011, Fixed effects and variance components estimation in three-level meta-analysis, Res. Synth.
    Methods 2:61-76 (memory).

    Examples
    --------
    >>> one = together_in_groups(np.array([1.0, 1.2, 3.0, 3.1]), np.full(4, 0.01), np.array([0, 0, 1, 1]))
    >>> round(one.mean, 3), one.between_groups > one.inside_groups
    (2.075, True)
    """
    _ask(effect, variance, np.ones((effect.size, 1)), 0.5)
    if effect.size < 2:
        raise OutOfRange("one effect is not several", value="1", right="at least two")
    same = (group[:, None] == group[None, :]).astype(float)
    one = np.ones(effect.size)

    def parts(spreads: Floats) -> tuple[float, float, float]:
        covariance = np.diag(variance + spreads[1]) + spreads[0] * same
        toward = np.linalg.solve(covariance, np.column_stack([one, effect]))
        known = float(one @ toward[:, 0])
        mean = float(one @ toward[:, 1]) / known
        left = float(effect @ toward[:, 1]) - mean**2 * known
        return mean, 1.0 / known, float(np.linalg.slogdet(covariance)[1]) + log(known) + left

    scale = float(np.var(effect)) or float(variance.mean())
    tried = [minimize(lambda part: parts(scale * part)[2], start, method="L-BFGS-B", bounds=[(0.0, None)] * 2,
                      options={"ftol": 1e-14, "gtol": 1e-9}) for start in ([0.5, 0.5], [0.01, 0.9], [0.9, 0.01])]
    spreads = scale * min(tried, key=lambda each: float(each.fun)).x
    mean, known, _ = parts(spreads)
    return Nested(mean, sqrt(known), float(spreads[0]), float(spreads[1]), int(np.unique(group).size))
