"""How well one observer repeats a count, and whether two differ: from pairs counted blind."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rootcase.ground.errors import Missing
from rootcase.science.lanes import Numbers, within
from rootcase.science.microscope.clumping import half_width_of_mean


@dataclass(frozen=True, slots=True)
class Repeat:
    """What pairs of counts say of the counting."""

    sd: float
    """Of a single count, by Dahlberg."""
    cv_pct: float
    bias: float
    """Mean of the first less the second."""
    bias_low: float
    bias_high: float


def repeat_error(first: Numbers, second: Numbers, confidence: float) -> Repeat:
    """How far do two counts of the same field lie apart?

    Parameters
    ----------
    first, second : the pairs, at least two, same order. [any unit], 0 to 1e9
    confidence : of the interval of the bias. [1], 0.5 to 0.9999

    Returns
    -------
    Repeat: the error of one count, as a share of the mean in percent, the bias and its ends.

    Raises
    ------
    OutOfRange : a value leaves its range.
    Missing : fewer than two pairs, a count without its partner, or nothing in any.

    Notes
    -----
    Of the same fields, the second time without sight of the first. The bias is in the error too: where the interval of
    the bias leaves out 0, settle what is counted before the error is quoted. One field in ten repeated blind:
    JUDGEMENT.

    References
    ----------
    Dahlberg 1940, Statistical Methods for Medical and Biological Students (memory): sqrt(sum d^2 / 2n); Student's t
    for the bias (computed).

    Examples
    --------
    >>> found = repeat_error([14, 22, 9, 30, 17], [16, 19, 11, 27, 18], 0.95)
    >>> round(found.sd, 3), round(found.cv_pct, 2), round(found.bias, 2), found.bias_low < 0 < found.bias_high
    (1.643, 8.98, 0.2, True)
    """
    one, two = (np.atleast_1d(within(name, counts, 0.0, 1e9, "")) for name, counts in
                (("first", first), ("second", second)))
    if one.shape != two.shape or one.size < 2 or not (one.any() or two.any()):
        raise Missing("no pairs to compare", value=f"{one.size} and {two.size} counts",
                      right="at least two fields, each counted twice, something in one of them")
    apart = one - two
    sd = float(np.sqrt((apart**2).sum() / (2.0 * apart.size)))
    bias = float(apart.mean())
    half = half_width_of_mean(apart, confidence)
    return Repeat(sd, 100.0 * sd / float((one + two).mean() / 2.0), bias, bias - half, bias + half)
