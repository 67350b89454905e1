"""From draws to a number with its interval."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import OutOfRange
from rootcase.records.estimate import Estimate

_AT = np.array([0.05, 0.25, 0.50, 0.75, 0.95])


def estimate(draws: npt.ArrayLike, weights: npt.ArrayLike | None = None) -> Estimate:
    """Mean, median, and the intervals that hold nine in ten and one in two of weighted draws.

    Parameters
    ----------
    draws : (n,) draws of one quantity, n >= 1. [any unit]
    weights : (n,) weights of the draws, >= 0 and not all zero; None: all alike. [-]

    Returns
    -------
    Estimate in the unit of the draws.

    Raises
    ------
    OutOfRange : a draw is not a finite number, or the weights are below zero or all zero.

    Notes
    -----
    A draw stands at the middle of its own weight and the curve between two draws is straight (Hazen's plotting
    position where all weights are alike), so equal weights of any size give the same figures and a draw of weight
    zero changes nothing.

    References
    ----------
    Hyndman and Fan 1996, Sample quantiles in statistical packages, The American Statistician 50: 361-365,
    definition 5 (memory).

    Examples
    --------
    >>> estimate([1.0, 2.0, 3.0]).median, estimate([1.0, 9.0], [1.0, 0.0]).mean
    (2.0, 1.0)
    """
    values = np.atleast_1d(np.asarray(draws, dtype=float))
    share = np.ones(values.shape) if weights is None else np.asarray(weights, dtype=float)
    if not np.isfinite(values).all():
        raise OutOfRange("a draw is not a number", value=f"{values[~np.isfinite(values)][0]}",
                         right="every draw must be finite")
    if not (share >= 0).all() or not share.sum() > 0:
        raise OutOfRange("weights cannot be used", value=f"sum {share.sum():g}",
                         right="they must be 0 or more, some above")
    order = np.argsort(values, kind="stable")
    order = order[share[order] > 0]
    values, share = values[order], share[order] / share.sum()
    low, inner_low, median, inner_high, high = np.interp(_AT, np.cumsum(share) - 0.5 * share, values)
    return Estimate(mean=float(np.clip(share @ values, values[0], values[-1])), median=float(median), low=float(low),
                    high=float(high), inner_low=float(inner_low), inner_high=float(inner_high))
