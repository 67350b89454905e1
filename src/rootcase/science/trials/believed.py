"""Few trials and what was believed before: the posterior of a mean effect, of each trial's and of one more."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, sqrt
from typing import Literal

import numpy as np
from scipy.optimize import brentq
from scipy.special import ndtr, ndtri

from rootcase.ground.errors import OutOfRange, require_range
from rootcase.science.trials.cells import Floats

NODES, WIDEST = 4001, 1.0 - 1e-4
"""Spreads that are summed over; the farthest is 10,000 times the middle one."""
FAR, MOST_FAR = 37, 0.1
"""The last spreads, of 1,000 times the middle one and more: a sum of which they are a tenth has no end, and where it
stops is the grid's doing. JUDGEMENT."""


@dataclass(frozen=True, slots=True)
class Prior:
    """Before any trial was seen."""

    mean: float = 0.0
    """[unit of the effects]"""
    sd: float = inf
    """Infinite: nothing is believed of the mean. [its unit]"""
    between: Literal["flat", "half_cauchy", "half_normal"] = "half_cauchy"
    """Of the spread between trials."""
    between_scale: float = 1.0
    """Of a prior that has one. [its unit]"""


@dataclass(frozen=True, slots=True)
class Mixture:
    """A posterior: normal for each spread, the spreads weighted."""

    weight: Floats
    mean_of: Floats
    sd_of: Floats

    @property
    def mean(self) -> float:
        return float(self.weight @ self.mean_of)

    @property
    def sd(self) -> float:
        """Infinite where few trials and nothing believed leave it without an end."""
        return sqrt(_ended(self.weight * (self.sd_of**2 + (self.mean_of - self.mean) ** 2)))

    def chance_below(self, value: float) -> float:
        return float(self.weight @ ndtr((value - self.mean_of) / self.sd_of))

    def quantile(self, share: float) -> float:
        """Value that a share of the posterior lies below."""
        reach = 40.0 * float(self.sd_of.max())
        return float(brentq(lambda value: self.chance_below(value) - share, float(self.mean_of.min()) - reach,
                            float(self.mean_of.max()) + reach, xtol=1e-12, rtol=1e-12))


@dataclass(frozen=True, slots=True)
class Believed:
    """After the trials."""

    mean: Mixture
    trials: tuple[Mixture, ...]
    new: Mixture
    """True effect of one more trial."""
    spread: Floats
    """Spreads between trials that were summed over, rising. [unit of the effects]"""
    spread_weight: Floats

    def heard(self, prior_sd: float) -> float:
        """Share of the mean's belief that comes from the trials, by precision; the rest was believed before."""
        return 1.0 - float(self.mean.weight @ self.mean.sd_of**2) / prior_sd**2

    @property
    def spread_mean(self) -> float:
        """Infinite, as the next one, where it has no end."""
        return _ended(self.spread_weight * self.spread)

    @property
    def spread_sd(self) -> float:
        middle = float(self.spread_weight @ self.spread)
        return sqrt(_ended(self.spread_weight * (self.spread - middle) ** 2))


def _ended(parts: Floats) -> float:
    """Sum over the grid of spreads, which rise."""
    return inf if float(parts[-FAR:].sum()) > MOST_FAR * float(parts.sum()) else float(parts.sum())


def believed_after(effect: Floats, variance: Floats, prior: Prior) -> Believed:
    """What is believed of a mean effect, of each trial's and of the next one's, after some trials.

    Parameters
    ----------
    effect : (trials,) estimates. [any unit]
    variance : (trials,) of the estimates, above 0. [its square]
    prior : of mean and spread; a flat spread wants at least three trials.

    Returns
    -------
    Believed. [unit of the effects]

    Raises
    ------
    OutOfRange : no trial, a variance that is not above 0, a prior that leaves nothing finite.

    Notes
    -----
    Given the spread all is normal and closed; the spread is summed over on a grid of s u / (1 - u), s being a typical
    error, so nothing is drawn and the same trials give the same figures.

    References
    ----------
    Gelman et al. 2013, Bayesian Data Analysis, sect. 5.4, Eq. 5.17-5.21; Rubin 1981, Estimation in parallel randomized
    experiments, J. Educ. Stat. 6:377-401, for the example (memory).

    Examples
    --------
    >>> y, sd = np.array([28.0, 8, -3, 7, -1, 1, 18, 12]), np.array([15.0, 10, 16, 11, 9, 11, 10, 18])
    >>> eight = believed_after(y, sd**2, Prior(between="flat"))
    >>> round(eight.mean.mean, 2), round(eight.trials[0].quantile(0.5), 2)
    (7.93, 10.24)
    """
    require_range("effect of a trial", effect, -1e12, 1e12, "")
    require_range("variance of a trial", variance, 1e-24, 1e24, "")
    least = 3 if prior.between == "flat" else 1
    if effect.size < least or (effect.size < 2 and prior.sd == inf):
        raise OutOfRange("too few trials for so wide a prior", value=f"{effect.size} trials",
                         right=f"at least {max(least, 2)}, or a narrower prior")
    share = np.linspace(0.0, WIDEST, NODES)
    scale = sqrt(float(np.median(variance)))
    spread = scale * share / (1.0 - share)
    weight = 1.0 / (variance[:, None] + spread**2)
    precision = weight.sum(axis=0) + 1.0 / prior.sd**2
    mean = ((weight * effect[:, None]).sum(axis=0) + prior.mean / prior.sd**2) / precision
    left = (weight * (effect[:, None] - mean) ** 2).sum(axis=0) + (mean - prior.mean) ** 2 / prior.sd**2
    log_weight = 0.5 * (np.log(weight).sum(axis=0) - np.log(precision) - left) - 2.0 * np.log1p(-share)
    log_weight += np.log(_PRIORS[prior.between](spread / prior.between_scale))
    over = np.exp(log_weight - log_weight.max())
    over[[0, -1]] /= 2.0
    over /= over.sum()
    of_mean = Mixture(over, mean, 1.0 / np.sqrt(precision))
    trials = []
    for one, own in zip(effect, variance, strict=True):
        heard = spread**2 / (spread**2 + own)
        trials.append(Mixture(over, heard * one + (1.0 - heard) * mean,
                              np.sqrt(heard * own + (1.0 - heard) ** 2 / precision)))
    new = Mixture(over, mean, np.sqrt(spread**2 + 1.0 / precision))
    return Believed(of_mean, tuple(trials), new, spread, over)


_PRIORS: dict[str, Callable[[Floats], Floats]] = {
    "flat": np.ones_like, "half_cauchy": lambda spread: 1.0 / (1.0 + spread**2),
    "half_normal": lambda spread: np.exp(-0.5 * spread**2) + 1e-300}


def least_shown(sd_after: float, sd_before: float, level: float, seen: float) -> float | None:
    """Least true mean effect that trials like these would show for certain, as the posterior decides.

    Parameters
    ----------
    sd_after : of the mean effect after the trials, above 0. [any unit]
    sd_before : of the prior, whose mean is 0; infinite: nothing was believed. [its unit]
    level : of the interval that has to lie off 0, between 0 and 1. [-]
    seen : how often it shall, between 0 and 1. [-]

    Returns
    -------
    Effect [its unit]; None where the trials told nothing.

    Raises
    ------
    OutOfRange : an argument outside its range.

    Notes
    -----
    With P the precision of the trials and 1 / s^2 that of the prior, the posterior's interval lies off 0 where the
    trials' mean is beyond z (P + 1 / s^2)^(1/2) / P, and that mean strays by P^(-1/2) around the truth.

    References
    ----------
    None: the normal posterior of a normal mean (Gelman et al. 2013, Bayesian Data Analysis, sect. 2.5; memory).

    Examples
    --------
    >>> round(least_shown(0.1, float("inf"), 0.95, 0.8), 3)  # nothing believed: (1.96 + 0.84) of the error
    0.28
    >>> least_shown(0.1, 0.1, 0.95, 0.8) is None
    True
    """
    require_range("spread after", sd_after, 1e-12, 1e12, "")
    for name, share in (("level of the interval", level), ("how often it shows", seen)):
        require_range(name, share, 1e-6, 1.0 - 1e-6, "")
    whole = 1.0 / sd_after**2
    told = whole - 1.0 / sd_before**2
    if told <= 0.0:
        return None
    limit, chance = float(ndtri(0.5 + level / 2.0)), float(ndtri(seen))
    return limit * sqrt(whole) / told + chance / sqrt(told)
