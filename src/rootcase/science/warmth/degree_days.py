"""Degree days of one day by several methods; a threshold holds for its own, so the method is stored with the sum."""

from __future__ import annotations

import numpy as np

from rootcase.ground.errors import require_order
from rootcase.science.lanes import Lanes, Numbers, within

LEAST_SWING_C = 1e-12


def average_degree_days_c(t_min_c: Numbers, t_max_c: Numbers, base_c: Numbers) -> Lanes:
    """How far the day's middle lies above the base.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [degC], -90 to 60
    t_max_c : same shape, not below t_min_c. [degC], -90 to 60
    base_c : same shape. [degC], -30 to 40

    Returns
    -------
    same shape, 0 and above. [degC day]

    Raises
    ------
    OutOfRange : a value leaves its range, or the day's highest is below its lowest.

    Notes
    -----
    The mean of highest and lowest less the base, floor 0. It gives nothing for a warm noon after a cold night.

    References
    ----------
    University of California Integrated Pest Management, citrus pages, an example with mean 64 and base 53 F (seen).

    Examples
    --------
    >>> float(average_degree_days_c(7.0, 19.0, 10.0))
    3.0
    """
    low, high = _day(t_min_c, t_max_c)
    return np.asarray(np.maximum((low + high) / 2.0 - _base(base_c), 0.0))


def single_sine_degree_days_c(t_min_c: Numbers, t_max_c: Numbers, base_c: Numbers) -> Lanes:
    """How much of a day that swings as a sine lies above the base.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [degC], -90 to 60
    t_max_c : same shape, not below t_min_c. [degC], -90 to 60
    base_c : same shape. [degC], -30 to 40

    Returns
    -------
    same shape, 0 and above. [degC day]

    Raises
    ------
    OutOfRange : a value leaves its range, or the day's highest is below its lowest.

    Notes
    -----
    With mean M, half swing W and theta = asin((b - M) / W) held within a quarter turn, [(M - b)(pi/2 - theta) + W cos
    theta] / pi, which is M - b on a day wholly above the base and 0 on one wholly below.

    References
    ----------
    Baskerville and Emin 1969, Rapid estimation of heat accumulation from maximum and minimum temperatures, Ecology
    50:514-517 (memory; checked against integration, computed).

    Examples
    --------
    >>> round(float(single_sine_degree_days_c(4.0, 16.0, 10.0)), 4)
    1.9099
    """
    return _sine_above(*_day(t_min_c, t_max_c), _base(base_c))


def single_sine_capped_degree_days_c(t_min_c: Numbers, t_max_c: Numbers, base_c: Numbers, upper_c: Numbers) -> Lanes:
    """The single sine where warmth above a limit adds nothing more.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [degC], -90 to 60
    t_max_c : same shape, not below t_min_c. [degC], -90 to 60
    base_c : same shape. [degC], -30 to 40
    upper_c : same shape, above the base. [degC], -30 to 60

    Returns
    -------
    same shape, 0 to upper_c - base_c. [degC day]

    Raises
    ------
    OutOfRange : a value leaves its range, the base is not below the upper limit, or the day's highest is below its
        lowest.

    Notes
    -----
    The horizontal cutoff: degree days above the base less those above the upper limit. Vertical and intermediate
    cutoffs are other methods and give other sums.

    References
    ----------
    Baskerville and Emin 1969, Ecology 50:514-517, with the horizontal cutoff of extension services (memory; checked
    against integration, computed).

    Examples
    --------
    >>> float(single_sine_capped_degree_days_c(32.0, 40.0, 10.0, 30.0))
    20.0
    """
    base, upper = _limits(base_c, upper_c)
    low, high = _day(t_min_c, t_max_c)
    return np.asarray(np.clip(_sine_above(low, high, base) - _sine_above(low, high, upper), 0.0, upper - base))


def substituted_degree_days_c(t_min_c: Numbers, t_max_c: Numbers, base_c: Numbers, upper_c: Numbers) -> Lanes:
    """How far the day's middle lies above the base, once highest and lowest are held between two limits.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [degC], -90 to 60
    t_max_c : same shape, not below t_min_c. [degC], -90 to 60
    base_c : same shape; 10 (50 F) in the method's home. [degC], -30 to 40
    upper_c : same shape, above the base; 30 (86 F) in the method's home. [degC], -30 to 60

    Returns
    -------
    same shape, 0 to upper_c - base_c. [degC day]

    Raises
    ------
    OutOfRange : a value leaves its range, the base is not below the upper limit, or the day's highest is below its
        lowest.

    Notes
    -----
    The method for maize. On a cool day it gives up to half the distance from base to highest, far more than the sine.

    References
    ----------
    Help pages of an agricultural weather service of Oregon State University (seen).

    Examples
    --------
    >>> float(substituted_degree_days_c(4.0, 16.0, 10.0, 30.0))
    3.0
    """
    base, upper = _limits(base_c, upper_c)
    low, high = (np.clip(side, base, upper) for side in _day(t_min_c, t_max_c))
    return np.asarray((low + high) / 2.0 - base)


def four_case_degree_days_c(t_min_c: Numbers, t_max_c: Numbers, base_c: Numbers) -> Lanes:
    """Degree days by four straight-line cases of where the base falls in the day.

    Parameters
    ----------
    t_min_c : scalar or one per lane. [degC], -90 to 60
    t_max_c : same shape, not below t_min_c. [degC], -90 to 60
    base_c : same shape. [degC], -30 to 40

    Returns
    -------
    same shape, 0 and above. [degC day]

    Raises
    ------
    OutOfRange : a value leaves its range, or the day's highest is below its lowest.

    Notes
    -----
    Wholly above: mean less base. Base below the mean: (high - base) / 2 - (base - low) / 4. Base above the mean:
    (high - base) / 4. Wholly below: 0.

    References
    ----------
    The method after McVicker 1946 as the Irish meteorological service, Met Eireann, describes it (page seen).

    Examples
    --------
    >>> float(four_case_degree_days_c(4.0, 16.0, 10.0))
    1.5
    """
    low, high = _day(t_min_c, t_max_c)
    base = _base(base_c)
    mean = (low + high) / 2.0
    return np.asarray(np.select(
        [low >= base, mean >= base, high > base],
        [mean - base, (high - base) / 2.0 - (base - low) / 4.0, (high - base) / 4.0], 0.0))


def _sine_above(low: Lanes, high: Lanes, limit: Lanes) -> Lanes:
    above, swing = (low + high) / 2.0 - limit, (high - low) / 2.0
    angle = np.arcsin(np.clip(-above / np.maximum(swing, LEAST_SWING_C), -1.0, 1.0))
    return np.asarray(np.maximum((above * (np.pi / 2.0 - angle) + swing * np.cos(angle)) / np.pi, 0.0))


def _day(t_min_c: Numbers, t_max_c: Numbers) -> tuple[Lanes, Lanes]:
    low, high = within("t_min_c", t_min_c, -90.0, 60.0, "degC"), within("t_max_c", t_max_c, -90.0, 60.0, "degC")
    within("t_max_c less t_min_c", high - low, 0.0, 150.0, "degC")
    return low, high


def _base(base_c: Numbers) -> Lanes:
    return within("base_c", base_c, -30.0, 40.0, "degC")


def _limits(base_c: Numbers, upper_c: Numbers) -> tuple[Lanes, Lanes]:
    base, upper = _base(base_c), within("upper_c", upper_c, -30.0, 60.0, "degC")
    require_order("base_c", base, "upper_c", upper, "degC")
    return base, upper
