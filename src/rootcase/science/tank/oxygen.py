"""How long the oxygen of a vat lasts, from its own readings."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.special import ndtri, stdtrit

from rootcase.ground.errors import ImpossibleValue, OutOfRange
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

MOST_OXYGEN_MG_L = 40.0
MOST_UPTAKE_MG_L_H = 2000.0


class Uptake(NamedTuple):
    """Oxygen used up in an hour, with the ends of its 95 % interval. [mg L-1 h-1]"""

    rate: float
    low: float
    high: float


def share_of_saturation_pct(oxygen_mg_l: Numbers, saturation_mg_l: Numbers) -> Lanes:
    """How full of oxygen water is, or a refusal where it holds more than air can give it.

    Parameters
    ----------
    oxygen_mg_l : read. [mg/L], 0 to 40
    saturation_mg_l : same shape, at the water's temperature and the place's pressure, see
        `saturation_at_pressure_mg_l`. [mg/L], 0.1 to 20

    Returns
    -------
    same shape. [%], 0 to 105

    Raises
    ------
    OutOfRange : a value leaves its range.
    ImpossibleValue : a reading lies above saturation by more than the margin.

    Notes
    -----
    The margin, 5 %, allows for air that was just stirred in and for the meter. Algae in the sun and bottled oxygen go
    beyond it; a vat of extract under a blower has neither, so the meter is calibrated and the reading taken again.

    References
    ----------
    Margin: table observe/agreements, oxygen_saturation, JUDGEMENT.

    Examples
    --------
    >>> float(share_of_saturation_pct(6.9, 9.2))
    75.0
    """
    oxygen = within("oxygen_mg_l", oxygen_mg_l, 0.0, MOST_OXYGEN_MG_L, "mg/L")
    saturation = within("saturation_mg_l", saturation_mg_l, 0.1, 20.0, "mg/L")
    oxygen, saturation = np.broadcast_arrays(oxygen, saturation)
    share = 100.0 * oxygen / saturation
    too_full = share > table("observe/agreements").row(name="oxygen_saturation")["high"]
    if too_full.any():
        read, holds = float(oxygen[too_full].flat[0]), float(saturation[too_full].flat[0])
        raise ImpossibleValue("oxygen above what water here holds", value=f"{read:g} mg/L, it holds {holds:.1f}",
                              right="calibrate the meter in moist air at the pressure of the place and read again")
    return np.asarray(share)


def oxygen_uptake_mg_l_h(hours: Numbers, oxygen_mg_l: Numbers, meter_sd_mg_l: float) -> Uptake:
    """How fast a vat uses its oxygen, from readings with the air off.

    Parameters
    ----------
    hours : when each reading was taken, two or more. [h], 0 to 1,000
    oxygen_mg_l : one for each. [mg/L], 0 to 40
    meter_sd_mg_l : how far one reading of this meter strays, one standard deviation. [mg/L], 0.01 to 5

    Returns
    -------
    Uptake(rate, low, high). [mg L-1 h-1]; a lower end below 0 means that the readings do not show any use

    Raises
    ------
    OutOfRange : a value leaves its range, there are not as many times as readings, fewer than two, or all at one time.

    Notes
    -----
    Slope of the least-squares line. The interval is the wider of two: what the meter's own error leaves, and, from
    three readings on, what their scatter leaves (Student's t). Two readings therefore never look surer than the meter.
    The rate holds while there is oxygen; below some 1 to 2 mg/L use slows (memory) and such readings are left out.

    References
    ----------
    Slope and its standard error: least squares (computed); taking the wider interval: JUDGEMENT.

    Examples
    --------
    >>> [round(value, 2) for value in oxygen_uptake_mg_l_h([0.0, 0.25], [8.2, 6.4], 0.1)]
    [7.2, 6.09, 8.31]
    """
    times = np.atleast_1d(within("hours", hours, 0.0, 1000.0, "h"))
    oxygen = np.atleast_1d(within("oxygen_mg_l", oxygen_mg_l, 0.0, MOST_OXYGEN_MG_L, "mg/L"))
    meter_sd = float(within("meter_sd_mg_l", meter_sd_mg_l, 0.01, 5.0, "mg/L"))
    if times.shape != oxygen.shape or times.size < 2 or np.ptp(times) == 0.0:
        raise OutOfRange("uptake needs two readings or more at different times", right="one time for each reading",
                         value=f"{times.size} times, {oxygen.size} readings, over {np.ptp(times):g} h")
    since = times - times.mean()
    spread = float(np.sqrt(since @ since))
    slope = float(since @ oxygen) / spread**2
    half = float(ndtri(0.975)) * meter_sd / spread
    if times.size > 2:
        left = oxygen - oxygen.mean() - slope * since
        free = times.size - 2
        half = max(half, float(stdtrit(free, 0.975)) * float(np.sqrt(left @ left / free)) / spread)
    return Uptake(-slope, -slope - half, -slope + half)


def hours_to_floor(oxygen_mg_l: Numbers, floor_mg_l: Numbers, uptake_mg_l_h: Numbers) -> Lanes:
    """How long a vat stays above an oxygen floor once its air is off.

    Parameters
    ----------
    oxygen_mg_l : now. [mg/L], 0 to 40
    floor_mg_l : same shape, the practice's own limit. [mg/L], 0 to 15
    uptake_mg_l_h : same shape, see `oxygen_uptake_mg_l_h`; its upper end for the hours one can count on.
        [mg L-1 h-1], -2000 to 2000

    Returns
    -------
    broadcast shape. [h]; 0 at or below the floor, infinite where no use was found

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Nothing taken up from the air meanwhile. A floor of 5 to 6 mg/L is usual; no trial stands behind it. Warm tanks use
    oxygen faster: a rate read in the cool of the yard does not hold in the sun. An answer longer than the hour of
    `holding_limit_h` is evidence for the practice's own limit, not a limit.

    References
    ----------
    Arithmetic (computed); the usual floor: common practice, no source.

    Examples
    --------
    >>> hours_to_floor(8.5, [5.0, 9.0], 7.0).tolist()
    [0.5, 0.0]
    """
    above = np.maximum(within("oxygen_mg_l", oxygen_mg_l, 0.0, MOST_OXYGEN_MG_L, "mg/L")
                       - within("floor_mg_l", floor_mg_l, 0.0, 15.0, "mg/L"), 0.0)
    used = within("uptake_mg_l_h", uptake_mg_l_h, -MOST_UPTAKE_MG_L_H, MOST_UPTAKE_MG_L_H, "mg/L/h")
    above, used = np.broadcast_arrays(above, used)
    hours = np.where(above > 0.0, np.inf, 0.0)
    return np.divide(above, used, out=hours, where=used > 0.0)


def steady_oxygen_mg_l(saturation_mg_l: Numbers, uptake_mg_l_h: Numbers, transfer_per_h: Numbers) -> Lanes:
    """Where the oxygen of a vat settles while its blower runs.

    Parameters
    ----------
    saturation_mg_l : see `saturation_at_pressure_mg_l`. [mg/L], 0.1 to 20
    uptake_mg_l_h : same shape. [mg L-1 h-1], 0 to 2000
    transfer_per_h : same shape, how fast the blower fills the vat (kLa). [h-1], 0.01 to 1000

    Returns
    -------
    broadcast shape. [mg/L]; 0 where the blower cannot keep up

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    From kLa (Cs - C) = OUR.

    References
    ----------
    Two-film gas transfer at steady state (memory); arithmetic (computed).

    Examples
    --------
    >>> round(float(steady_oxygen_mg_l(9.09, 20.0, 6.0)), 2)
    5.76
    """
    lag = (within("uptake_mg_l_h", uptake_mg_l_h, 0.0, MOST_UPTAKE_MG_L_H, "mg/L/h")
           / within("transfer_per_h", transfer_per_h, 0.01, 1000.0, "1/h"))
    return np.maximum(within("saturation_mg_l", saturation_mg_l, 0.1, 20.0, "mg/L") - lag, 0.0)
