"""The yearly wave of warmth going down into the soil, and what roots do at which temperature."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

YEAR_DAYS = 365.0
DAY_S = 86_400.0


class Wave(NamedTuple):
    """Half the yearly swing at a depth [degC] and how much later than at the surface it comes [day]."""

    amplitude_c: Lanes
    lag_days: Lanes


def damping_depth_m(diffusivity_m2_s: Numbers, period_s: Numbers) -> Lanes:
    """At which depth a swing of temperature has shrunk to 1/e.

    Parameters
    ----------
    diffusivity_m2_s : scalar or one per lane, thermal; 0.3e-6 dry to 0.8e-6 moist. [m2 s-1], 5e-8 to 2e-6
    period_s : same shape, of the swing. [s], 60 to 1e9

    Returns
    -------
    same shape. [m]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    d = sqrt(kappa P / pi), for a soil that is the same all the way down.

    References
    ----------
    Campbell and Norman 1998, An introduction to environmental biophysics, chapter 2 (memory).

    Examples
    --------
    >>> round(float(damping_depth_m(0.5e-6, 365 * 86_400)), 4)
    2.2403
    """
    diffusivity = within("diffusivity_m2_s", diffusivity_m2_s, 5e-8, 2e-6, "m2/s")
    return np.asarray(np.sqrt(diffusivity * within("period_s", period_s, 60.0, 1e9, "s") / np.pi))


def yearly_wave(depth_m: Numbers, amplitude_c: Numbers, diffusivity_m2_s: Numbers) -> Wave:
    """How much of the year's swing reaches a depth, and how late.

    Parameters
    ----------
    depth_m : scalar or one per lane. [m], 0 to 50
    amplitude_c : same shape, half the swing between the surface's warmest and coldest day. [degC_diff], 0 to 40
    diffusivity_m2_s : same shape. [m2 s-1], 5e-8 to 2e-6

    Returns
    -------
    Wave(amplitude_c, lag_days), same shape. [degC_diff], [day]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A year of 365 days. Mulch, snow and shade make the surface's own swing smaller than the air's.

    References
    ----------
    Campbell and Norman 1998, An introduction to environmental biophysics, chapter 2 (memory).

    Examples
    --------
    >>> [round(float(part), 2) for part in yearly_wave(1.0, 12.0, 0.5e-6)]
    [7.68, 25.93]
    """
    depths = within("depth_m", depth_m, 0.0, 50.0, "m") / damping_depth_m(diffusivity_m2_s, YEAR_DAYS * DAY_S)
    amplitude = within("amplitude_c", amplitude_c, 0.0, 40.0, "degC")
    return Wave(np.asarray(amplitude * np.exp(-depths)), np.asarray(depths * YEAR_DAYS / (2.0 * np.pi)))


def soil_temperature_c(day: Numbers, depth_m: Numbers, mean_c: Numbers, amplitude_c: Numbers, coldest_day: Numbers,
                       diffusivity_m2_s: Numbers) -> Lanes:
    """How warm the soil is at a depth on a day of a usual year.

    Parameters
    ----------
    day : scalar or one per lane, of the year. [day], 0 to 3,660
    depth_m : same shape. [m], 0 to 50
    mean_c : same shape, of the year at the surface. [degC], -30 to 40
    amplitude_c : same shape, half the swing at the surface. [degC_diff], 0 to 40
    coldest_day : same shape, of the surface: about 20 in the north, 200 in the south. [day], 0 to 366
    diffusivity_m2_s : same shape. [m2 s-1], 5e-8 to 2e-6

    Returns
    -------
    same shape. [degC]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    T = T_a - A_0 exp(-z/d) cos(2 pi (t - t_min) / 365 - z/d): one wave a year, no weather, no frost taken up or set
    free, the same mean at every depth.

    References
    ----------
    Campbell and Norman 1998, An introduction to environmental biophysics, chapter 2, Eq. 2.4 with its sine turned
    into a cosine from the coldest day (memory).

    Examples
    --------
    >>> round(float(soil_temperature_c(110.0, 0.3, 10.0, 12.0, 20.0, 0.5e-6)), 3)
    8.375
    """
    wave = yearly_wave(depth_m, amplitude_c, diffusivity_m2_s)
    since_coldest = (within("day", day, 0.0, 3660.0, "day") - within("coldest_day", coldest_day, 0.0, 366.0, "day")
                     - wave.lag_days)
    mean = within("mean_c", mean_c, -30.0, 40.0, "degC")
    return np.asarray(mean - wave.amplitude_c * np.cos(2.0 * np.pi * since_coldest / YEAR_DAYS))


def root_growth_temperature_c(mark: str) -> float:
    """At which temperature of the soil the growth of tree roots begins, hastens or stops.

    Parameters
    ----------
    mark : "begins", "fast_from", "fastest", "firs_none", "hardly_any_below" or "most_above"

    Returns
    -------
    the soil's temperature. [degC]

    Raises
    ------
    Missing : no such mark.

    Notes
    -----
    Two papers on other species: 5 begins and 10 is fast for conifers of the west; below 6 hardly any and above 9 most
    for six trees of Europe.

    References
    ----------
    Table warmth/root_growth, a source each row.

    Examples
    --------
    >>> root_growth_temperature_c("fastest")
    20.0
    """
    return float(table("warmth/root_growth").row(mark=mark)["soil_temperature_c"])
