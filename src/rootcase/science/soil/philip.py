"""Water going into flooded ground by Philip: suction first, gravity in the end."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.errors import require_order
from rootcase.science.lanes import Lanes, Numbers, within

LONGEST_H = 1000.0


class Intake(NamedTuple):
    """Sorptivity [mm h-0.5] and the steady term [mm h-1]."""

    sorptivity: Lanes
    steady_mm_h: Lanes


def philip_depth_mm(sorptivity: Numbers, steady_mm_h: Numbers, time_h: Numbers) -> Lanes:
    """How much water has gone in since the ground was flooded.

    Parameters
    ----------
    sorptivity : scalar or one per lane. [mm h-0.5], 0 to 10,000
    steady_mm_h : same shape. [mm h-1], 0 to 10,000
    time_h : same shape. [h], 0 to 1,000

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes I = S t^1/2 + A t, the first two terms of a series: good for hours, not for days. A is less than
    the saturated conductivity.

    References
    ----------
    Philip 1957, The theory of infiltration: 4. Sorptivity and algebraic infiltration equations, Soil Sci. 84:257-264
    (memory).

    Examples
    --------
    >>> float(philip_depth_mm(30.0, 20.0, 0.25))
    20.0
    """
    time = within("time_h", time_h, 0.0, LONGEST_H, "h")
    return _sorptivity(sorptivity) * np.sqrt(time) + _steady(steady_mm_h) * time


def philip_rate_mm_h(sorptivity: Numbers, steady_mm_h: Numbers, time_h: Numbers) -> Lanes:
    """How fast water goes in, so long after the ground was flooded.

    Parameters
    ----------
    sorptivity : scalar or one per lane. [mm h-0.5], 0 to 10,000
    steady_mm_h : same shape. [mm h-1], 0 to 10,000
    time_h : same shape. [h], 0.0001 to 1,000; at the very start the rate has no bound

    Returns
    -------
    same shape. [mm h-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes i = S / (2 t^1/2) + A, the slope of `philip_depth_mm`.

    References
    ----------
    Philip 1957, The theory of infiltration: 4. Sorptivity and algebraic infiltration equations, Soil Sci. 84:257-264
    (memory).

    Examples
    --------
    >>> float(philip_rate_mm_h(30.0, 20.0, 1.0))
    35.0
    """
    time = within("time_h", time_h, 0.0001, LONGEST_H, "h")
    return _sorptivity(sorptivity) / (2.0 * np.sqrt(time)) + _steady(steady_mm_h)


def philip_from_two_readings(
    first_time_h: Numbers, first_depth_mm: Numbers, second_time_h: Numbers, second_depth_mm: Numbers
) -> Intake:
    """Which sorptivity and steady term two readings in one ring stand for.

    Parameters
    ----------
    first_time_h : scalar or one per lane, since the ring was flooded. [h], 0.0001 to 1,000
    first_depth_mm : same shape, gone in by then. [mm], 0 to 10,000
    second_time_h : same shape, later than the first. [h], 0.0001 to 1,000
    second_depth_mm : same shape, gone in since the start. [mm], 0 to 10,000

    Returns
    -------
    Intake(sorptivity, steady_mm_h). [mm h-0.5], [mm h-1]

    Raises
    ------
    OutOfRange : a value leaves its range, the times are not in order, or the readings do not follow the law: intake
        that grew faster with time, or stopped, gives a term below 0.

    Notes
    -----
    I / t^1/2 is a straight line over t^1/2; two readings fix it and leave nothing to tell how well it fits.

    References
    ----------
    Philip 1957, The theory of infiltration: 4. Sorptivity and algebraic infiltration equations, Soil Sci. 84:257-264
    (memory).

    Examples
    --------
    >>> [float(part) for part in philip_from_two_readings(0.25, 20.0, 1.0, 50.0)]
    [30.0, 20.0]
    """
    first_root = np.sqrt(within("first_time_h", first_time_h, 0.0001, LONGEST_H, "h"))
    second_root = np.sqrt(within("second_time_h", second_time_h, 0.0001, LONGEST_H, "h"))
    require_order("first_time_h", first_time_h, "second_time_h", second_time_h, "h")
    first = within("first_depth_mm", first_depth_mm, 0.0, 10_000.0, "mm") / first_root
    second = within("second_depth_mm", second_depth_mm, 0.0, 10_000.0, "mm") / second_root
    steady = (second - first) / (second_root - first_root)
    return Intake(_sorptivity(first - steady * first_root), _steady(steady))


def _sorptivity(values: Numbers) -> Lanes:
    return within("sorptivity", values, 0.0, 10_000.0, "mm/h^0.5")


def _steady(values: Numbers) -> Lanes:
    return within("steady_mm_h", values, 0.0, 10_000.0, "mm/h")
