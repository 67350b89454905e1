"""How many fields a wanted precision takes, and how many are still to be counted."""

from __future__ import annotations

import numpy as np
from scipy.stats import t

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.microscope.clumping import dispersion
from rootcase.science.microscope.combining import errors_to_each_side

ROUNDING = 1e-9
"""A need of 25 fields is not 26 by the last digit of a float."""


def objects_needed(relative_half_width: Numbers, confidence: float) -> Lanes:
    """How many must be counted in all, where they lie at random?

    Parameters
    ----------
    relative_half_width : wanted half width of the interval over the mean; scalar or one per lane. [1], 0.01 to 1
    confidence : of the interval. [1], 0.5 to 0.9999

    Returns
    -------
    same shape, whole. [1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    By the normal interval: a plan. What was reached is told by the exact interval.

    References
    ----------
    (z/E)^2 for a Poisson total (computed).

    Examples
    --------
    >>> objects_needed([0.1, 0.2, 0.5], 0.95).tolist()
    [385.0, 97.0, 16.0]
    """
    return _up((errors_to_each_side(confidence) / _wanted(relative_half_width)) ** 2)


def fields_needed(mean_per_field: Numbers, k: Numbers, relative_half_width: Numbers, confidence: float) -> Lanes:
    """How many fields does it take, of a known mean and clumping?

    Parameters
    ----------
    mean_per_field : scalar or one per lane. [1], 1e-6 to 1e6
    k : clumping (`dispersion`); infinite where they lie at random. [1], 0.001 to infinite
    relative_half_width : wanted half width of the interval over the mean. [1], 0.01 to 1
    confidence : of the interval. [1], 0.5 to 0.9999

    Returns
    -------
    same shape, whole. [1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Clumps set a floor that no fuller field can get under: (z/E)^2 / k fields at the least.

    References
    ----------
    (z/E)^2 (1/m + 1/k), from the variance m + m^2/k of the negative binomial (computed).

    Examples
    --------
    >>> float(fields_needed(4, np.inf, 0.2, 0.95)), float(fields_needed(5, 2, 0.25, 0.95))
    (25.0, 44.0)
    """
    mean = within("mean_per_field", mean_per_field, 1e-6, 1e6, "")
    clumping = within("k", k, 1e-3, np.inf, "")
    return _up((errors_to_each_side(confidence) / _wanted(relative_half_width)) ** 2 * (1.0 / mean + 1.0 / clumping))


def fields_needed_by_scatter(cv: Numbers, relative_half_width: Numbers, confidence: float) -> Lanes:
    """How many fields does it take, of a known scatter between fields?

    Parameters
    ----------
    cv : standard deviation of the fields over their mean; scalar or one per lane. [1], 0 to 100
    relative_half_width : wanted half width of the interval over the mean. [1], 0.01 to 1
    confidence : of the interval. [1], 0.5 to 0.9999

    Returns
    -------
    same shape, whole, at least 1. [1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Takes the scatter as known. From a pilot of a few fields it is not: `fields_still_needed` allows for that.

    References
    ----------
    (z CV / E)^2 (computed).

    Examples
    --------
    >>> float(fields_needed_by_scatter(0.6, 0.2, 0.95))
    35.0
    """
    return np.maximum(_up((errors_to_each_side(confidence) * within("cv", cv, 0.0, 100.0, "")
                           / _wanted(relative_half_width)) ** 2), 1.0)


def fields_still_needed(counts: Numbers, relative_half_width: float, confidence: float) -> int:
    """How many more fields, after those counted so far?

    Parameters
    ----------
    counts : one a field, at least two, not all zero. [1], 0 to 1e9
    relative_half_width : wanted half width of the interval over the mean. [1], 0.01 to 1
    confidence : of the interval. [1], 0.5 to 0.9999

    Returns
    -------
    a whole number, 0 where it is enough. [1]

    Raises
    ------
    OutOfRange : a value leaves its range.
    ImpossibleValue : a count that is not whole.
    Missing : fewer than two fields, or nothing in any: no share of a mean of nothing can be aimed at.

    Notes
    -----
    The larger of two needs: by chance alone (the normal z), and by the scatter seen so far (Student's t of the fields
    counted, since the scatter is only guessed from them). Ask once after a pilot and count that many: to look after
    each field and stop when it happens to be enough makes the interval too narrow.

    References
    ----------
    Stein 1945, A two-sample test for a linear hypothesis whose power is independent of the variance, Ann. Math. Stat.
    16:243-258 (memory).

    Examples
    --------
    >>> fields_still_needed([7, 9, 4, 12, 6, 8, 5, 11, 9, 4], 0.2, 0.95)
    8
    """
    seen = dispersion(counts)
    wanted = float(_wanted(relative_half_width))
    fields = np.size(counts)
    by_chance = (errors_to_each_side(confidence) / wanted) ** 2 / seen.mean
    by_scatter = (float(t.ppf(0.5 + confidence / 2.0, fields - 1)) * seen.sd / seen.mean / wanted) ** 2
    return max(int(_up(np.asarray(max(by_chance, by_scatter)))) - fields, 0)


def _wanted(relative_half_width: Numbers) -> Lanes:
    return within("relative_half_width", relative_half_width, 0.01, 1.0, "")


def _up(number: Lanes) -> Lanes:
    return np.asarray(np.ceil(number * (1.0 - ROUNDING)))
