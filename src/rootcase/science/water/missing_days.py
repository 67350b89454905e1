"""Days that a station missed: between their neighbours, or after another station."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import OutOfRange
from rootcase.science.lanes import Lanes, Numbers, within

COMMON_DAYS = 365
"""JUDGEMENT: a year that both stations saw, so that no season is left out of what they differ by."""


class After(NamedTuple):
    """How one station's days follow from another's."""

    ratio: float
    """Of the rain, here over there."""
    warmer_min_c: float
    """Mean difference of the lowest temperatures, here minus there."""
    warmer_max_c: float
    common_days: int


def between_neighbours(values: Numbers, longest_days: int) -> Lanes:
    """Fill gaps of a few days along the straight line between the known days beside them.

    Parameters
    ----------
    values : one per day in order, NaN where it is not known. [unit]
    longest_days : gaps longer than this stay open. [d], 0 to 30

    Returns
    -------
    same shape. [unit]

    Raises
    ------
    OutOfRange : longest_days leaves its range.

    Notes
    -----
    For temperatures; rain is never a mean of its neighbours. A gap at either end stays open.

    References
    ----------
    JUDGEMENT: common practice, no source.

    Examples
    --------
    >>> between_neighbours([np.nan, 1.0, np.nan, 3.0, np.nan, np.nan, 9.0], 1).tolist()
    [nan, 1.0, 2.0, 3.0, nan, nan, 9.0]
    """
    within("longest_days", longest_days, 0, 30, "d")
    filled = np.array(values, dtype=np.float64)
    known = np.flatnonzero(np.isfinite(filled))
    for left, right in pairwise(known):
        if 1 < right - left <= longest_days + 1:
            filled[left:right + 1] = np.linspace(filled[left], filled[right], right - left + 1)
    return filled


def after_another_station(
    rain_mm: Numbers, t_min_c: Numbers, t_max_c: Numbers, rain_there_mm: Numbers, t_min_there_c: Numbers,
    t_max_there_c: Numbers
) -> After:
    """By what a station differs from another, over the days both saw.

    Parameters
    ----------
    rain_mm : one per day, NaN where it is not known. [mm], from 0
    t_min_c, t_max_c : same shape. [C]
    rain_there_mm, t_min_there_c, t_max_there_c : same shape, of the other station

    Returns
    -------
    After: the ratio of the sums of rain, and the mean differences of the temperatures.

    Raises
    ------
    OutOfRange : fewer than 365 days on which all six are known, or no rain at either station on them.

    Notes
    -----
    The source takes the ratio of the two stations' normal annual rain; here it is the ratio over the common days.
    Temperatures by the mean difference: common practice, no source.

    References
    ----------
    Paulhus and Kohler 1952, Interpolation of missing precipitation records, Monthly Weather Review 80:129-133, the
    normal-ratio method with one station (memory).

    Examples
    --------
    >>> year = np.full(365, 2.0)
    >>> after_another_station(year, year, year + 9, 2 * year, year - 1, year + 8)
    After(ratio=0.5, warmer_min_c=1.0, warmer_max_c=1.0, common_days=365)
    """
    days = [np.asarray(each, dtype=np.float64) for each in (rain_mm, t_min_c, t_max_c, rain_there_mm, t_min_there_c,
                                                           t_max_there_c)]
    both = np.all([np.isfinite(each) for each in days], axis=0)
    rain, low, high, rain_there, low_there, high_there = (each[both] for each in days)
    if both.sum() < COMMON_DAYS or not rain.sum() > 0.0 or not rain_there.sum() > 0.0:
        raise OutOfRange("the two stations cannot be compared",
                         value=f"{int(both.sum())} days on which both are whole, {rain.sum():g} mm here and "
                               f"{rain_there.sum():g} mm there",
                         right=f"at least {COMMON_DAYS} such days, with rain at both")
    return After(float(rain.sum() / rain_there.sum()), float((low - low_there).mean()),
                 float((high - high_there).mean()), int(both.sum()))
