"""How warm the soil is at 4 in, by the air of the days before, and how sure that is when those days are forecast."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within


def soil_below_air_c(air_c: Numbers, mean_days: int, least_days: int) -> Lanes:
    """The soil's daily mean at 10 cm, as the mean of the air over the days before.

    Parameters
    ----------
    air_c : daily mean of the air, one per day in order, NaN where it is not known. [degC]
    mean_days : days of the mean, the day itself among them. [d], 1 to 60
    least_days : of which so many have to be known, mean_days at most. [d], 1 to 60

    Returns
    -------
    one per day; NaN where too few days are known. [degC]

    Raises
    ------
    OutOfRange : a number of days leaves its range.

    Notes
    -----
    The source sets a straight line through that mean for each region; here it is the mean itself, so shade, mulch and
    snow are in the error. A reading of the soil corrects it.

    References
    ----------
    Zheng, Hunt and Running 1993, A daily soil temperature model based on air temperature and precipitation for
    continental applications, Climate Research 2:183-191 (abstract seen; the line of slope 1 is JUDGEMENT).

    Examples
    --------
    >>> soil_below_air_c([0.0] * 10 + [11.0, 11.0], 11, 11).tolist()[10:]
    [1.0, 2.0]
    """
    within("mean_days", mean_days, 1, 60, "d")
    within("least_days", least_days, 1, mean_days, "d")
    known = np.isfinite(air := np.asarray(air_c, dtype=np.float64))
    total = np.concatenate([[0.0], np.cumsum(np.where(known, air, 0.0))])
    count = np.concatenate([[0], np.cumsum(known)])
    first = np.maximum(np.arange(1, air.size + 1) - mean_days, 0)
    found = count[1:] - count[first]
    return np.where(found >= least_days, (total[1:] - total[first]) / np.maximum(found, 1), np.nan)


def error_of_mean(errors: Numbers, mean_days: int) -> Lanes:
    """How far a running mean is off where the days in it are off.

    Parameters
    ----------
    errors : standard error of each day in order; 0 where it was observed. [unit]
    mean_days : days of the mean. [d], 1 to 60

    Returns
    -------
    one per day. [unit]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A forecast that is too warm on one day is so on the next: errors add up as they are, not as their squares.

    References
    ----------
    Standard error of a mean of wholly correlated figures (computed).

    Examples
    --------
    >>> error_of_mean([0.0, 0.0, 3.0, 3.0], 3).tolist()
    [0.0, 0.0, 1.0, 2.0]
    """
    within("mean_days", mean_days, 1, 60, "d")
    total = np.concatenate([[0.0], np.cumsum(within("errors", errors, 0.0, 100.0, ""))])
    first = np.maximum(np.arange(1, total.size) - mean_days, 0)
    return np.asarray((total[1:] - total[first]) / mean_days)


def faded(difference: Numbers, days_since: Numbers, fades_days: Numbers) -> Lanes:
    """What is left of a difference that was read some days ago.

    Parameters
    ----------
    difference : read less reckoned, on the day of the reading. [unit]
    days_since : days since. [d], 0 to 4000
    fades_days : in which it shrinks to 1/e. [d], 0.1 to 1000

    Returns
    -------
    same shape. [unit]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    difference exp(-days_since / fades_days).

    References
    ----------
    JUDGEMENT: a reading says less with every day.

    Examples
    --------
    >>> round(float(faded(3.0, 14.0, 14.0)), 3)
    1.104
    """
    days = within("days_since", days_since, 0.0, 4000.0, "d")
    return np.asarray(np.asarray(difference) * np.exp(-days / within("fades_days", fades_days, 0.1, 1000.0, "d")))
