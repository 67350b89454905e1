"""Geometry on the flat ground of a property: metres east and north of its origin."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from rootcase.ground.errors import OutOfRange, require_range
from rootcase.ground.words import say
from rootcase.science.lanes import Lanes, within

FAR_M = 5_000.0
"""A property has no corner farther from its origin. JUDGEMENT: what is beyond is a slip of the hand."""
_NEAREST_M, _NEAREST_PX = 0.5, 10.0
"""Two points nearer to each other give no scale: a slip of one pixel would turn the picture by degrees. JUDGEMENT."""
_HALF_TURN_DEG = 180.0


def outline_area_m2(outline_m: ArrayLike) -> float:
    """How much ground does an outline hold?

    Parameters
    ----------
    outline_m : corners in order, one (east, north) a row, at least three. [m], within 5 km of the origin

    Returns
    -------
    float. [m2]

    Raises
    ------
    OutOfRange : a corner is farther away.

    Notes
    -----
    The sum of cross products, halved; reckoned from the first corner, so that ground far from the origin loses no
    figures.

    References
    ----------
    Area of a polygon from its corners: geometry (computed).

    Examples
    --------
    >>> outline_area_m2([(0, 0), (10, 0), (10, 5), (0, 5)])
    50.0
    """
    corners = within("outline", outline_m, -FAR_M, FAR_M, "m")
    east, north = (corners - corners[0]).T
    return float(abs(east @ np.roll(north, -1) - north @ np.roll(east, -1)) / 2)


def first_crossing(outline_m: ArrayLike) -> tuple[int, int] | None:
    """Which two sides of an outline cross or touch each other first?

    Parameters
    ----------
    outline_m : corners in order, one (east, north) a row, at least three, no two neighbours alike. [m], within 5 km

    Returns
    -------
    tuple of two, or None where the outline is simple. The sides by number from 0: side 0 leads from the first corner to
    the second, the last one back to the first.

    Raises
    ------
    OutOfRange : a corner is farther away.

    Notes
    -----
    Neighbours share their corner; they cross only where one runs back along the other. On which side of a line a corner
    lies is one cross product.

    References
    ----------
    Two segments cross where each parts the other's ends: geometry (computed).

    Examples
    --------
    >>> first_crossing([(0, 0), (10, 0), (10, 5), (0, 5)])
    >>> first_crossing([(0, 0), (10, 5), (10, 0), (0, 5)])
    (0, 2)
    """
    start = within("outline", outline_m, -FAR_M, FAR_M, "m")
    end, count = np.roll(start, -1, axis=0), len(start)
    way = end - start
    # Side i, corner j: positive where the corner lies to the left.
    starts = np.sign(_cross(way[:, None], start[None] - start[:, None]))
    ends = np.sign(_cross(way[:, None], end[None] - start[:, None]))
    parts = (starts * ends <= 0) & (starts * ends <= 0).T & _boxes_meet(start, end)
    here, there = np.triu_indices(count, 1)
    beside = (there - here == 1) | (there - here == count - 1)
    back = (_cross(way[here], way[there]) == 0) & ((way[here] * way[there]).sum(axis=1) < 0)
    wrong = np.flatnonzero(np.where(beside, back, parts[here, there]))
    return (int(here[wrong[0]]), int(there[wrong[0]])) if wrong.size else None


def from_outline_m(east_m: float, north_m: float, outline_m: ArrayLike) -> float:
    """How far is a point from outlined ground?

    Parameters
    ----------
    east_m, north_m : the point. [m]
    outline_m : corners in order, one (east, north) a row, at least three. [m]

    Returns
    -------
    float. [m]; 0 within the ground

    Raises
    ------
    Nothing.

    Notes
    -----
    Within: a line east from the point crosses the outline an odd number of times.

    References
    ----------
    Distance of a point from a segment, and crossings counted: geometry (computed).

    Examples
    --------
    >>> square = [(10, 0), (10, 20), (30, 20), (30, 0)]
    >>> from_outline_m(4.0, 5.0, square), from_outline_m(20.0, 10.0, square), from_outline_m(33.0, 24.0, square)
    (6.0, 0.0, 5.0)
    """
    start = np.asarray(outline_m, dtype=float) - (east_m, north_m)
    end = np.roll(start, -1, axis=0)
    way = end - start
    over = (start[:, 1] > 0.0) != (end[:, 1] > 0.0)
    at = start[over, 0] - way[over, 0] * start[over, 1] / way[over, 1]
    if np.count_nonzero(at > 0.0) % 2:
        return 0.0
    lengths = (way**2).sum(axis=1)
    along = np.clip(-(start * way).sum(axis=1) / np.where(lengths > 0.0, lengths, 1.0), 0.0, 1.0)
    return float(np.sqrt(((start + along[:, None] * way) ** 2).sum(axis=1)).min())


def similarity(first_px: tuple[float, float], second_px: tuple[float, float], first_m: tuple[float, float],
               second_m: tuple[float, float]) -> tuple[float, float, float, float]:
    """Where does a picture from above lie, if two of its points are known on the ground?

    Parameters
    ----------
    first_px, second_px : the points in the picture, right and down from its upper left corner. [px], 10 apart or more
    first_m, second_m : the same points on the ground, east and north. [m], 0.5 apart or more, within 5 km

    Returns
    -------
    tuple of four. Scale [m px-1]; where the upper edge points, clockwise from north [deg], -180 to 180; the upper left
    corner, east and north [m]

    Raises
    ------
    OutOfRange : the points are too near to each other, or too far from the origin.

    Notes
    -----
    A turn, one scale and a shift, which two points settle exactly; a picture taken aslant needs more.

    References
    ----------
    Plane similarity from two points: geometry (computed).

    Examples
    --------
    >>> [round(part, 3) for part in similarity((0, 0), (100, 0), (5, 7), (5, 57))]
    [0.5, -90.0, 5.0, 7.0]
    """
    require_range("position", (*first_m, *second_m), -FAR_M, FAR_M, "m")
    step_px = complex(second_px[0] - first_px[0], first_px[1] - second_px[1])
    step_m = complex(second_m[0] - first_m[0], second_m[1] - first_m[1])
    for name, step, nearest, unit in ((say("ground.picture_points"), step_px, _NEAREST_PX, "px"),
                                      (say("ground.ground_points"), step_m, _NEAREST_M, "m")):
        if abs(step) < nearest:
            raise OutOfRange(say("ground.too_near", what=name), value=f"{abs(step):.3g} {unit}",
                             right=say("ground.right_apart", least=f"{nearest:g} {unit}"))
    turn = step_m / step_px
    corner = complex(*first_m) - turn * complex(first_px[0], -first_px[1])
    return abs(turn), -math.degrees(math.atan2(turn.imag, turn.real)), corner.real, corner.imag


def in_picture_m(right_px: ArrayLike, down_px: ArrayLike, scale_m_px: float, turned_deg: float, east_m: float,
                 north_m: float) -> tuple[Lanes, Lanes]:
    """Where on the ground are points of a picture from above?

    Parameters
    ----------
    right_px, down_px : scalar or array: from its upper left corner. [px]
    scale_m_px : its scale, above 0. [m px-1]
    turned_deg : where its upper edge points, clockwise from north. [deg], -180 to 180
    east_m, north_m : its upper left corner. [m]

    Returns
    -------
    tuple of two arrays of that shape. East and north [m]

    Raises
    ------
    OutOfRange : the turn leaves its range.

    Notes
    -----
    The way back from `similarity`.

    References
    ----------
    Plane similarity: geometry (computed).

    Examples
    --------
    >>> east, north = in_picture_m(100.0, 0.0, 0.5, -90.0, 5.0, 7.0)
    >>> round(float(east), 9), round(float(north), 9)
    (5.0, 57.0)
    """
    require_range("turn", turned_deg, -_HALF_TURN_DEG, _HALF_TURN_DEG, "deg")
    right, down = np.asarray(right_px, dtype=float), np.asarray(down_px, dtype=float)
    cos, sin = math.cos(math.radians(turned_deg)), math.sin(math.radians(turned_deg))
    return (east_m + scale_m_px * (right * cos - down * sin), north_m - scale_m_px * (right * sin + down * cos))


def _cross(first: Lanes, second: Lanes) -> Lanes:
    return np.asarray(first[..., 0] * second[..., 1] - first[..., 1] * second[..., 0])


def _boxes_meet(start: Lanes, end: Lanes) -> np.ndarray[tuple[int, int], np.dtype[np.bool_]]:
    """Whether the boxes round two sides have a point in common; what lies on one line meets only there."""
    low, high = np.minimum(start, end), np.maximum(start, end)
    return np.asarray(((low[:, None] <= high[None]) & (low[None] <= high[:, None])).all(axis=2))
