"""How cold a place gets: the hardiness zone."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import Missing
from rootcase.ground.units import convert

COLDEST_F, BAND_F = -60.0, 10.0
"""Where zone 1 begins, and how wide a zone is. [degF]"""
MILDEST = 13
WHOLE_YEAR_DAYS = 360
"""JUDGEMENT: a few missing days seldom hide the coldest."""


def hardiness_zone(year: npt.ArrayLike, t_min_c: npt.ArrayLike) -> int:
    """Which hardiness zone a station's weather belongs to.

    Parameters
    ----------
    year : (days,) of each day.
    t_min_c : (days,) least temperature of each day, NaN where it is missing. [degC]

    Returns
    -------
    Zone, 1 to 13.

    Raises
    ------
    Missing : no year is whole.

    Notes
    -----
    From the mean over whole years of each year's least temperature, in bands of 10 degF from -60 degF; half zones are
    not told apart. The map rests on thirty years; a few give a zone or so more or less.

    References
    ----------
    United States Department of Agriculture, Plant Hardiness Zone Map: bands of the average annual extreme minimum
    temperature (memory).

    Examples
    --------
    >>> days = np.repeat([2013, 2014], 365)
    >>> hardiness_zone(days, np.where(np.arange(730) % 365 == 20, -9.0, 5.0))
    8
    """
    years, cold = np.asarray(year), np.asarray(t_min_c, dtype=float)
    known = np.isfinite(cold)
    whole = [each for each in np.unique(years) if np.count_nonzero(known & (years == each)) >= WHOLE_YEAR_DAYS]
    if not whole:
        raise Missing("no year of the weather is whole", right=f"{WHOLE_YEAR_DAYS} days of one year with their minimum")
    coldest_f = convert(float(np.mean([cold[known & (years == each)].min() for each in whole])), "degC", "degF")
    return int(np.clip(np.floor((coldest_f - COLDEST_F) / BAND_F) + 1, 1, MILDEST))
