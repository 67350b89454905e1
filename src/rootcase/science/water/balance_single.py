"""The root zone's water by FAO-56 with one coefficient: a day, and a run of days. Days are the first axis."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import require_range
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.rain import MOST_RAIN_MM_DAY
from rootcase.science.water.thirst import water_stress


class SingleDay(NamedTuple):
    """What a day, or each day of a run, did."""

    stress: Lanes
    """K_s, from the depletion at the day's start. [-]"""
    evapotranspiration_mm: Lanes
    """ET_c,adj. [mm]"""
    percolation_mm: Lanes
    """What the root zone could not hold, by deep percolation. [mm]"""
    overdrawn_mm: Lanes
    """Evapotranspiration that the root zone no longer had: the equations take it all the same. [mm]"""
    depletion_mm: Lanes
    """D_r at the day's end. [mm]"""


def single_day(
    depletion_mm: Numbers, rain_mm: Numbers, irrigation_mm: Numbers, reference_mm: Numbers, coefficient: Numbers,
    total_mm: Numbers, depletion_share: Numbers
) -> SingleDay:
    """The root zone's water through one day.

    Parameters
    ----------
    depletion_mm : scalar or one per lane, what the root zone lacks at the day's start. [mm], 0 to 5000
    rain_mm : same shape, that enters the ground. [mm], 0 to 2000
    irrigation_mm : same shape, that enters the ground. [mm], 0 to 2000
    reference_mm : same shape, reference evapotranspiration. [mm], 0 to 30
    coefficient : same shape, of the cover without thirst. [-], 0 to 2
    total_mm : same shape, see `total_available_water_mm`. [mm], above 0 to 5000
    depletion_share : same shape, lost without harm. [-], 0 to 0.99

    Returns
    -------
    SingleDay: depletion_mm at the day's end = at its start - rain_mm - irrigation_mm + evapotranspiration_mm
    + percolation_mm - overdrawn_mm

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes D_r, P, I, K_c, ET_o, K_s, DP, TAW and p. Water enters before any percolates; nothing runs off or
    rises from below. The thirst is that of the day's start. The depletion is held to 0 to TAW; what that leaves over at
    the dry end is told as overdrawn.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 81 and 84 to
    88 (memory; its Example 37 seen).

    Examples
    --------
    >>> [round(float(value), 1) for value in single_day(67.0, 0.0, 0.0, 5.0, 1.2, 160.0, 0.4)]
    [1.0, 5.8, 0.0, 0.0, 72.8]
    """
    stress = water_stress(total_mm, depletion_mm, depletion_share)
    came = (within("rain_mm", rain_mm, 0.0, MOST_RAIN_MM_DAY, "mm")
            + within("irrigation_mm", irrigation_mm, 0.0, MOST_RAIN_MM_DAY, "mm"))
    used = (stress * within("coefficient", coefficient, 0.0, 2.0, "")
            * within("reference_mm", reference_mm, 0.0, 30.0, "mm"))
    return SingleDay(stress, used, *settle(np.asarray(depletion_mm, dtype=np.float64), came, used,
                                           np.asarray(total_mm, dtype=np.float64)))


def single_run(
    depletion_mm: Numbers, rain_mm: Numbers, irrigation_mm: Numbers, reference_mm: Numbers, coefficient: Numbers,
    total_mm: Numbers, depletion_share: Numbers
) -> SingleDay:
    """The root zone's water through many days.

    Parameters
    ----------
    depletion_mm : scalar or one per lane, what the root zone lacks on the first morning. [mm], 0 to 5000
    rain_mm : days, then lanes, that enters the ground. [mm], 0 to 2000
    irrigation_mm : days, then lanes; or one for all. [mm], 0 to 2000
    reference_mm : days, then lanes; or one for all. [mm], 0 to 30
    coefficient : days, then lanes; or one for all. [-], 0 to 2
    total_mm : days, then lanes; or one for all. [mm], above 0 to 5000
    depletion_share : days, then lanes; or one for all. [-], 0 to 0.99; for a share that follows the demand give
        `depletion_share_of_day`

    Returns
    -------
    SingleDay of arrays, days first

    Raises
    ------
    OutOfRange : a value leaves its range, or there is no day.

    Notes
    -----
    `single_day`, day after day. What is given once for each lane, such as total_mm, needs an axis of days before it.

    References
    ----------
    As `single_day`.

    Examples
    --------
    >>> single_run(55.0, [0.0, 0.0, 0.0], 0.0, 5.0, 1.2, 160.0, 0.4).depletion_mm.round(1).tolist()
    [61.0, 67.0, 72.8]
    """
    days = np.broadcast_arrays(rain_mm, irrigation_mm, reference_mm, coefficient, total_mm, depletion_share)
    require_range("the number of days", days[0].shape[0] if days[0].ndim else 0, 1, np.inf, "")
    done: list[SingleDay] = []
    for today in zip(*days, strict=True):
        done.append(single_day(done[-1].depletion_mm if done else depletion_mm, *today))
    return SingleDay(*(np.stack(column) for column in zip(*done, strict=True)))


def settle(depletion_mm: Lanes, came_mm: Lanes, used_mm: Lanes, total_mm: Lanes) -> tuple[Lanes, Lanes, Lanes]:
    """What percolates, what is overdrawn, and the depletion that is left.

    Parameters
    ----------
    depletion_mm : scalar or one per lane, at the start. [mm]
    came_mm : same shape. [mm]
    used_mm : same shape. [mm]
    total_mm : same shape. [mm]

    Returns
    -------
    percolation, overdrawn, depletion at the end. [mm]

    Raises
    ------
    nothing: its callers have looked at the values.

    Notes
    -----
    The bounds 0 and TAW on D_r, and what they leave over.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 85, 86 and
    88 (memory).

    Examples
    --------
    >>> [float(value) for value in settle(20.0, 60.0, 5.0, 100.0)]
    [35.0, 0.0, 0.0]
    """
    left: Lanes = depletion_mm - came_mm + used_mm
    return np.maximum(-left, 0.0), np.maximum(left - total_mm, 0.0), np.clip(left, 0.0, total_mm)
