"""How full of water the upper soil is from day to day, what stands above its hold among it."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.balance_single import single_day


class UpperSoil(NamedTuple):
    """What the upper soil holds and how it drains."""

    total_mm: float
    """Between wilting point and field capacity."""
    room_mm: float
    """Between field capacity and full of water."""
    drains_mm_day: float
    """Of what stands above field capacity."""
    coefficient: float
    """What its cover takes of the reference; dimensionless."""
    depletion_share: float
    """Lost without thirst; dimensionless."""


class Wet(NamedTuple):
    """Water of the upper soil at one moment [mm]."""

    depletion_mm: float
    above_mm: float


def fullness(wet: Wet, soil: UpperSoil) -> float:
    """Water between wilting point and what is there, over what the soil holds against gravity.

    Parameters
    ----------
    wet : the water there is. [mm]
    soil : what it holds. [mm]

    Returns
    -------
    0 at the wilting point, 1 at field capacity, above 1 where water stands in it that drains; dimensionless.

    Raises
    ------
    None

    Notes
    -----
    Where water stands above field capacity the depletion of the day is passed over: it is drawn from that.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> soil = UpperSoil(40.0, 30.0, 10.0, 0.85, 0.4)
    >>> fullness(Wet(10.0, 0.0), soil), fullness(Wet(0.0, 10.0), soil)
    (0.75, 1.25)
    """
    return 1.0 + wet.above_mm / soil.total_mm if wet.above_mm > 0.0 else 1.0 - wet.depletion_mm / soil.total_mm


def wet_of(full: float, soil: UpperSoil) -> Wet:
    """The water of a fullness, as somebody felt it.

    Parameters
    ----------
    full : see `fullness`; dimensionless, 0 to 10
    soil : what it holds. [mm]

    Returns
    -------
    Wet; no more than there is room for. [mm]

    Raises
    ------
    OutOfRange : full leaves its range.

    Notes
    -----
    None

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> wet_of(0.75, UpperSoil(40.0, 30.0, 10.0, 0.85, 0.4))
    Wet(depletion_mm=10.0, above_mm=0.0)
    """
    full = float(within("full", full, 0.0, 10.0, ""))
    return Wet(max(1.0 - full, 0.0) * soil.total_mm, min(max(full - 1.0, 0.0) * soil.total_mm, soil.room_mm))


def next_day(wet: Wet, rain_mm: float, reference_mm: float, soil: UpperSoil) -> Wet:
    """The water at the end of a day.

    Parameters
    ----------
    wet : at its start. [mm]
    rain_mm : of the day. [mm], 0 to 2000
    reference_mm : reference evapotranspiration of the day. [mm], 0 to 30
    soil : what it holds and how it drains.

    Returns
    -------
    Wet. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The balance with one coefficient; what it lets percolate is held above field capacity first and drains by a steady
    amount a day. Nothing stands higher than the soil has room for: the rest runs off. No frost, no water from below.

    References
    ----------
    `single_day`: Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, Eq. 85 to 88; that what
    percolates takes days is JUDGEMENT.

    Examples
    --------
    >>> soil = UpperSoil(40.0, 30.0, 10.0, 0.85, 0.4)
    >>> next_day(Wet(10.0, 0.0), 30.0, 4.0, soil)
    Wet(depletion_mm=0.0, above_mm=16.6)
    """
    day = single_day(wet.depletion_mm, rain_mm, 0.0, reference_mm, soil.coefficient, soil.total_mm,
                     soil.depletion_share)
    above = max(wet.above_mm - soil.drains_mm_day, 0.0) + float(day.percolation_mm)
    return Wet(float(day.depletion_mm), min(above, soil.room_mm))


def rain_carried(errors_mm: Numbers) -> Lanes:
    """How far water in the ground is off by the rain that was forecast.

    Parameters
    ----------
    errors_mm : standard error of each day's rain in order; 0 where it was observed. [mm]

    Returns
    -------
    at the end of each day. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Rain of one day says little of the next: the squares add up.

    References
    ----------
    Error of a sum of independent figures (computed).

    Examples
    --------
    >>> rain_carried([0.0, 3.0, 4.0]).tolist()
    [0.0, 3.0, 5.0]
    """
    return np.asarray(np.sqrt(np.cumsum(np.square(within("errors_mm", errors_mm, 0.0, 500.0, "mm")))))
