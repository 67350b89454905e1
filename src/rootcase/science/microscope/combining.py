"""Means over uneven slides, and intervals that hold more errors than the count's own."""

from __future__ import annotations

import numpy as np
from scipy.stats import chi2, norm, t

from rootcase.ground.errors import OutOfRange
from rootcase.science.circle import ring_in_unit_circles
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.microscope.poisson import beyond_each_end, whole


def ring_weighted_mean(inner_mm: Numbers, outer_mm: Numbers, mean: Numbers, sd: Numbers,
                       fields: Numbers) -> tuple[float, float]:
    """What is the mean field of a round smear or drop that was counted in rings?

    Parameters
    ----------
    inner_mm, outer_mm : radii of each ring, one a ring. [mm], 0 to 100
    mean, sd : of the fields counted in each ring. [any unit], 0 to 1e9
    fields : counted in each ring. [1], 2 to 1e6

    Returns
    -------
    mean weighted by the rings' areas, and its standard error. [unit of the mean]

    Raises
    ------
    OutOfRange : a value leaves its range, or a ring's outer radius is not above its inner.
    ImpossibleValue : fields that are not whole.

    Notes
    -----
    A drop that dries leaves more at its rim, and the rim is most of its area: a plain mean of the fields is wrong by
    where they happened to be taken. The rings must cover the whole drop.

    References
    ----------
    Stratified sampling: sum W m, sqrt(sum W^2 s^2 / n), W the share of the area; Cochran 1977, Sampling Techniques,
    3rd ed., ch. 5 (memory).

    Examples
    --------
    >>> [round(x, 3) for x in ring_weighted_mean([0, 3, 6], [3, 6, 9], [9.2, 7.4, 4.1], [3.1, 2.5, 2.2], [6, 6, 8])]
    [5.767, 0.568]
    """
    inner, outer = (within(name, radius, 0.0, 100.0, "mm") for name, radius in
                    (("inner_mm", inner_mm), ("outer_mm", outer_mm)))
    if not (outer > inner).all():
        raise OutOfRange("a ring's outer radius is not above its inner", right="were the two swapped?")
    within("fields", fields, 2.0, 1e6, "")
    area = ring_in_unit_circles(outer, inner)
    weight = area / area.sum()
    scatter = weight * within("sd", sd, 0.0, 1e9, "")
    return (float((weight * within("mean", mean, 0.0, 1e9, "")).sum()),
            float(np.sqrt((scatter**2 / whole("fields", fields)).sum())))


def ring_weighted_limits(inner_mm: Numbers, outer_mm: Numbers, mean: Numbers, sd: Numbers, fields: Numbers,
                         confidence: float) -> tuple[float, float]:
    """Between which ends does the mean field of a smear lie that was counted in rings?

    Parameters
    ----------
    inner_mm, outer_mm : radii of each ring, one a ring. [mm], 0 to 100
    mean, sd : of the counts of the fields in each ring. [1], 0 to 1e9
    fields : counted in each ring. [1], 2 to 1e6
    confidence : of the interval. [1], 0.5 to 0.9999

    Returns
    -------
    lower end, not below 0, and upper end. [1]

    Raises
    ------
    OutOfRange : a value leaves its range, or a ring's outer radius is not above its inner.
    ImpossibleValue : fields that are not whole.

    Notes
    -----
    Student's t with the degrees of freedom that the rings' scatters leave together, and never narrower than chance
    makes what was counted: a few fields can be alike by luck. With one ring chance's ends are those of Garwood.

    References
    ----------
    Satterthwaite 1946, An approximate distribution of estimates of variance components, Biometrics Bull. 2:110-114
    (memory); Fay and Feuer 1997, Confidence intervals for directly standardized rates: a method based on the gamma
    distribution, Stat. Med. 16:791-801 (memory); the mean: `ring_weighted_mean`.

    Examples
    --------
    >>> [round(x, 2) for x in ring_weighted_limits([0, 3], [3, 6], [9.2, 7.4], [3.1, 2.5], [6, 6], 0.95)]
    [5.87, 9.83]
    """
    centre, se = ring_weighted_mean(inner_mm, outer_mm, mean, sd, fields)
    beyond = beyond_each_end(confidence)
    count, area = np.asarray(fields, np.float64), ring_in_unit_circles(outer_mm, inner_mm)
    weight = area / area.sum()
    least, most = _by_chance(centre, float((weight**2 * np.asarray(mean) / count).sum()),
                             float((weight / count).max()), beyond)
    parts = (weight * np.asarray(sd)) ** 2 / count
    if not parts.any():
        return least, most
    half = se * float(t.ppf(1.0 - beyond, parts.sum() ** 2 / (parts**2 / (count - 1.0)).sum()))
    return max(min(centre - half, least), 0.0), max(centre + half, most)


def _by_chance(centre: float, variance: float, largest: float, beyond: float) -> tuple[float, float]:
    """Ends of a weighed sum of counts that lie at random; largest: what one more counted can add to it."""
    low = variance / (2.0 * centre) * float(chi2.ppf(beyond, 2.0 * centre**2 / variance)) if variance else 0.0
    more, wider = centre + largest, variance + largest**2
    return low, wider / (2.0 * more) * float(chi2.ppf(1.0 - beyond, 2.0 * more**2 / wider))


def product_limits_delta(value: Numbers, relative_sds: Numbers, confidence: float) -> tuple[Lanes, Lanes]:
    """Between which ends does a product lie whose factors each have an error? By the delta method.

    Parameters
    ----------
    value : count times volumes, dilution and so on; scalar or one per lane. [any unit], above 0 to 1e18
    relative_sds : standard deviation over mean of each independent factor. [1], 0 to 1
    confidence : of the interval. [1], 0.5 to 0.9999

    Returns
    -------
    lower and upper end, same shape as the value. [unit of the value]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    First order, on the log scale: relative variances add up. Good for errors up to about 30 % and more than about 20
    counted (JUDGEMENT); else, and where nothing was counted, `product_limits_drawn`. A count of N has 1/sqrt(N),
    clumped fields s / (m sqrt(n)), an observer the repeat error over the mean.

    References
    ----------
    ISO/IEC Guide 98-3:2008 (GUM), 5.1.6, for a product (memory); the log scale: JUDGEMENT, it keeps the lower end
    above 0.

    Examples
    --------
    >>> low, high = product_limits_delta(1e9, [0.1, 0.05, 0.2], 0.95)
    >>> f"{float(low):.3g} to {float(high):.3g}"
    '6.38e+08 to 1.57e+09'
    """
    centre = within("value", value, 1e-18, 1e18, "")
    spread = float(np.sqrt((within("relative_sds", relative_sds, 0.0, 1.0, "") ** 2).sum()))
    z = errors_to_each_side(confidence)
    return centre * np.exp(-z * spread), centre * np.exp(z * spread)


def product_limits_drawn(count: int, factor_draws: Numbers, confidence: float,
                         rng: np.random.Generator) -> tuple[float, float]:
    """Between which ends does a count times an uncertain factor lie? By draws.

    Parameters
    ----------
    count : all that were counted, lying at random. [1], 0 to 1e9
    factor_draws : draws of all that the count is multiplied with, each factor drawn from its own error. [any unit],
        0 to 1e18, at least 1000
    confidence : of the interval. [1], 0.5 to 0.9999
    rng : the generator all randomness comes from.

    Returns
    -------
    lower and upper end. [unit of the factor]

    Raises
    ------
    OutOfRange : a value leaves its range, or too few draws.
    ImpossibleValue : a count that is not whole.

    Notes
    -----
    The lower end draws the mean from a gamma of shape N, the upper from one of shape N + 1, so that with a factor
    that is exact the ends are those of Garwood. Nothing counted has 0 as its lower end.

    References
    ----------
    Garwood 1936, Biometrika 28:437-442 (memory), whose ends are quantiles of these gammas; Monte Carlo: JCGM
    101:2008 (memory).

    Examples
    --------
    >>> rng = np.random.default_rng(7)
    >>> low, high = product_limits_drawn(40, rng.normal(1e6, 1e5, 20_000), 0.95, rng)
    >>> 2.5e7 < low < 2.8e7, 5.5e7 < high < 5.8e7
    (True, True)
    """
    total = float(whole("count", count))
    factors = np.atleast_1d(within("factor_draws", factor_draws, 0.0, 1e18, ""))
    within("number of factor_draws", factors.size, 1000.0, 1e8, "")
    beyond = beyond_each_end(confidence)
    low = float(np.quantile(rng.gamma(total, size=factors.size) * factors, beyond)) if total else 0.0
    return low, float(np.quantile(rng.gamma(total + 1.0, size=factors.size) * factors, 1.0 - beyond))


def errors_to_each_side(confidence: float) -> float:
    """How many standard errors does an interval of this confidence reach to each side?

    Parameters
    ----------
    confidence : of the interval. [1], 0.5 to 0.9999

    Returns
    -------
    [1]

    Raises
    ------
    OutOfRange : the confidence leaves its range.

    Notes
    -----
    Of a normal error; few counts or fields have wider intervals.

    References
    ----------
    Quantiles of the normal distribution (computed).

    Examples
    --------
    >>> round(errors_to_each_side(0.95), 3), round(errors_to_each_side(0.9), 3)
    (1.96, 1.645)
    """
    return float(norm.ppf(0.5 + float(within("confidence", confidence, 0.5, 0.9999, "")) / 2.0))
