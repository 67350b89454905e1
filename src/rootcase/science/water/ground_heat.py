"""Heat that goes into the ground, where the time step is not a day."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.atmosphere import COLDEST_C, HOTTEST_C
from rootcase.science.water.reference_et import MM_PER_MJ_M2


def ground_heat_of_month_mj_m2_day(month_before_c: Numbers, month_after_c: Numbers) -> Lanes:
    """Heat into the ground in a month whose neighbours are both known.

    Parameters
    ----------
    month_before_c : scalar or one per lane, mean of the month before. [C], -60 to 60
    month_after_c : same shape, mean of the month after. [C], -60 to 60

    Returns
    -------
    same shape, into the ground positive. [MJ m-2 d-1]

    Raises
    ------
    OutOfRange : a temperature leaves its range.

    Notes
    -----
    The source writes G, T_month,i-1 and T_month,i+1. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 43
    (memory; its Example 13 seen).

    Examples
    --------
    >>> round(float(ground_heat_of_month_mj_m2_day(14.1, 18.8)), 2)
    0.33
    """
    return 0.07 * (within("month_after_c", month_after_c, COLDEST_C, HOTTEST_C, "C")
                   - within("month_before_c", month_before_c, COLDEST_C, HOTTEST_C, "C"))


def ground_heat_of_running_month_mj_m2_day(month_before_c: Numbers, month_c: Numbers) -> Lanes:
    """Heat into the ground in a month whose next is not known yet.

    Parameters
    ----------
    month_before_c : scalar or one per lane, mean of the month before. [C], -60 to 60
    month_c : same shape, mean of the month itself. [C], -60 to 60

    Returns
    -------
    same shape, into the ground positive. [MJ m-2 d-1]

    Raises
    ------
    OutOfRange : a temperature leaves its range.

    Notes
    -----
    The source writes G, T_month,i-1 and T_month,i. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 44
    (memory).

    Examples
    --------
    >>> round(float(ground_heat_of_running_month_mj_m2_day(14.1, 16.1)), 2)
    0.28
    """
    return 0.14 * (within("month_c", month_c, COLDEST_C, HOTTEST_C, "C")
                   - within("month_before_c", month_before_c, COLDEST_C, HOTTEST_C, "C"))


def ground_heat_of_hour_mj_m2_h(net_radiation_mj_m2_h: Numbers, by_day: Numbers, by_night: Numbers) -> Lanes:
    """Heat into the ground in an hour, as a share of the net radiation.

    Parameters
    ----------
    net_radiation_mj_m2_h : scalar or one per lane. [MJ m-2 h-1], -5 to 5; below 0 is night
    by_day : same shape, share while the cover gains. [-], 0 to 1
    by_night : same shape, share while it loses. [-], 0 to 1

    Returns
    -------
    same shape, into the ground positive. [MJ m-2 h-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Grass: 0.1 and 0.5. Tall crop: 0.04 and 0.2. That the sign of the net radiation parts day from night is
    the ASCE's rule; FAO-56 has the shares and not the rule.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, Eq. 45 and 46 (memory); ASCE-EWRI
    2005, The ASCE standardized reference evapotranspiration equation, Eq. 65 and 66 (seen in the source of refet
    0.5.0).

    Examples
    --------
    >>> ground_heat_of_hour_mj_m2_h([1.75, -0.2], 0.1, 0.5).round(3).tolist()
    [0.175, -0.1]
    """
    net = within("net_radiation_mj_m2_h", net_radiation_mj_m2_h, -5.0, 5.0, "MJ/m2/h")
    return net * np.where(net < 0.0, within("by_night", by_night, 0.0, 1.0, ""), within("by_day", by_day, 0.0, 1.0, ""))


def evaporated_by_mm(energy_mj_m2: Numbers) -> Lanes:
    """Water that an amount of energy would evaporate.

    Parameters
    ----------
    energy_mj_m2 : scalar or one per lane. [MJ m-2], -100 to 100

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : the energy leaves its range.

    Notes
    -----
    The latent heat is held at 2.45 MJ/kg as the source has it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 20
    (memory; its Example 13 seen).

    Examples
    --------
    >>> round(float(evaporated_by_mm(0.33)), 2)
    0.13
    """
    return MM_PER_MJ_M2 * within("energy_mj_m2", energy_mj_m2, -100.0, 100.0, "MJ/m2")
