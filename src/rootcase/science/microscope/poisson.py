"""What a count says of the mean behind it where the counted lie at random."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.stats import beta, binomtest, chi2

from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.science.lanes import Lanes, Numbers, within

MOST_COUNTED = 1e9
MOST_EFFORT = 1e12


def whole(name: str, numbers: Numbers, most: float = MOST_COUNTED) -> Lanes:
    """Are all of them counts? Gives them back as floats.

    Parameters
    ----------
    name : how the value is called in the message
    numbers : scalar or one per lane. [1], 0 to most
    most : the largest that can be. [1]

    Returns
    -------
    same shape. [1]

    Raises
    ------
    OutOfRange : a value leaves its range, or is not a number.
    ImpossibleValue : a value is not whole.

    Notes
    -----
    A mean of fields is no count: an exact interval needs how many were counted in all.

    References
    ----------
    None: a definition.

    Examples
    --------
    >>> whole("count", [3, 0]).tolist()
    [3.0, 0.0]
    """
    counts = within(name, numbers, 0.0, most, "")
    broken = counts != np.floor(counts)
    if broken.any():
        raise ImpossibleValue(f"{name} is not a count", value=f"{counts[broken].flat[0]:g}",
                              right="write how many were counted, a whole number")
    return counts


def beyond_each_end(confidence: float) -> float:
    """What chance is left beyond either end of an interval of this confidence?

    Parameters
    ----------
    confidence : of the interval. [1], 0.5 to 0.9999

    Returns
    -------
    one number. [1]

    Raises
    ------
    OutOfRange : the confidence leaves its range.

    Notes
    -----
    Half of the rest.

    References
    ----------
    A definition (computed).

    Examples
    --------
    >>> round(beyond_each_end(0.95), 3)
    0.025
    """
    return (1.0 - float(within("confidence", confidence, 0.5, 0.9999, ""))) / 2.0


def share_limits(found: float, others: float, confidence: float) -> tuple[float, float]:
    """Between which ends does a share lie that was counted? Exact.

    Parameters
    ----------
    found : counted of the kind that is asked for. [1], 0 to 1e9
    others : counted of all other kinds. [1], 0 to 1e9
    confidence : of the limits. [1], 0.5 to 0.9999

    Returns
    -------
    low and high share of all. [1]

    Raises
    ------
    OutOfRange : a value leaves its range.
    ImpossibleValue : a count that is not whole.
    Missing : nothing was counted.

    Notes
    -----
    0 where none was found, 1 where nothing else was. Counted must be at random from all there are.

    References
    ----------
    Clopper and Pearson 1934, Biometrika 26:404-413 (memory).

    Examples
    --------
    >>> [round(end, 3) for end in share_limits(10, 30, 0.95)]
    [0.127, 0.412]
    """
    beyond = beyond_each_end(confidence)
    one, other = (float(whole(name, count)) for name, count in (("found", found), ("others", others)))
    if not one + other:
        raise Missing("nothing was counted", right="look through more, or tell it as none seen")
    return (float(beta.ppf(beyond, one, other + 1.0)) if one else 0.0,
            float(beta.ppf(1.0 - beyond, one + 1.0, other)) if other else 1.0)


def poisson_limits(count: Numbers, confidence: float) -> tuple[Lanes, Lanes]:
    """Between which ends does the mean lie that gave this count? Exact.

    Parameters
    ----------
    count : all that were counted, over all fields together; scalar or one per lane. [1], 0 to 1e9
    confidence : of the interval, half of the rest beyond either end. [1], 0.5 to 0.9999

    Returns
    -------
    lower and upper end, same shape; divide by the fields for the mean of one. [1]

    Raises
    ------
    OutOfRange : a value leaves its range.
    ImpossibleValue : a count that is not whole.

    Notes
    -----
    It covers at least as often as it says, whatever the mean. Only the chance of where the counted lie is in it: not
    the dilution, not the observer, and not clumps (`dispersion`, `clumped_limits`). Nothing counted has an upper end
    too.

    References
    ----------
    Garwood 1936, Fiducial limits for the Poisson distribution, Biometrika 28:437-442 (memory; limits computed).

    Examples
    --------
    >>> [round(float(end), 2) for end in poisson_limits(10, 0.95)]
    [4.8, 18.39]
    """
    counts = whole("count", count)
    beyond = beyond_each_end(confidence)
    low = np.where(counts > 0, chi2.ppf(beyond, 2.0 * np.maximum(counts, 1.0)) / 2.0, 0.0)
    return low, np.asarray(chi2.ppf(1.0 - beyond, 2.0 * counts + 2.0) / 2.0)


def most_when_none_seen(confidence: float) -> float:
    """Nothing was counted: how large may the mean still be?

    Parameters
    ----------
    confidence : that it is no larger. [1], 0.5 to 0.9999

    Returns
    -------
    one end; divide by the volume or mass looked through. [1]

    Raises
    ------
    OutOfRange : the confidence leaves its range.

    Notes
    -----
    All of the rest lies beyond the one end, so it is less than the upper of `poisson_limits`. "None seen" is said with
    it and never as "none there".

    References
    ----------
    exp(-mean) = 1 - confidence, the rule of three (computed).

    Examples
    --------
    >>> round(most_when_none_seen(0.95), 3)
    2.996
    """
    return float(-np.log(1.0 - within("confidence", confidence, 0.5, 0.9999, "")))


@dataclass(frozen=True, slots=True)
class RateComparison:
    """The first rate over the second."""

    ratio: float
    low: float
    high: float
    p_two_sided: float


def compare_rates(first: int, first_effort: float, second: int, second_effort: float,
                  confidence: float) -> RateComparison:
    """Do two counts differ by more than chance? Exact, on condition of their sum.

    Parameters
    ----------
    first, second : counted in all. [1], 0 to 1e9
    first_effort, second_effort : fields, volume or mass that were looked through. [same unit], above 0 to 1e12
    confidence : of the interval of the ratio. [1], 0.5 to 0.9999

    Returns
    -------
    RateComparison: the ratio, its ends (infinite where the second is 0), the chance of a split at least as unlikely.

    Raises
    ------
    OutOfRange : a value leaves its range.
    ImpossibleValue : a count that is not whole.
    Missing : nothing was counted on either side.

    Notes
    -----
    For one kind counted twice: here and at the yardstick, before and after, by the same observer with the same method.
    Not for the ratio of two groups of organisms, which tells of the method more than of the soil. Clumped counts differ
    more than this allows: p is then too small. The interval is central and p is not, so that near the edge one may
    hold 1 where the other is below its limit.

    References
    ----------
    Przyborowski and Wilenski 1940, Homogeneity of results in testing samples from Poisson series, Biometrika
    31:313-323 (memory); the ends by Clopper and Pearson 1934, Biometrika 26:404-413 (memory).

    Examples
    --------
    >>> found = compare_rates(38, 10, 80, 20, 0.95)
    >>> round(found.ratio, 2), round(found.low, 2), round(found.high, 2), round(found.p_two_sided, 4)
    (0.95, 0.63, 1.41, 0.8455)
    """
    a, b = (int(whole(name, count)) for name, count in (("first", first), ("second", second)))
    effort = [float(within(name, value, 1e-12, MOST_EFFORT, "")) for name, value in
              (("first_effort", first_effort), ("second_effort", second_effort))]
    if a + b == 0:
        raise Missing("nothing was counted on either side", right="look through more, or tell both as none seen")
    scale = effort[1] / effort[0]
    low, high = share_limits(a, b, confidence)
    p = binomtest(a, a + b, effort[0] / (effort[0] + effort[1])).pvalue
    return RateComparison(a / b * scale if b else np.inf, low / (1.0 - low) * scale,
                          high / (1.0 - high) * scale if b else np.inf, float(p))
