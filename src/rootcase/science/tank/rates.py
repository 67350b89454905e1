"""From ground to litres: a drench, a grid of injection holes, so much a place."""

from __future__ import annotations

from math import sqrt
from typing import Literal

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.zones.containers import holes_on_grid

MOST_AREA_M2 = 1e6
MOST_RATE_L_M2 = 200.0
MOST_VOLUME_L = 1e8

Grid = Literal["square", "triangular"]
CELL: dict[Grid, float] = {"square": 1.0, "triangular": sqrt(3.0) / 2.0}
"""Ground of one hole, as so many squares of the spacing."""


def drench_l(area_m2: Numbers, rate_l_m2: Numbers) -> Lanes:
    """How much liquid an area takes at a rate.

    Parameters
    ----------
    area_m2 : treated; a ring round a trunk by `ring_area_m2`. [m2], 0 to 1,000,000
    rate_l_m2 : same shape; a litre on a square metre stands one millimetre deep. [L m-2], 0 to 200

    Returns
    -------
    broadcast shape. [L]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    What the soil does not take in runs off: below its intake, in several passes, none on slopes that shed it, on
    frozen or soaked ground, or onto paving that drains to water.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(drench_l(100.0, 4.0))
    400.0
    """
    return np.asarray(within("area_m2", area_m2, 0.0, MOST_AREA_M2, "m2")
                      * within("rate_l_m2", rate_l_m2, 0.0, MOST_RATE_L_M2, "L/m2"))


def applied_l_m2(volume_l: Numbers, area_m2: Numbers) -> Lanes:
    """Which rate a volume on an area comes to; in millimetres, how deep it would stand.

    Parameters
    ----------
    volume_l : put on. [L], 0 to 100,000,000
    area_m2 : same shape, that got it. [m2], 0.01 to 1,000,000

    Returns
    -------
    broadcast shape. [L m-2], which is [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The mean: how evenly it lay is told by `evenness`. A hand sprayer or hose end is calibrated so, over measured
    ground and into a bucket for as long.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(applied_l_m2(400.0, 100.0))
    4.0
    """
    return np.asarray(within("volume_l", volume_l, 0.0, MOST_VOLUME_L, "L")
                      / within("area_m2", area_m2, 0.01, MOST_AREA_M2, "m2"))


def holes_per_m2(spacing_m: Numbers, grid: Grid) -> Lanes:
    """How many injection holes a grid has on a square metre.

    Parameters
    ----------
    spacing_m : between a hole and the next. [m], 0.1 to 10
    grid : "square", or "triangular" with every second row moved by half

    Returns
    -------
    same shape. [m-2]

    Raises
    ------
    OutOfRange : the spacing leaves its range.

    Notes
    -----
    The same spacing on a triangular grid takes 15 % more holes. Before anything is pushed into the ground, have
    utilities located and marked as local law asks; stay off the trunk flare and buttress roots; stop where liquid comes
    back up. Liquid under pressure cuts skin: gloves, eye protection, and nobody's hand near the tip.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(holes_per_m2(0.5, "square")), round(float(holes_per_m2(0.5, "triangular")), 2)
    (4.0, 4.62)
    """
    return np.asarray(holes_on_grid(1.0, spacing_m) / CELL[grid])


def hole_count(area_m2: Numbers, spacing_m: Numbers, grid: Grid) -> Lanes:
    """How many injection holes an area takes.

    Parameters
    ----------
    area_m2 : treated; a ring round a trunk by `ring_area_m2`. [m2], 0 to 1,000,000
    spacing_m : same shape. [m], 0.1 to 10
    grid : "square" or "triangular"

    Returns
    -------
    broadcast shape. [-], whole; one at least where there is ground

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Area over the ground of a hole, rounded; what lies across the edge of a small bed may move it by a few.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(hole_count(114.1, 0.762, "square"))
    197.0
    """
    area = within("area_m2", area_m2, 0.0, MOST_AREA_M2, "m2")
    return np.asarray(np.where(area > 0.0, np.maximum(np.floor(area * holes_per_m2(spacing_m, grid) + 0.5), 1.0), 0.0))


def litres_per_hole(rate_l_m2: Numbers, spacing_m: Numbers, grid: Grid) -> Lanes:
    """How much liquid goes into one hole.

    Parameters
    ----------
    rate_l_m2 : over the ground. [L m-2], 0 to 200
    spacing_m : same shape. [m], 0.1 to 10
    grid : "square" or "triangular"

    Returns
    -------
    broadcast shape. [L]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    None.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(litres_per_hole(4.0, 0.5, "square"))
    1.0
    """
    return np.asarray(within("rate_l_m2", rate_l_m2, 0.0, MOST_RATE_L_M2, "L/m2") / holes_per_m2(spacing_m, grid))


def seconds_per_hole(litres: Numbers, flow_l_min: Numbers) -> Lanes:
    """How long the tip stays in a hole.

    Parameters
    ----------
    litres : of one hole. [L], 0 to 1,000
    flow_l_min : same shape, at the tip and the working pressure. [L/min], 0.01 to 5,000

    Returns
    -------
    broadcast shape. [s]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The flow is caught in a bucket at the pressure of the work, not read from the pump's plate.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(seconds_per_hole(2.0, 16.0))
    7.5
    """
    return np.asarray(60.0 * within("litres", litres, 0.0, 1000.0, "L")
                      / within("flow_l_min", flow_l_min, 0.01, 5000.0, "L/min"))


def injection_min(holes: Numbers, litres: Numbers, flow_l_min: Numbers, between_s: Numbers) -> Lanes:
    """How long does it take to inject so many holes?

    Parameters
    ----------
    holes : as `hole_count` gives them; scalar or one per lane. [-], 0 to 1,000,000
    litres : same shape, of one hole. [L], 0 to 1,000
    flow_l_min : same shape, at the tip and the working pressure. [L/min], 0.01 to 5,000
    between_s : same shape, from one hole to the next. [s], 0 to 600

    Returns
    -------
    broadcast shape, one probe, setting up and refilling not counted. [min]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A rule of thumb of the trade is an hour for 100 gallons (one practitioner's word); in hard or stony ground the
    probe takes longer than the liquid.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> round(float(injection_min(160.0, 1.8927, 7.5708, 5.0)), 2)
    53.33
    """
    each = seconds_per_hole(litres, flow_l_min) + within("between_s", between_s, 0.0, 600.0, "s")
    return np.asarray(within("holes", holes, 0.0, 1e6, "") * each / 60.0)


def for_places_l(litres_each: Numbers, places: Numbers) -> Lanes:
    """How much liquid so many holes or trees take together.

    Parameters
    ----------
    litres_each : of one. [L], 0 to 100,000
    places : same shape, how many. [-], 0 to 1,000,000

    Returns
    -------
    broadcast shape. [L]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    None.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(for_places_l(1.5, 6))
    9.0
    """
    return np.asarray(within("litres_each", litres_each, 0.0, 1e5, "L") * within("places", places, 0.0, 1e6, ""))
