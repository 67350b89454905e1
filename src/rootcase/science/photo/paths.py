"""Lines from point to point: made smooth, and measured."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np

from rootcase.science.lanes import Lanes, Numbers
from rootcase.science.photo.kernel import compiled

ENDS_AT = 4.0
"""Standard deviations at which a Gaussian along a path is cut off: beyond lies less than a ten-thousandth of it."""


def smoothed(pixels: Numbers, scale_px: float) -> Lanes:
    """A path of pixels as a smooth line with the same ends.

    Parameters
    ----------
    pixels : two or more points in order, (row, column) a row. [px]
    scale_px : standard deviation of the Gaussian along the path. [px], above 0

    Returns
    -------
    same shape. [px]

    Raises
    ------
    Nothing.

    Notes
    -----
    Beyond each end the path goes on as its own image turned about that end, so that the end stays and a straight line
    stays straight. A bend of radius r shrinks by the share s^2 / (2 r^2).

    References
    ----------
    Gaussian smoothing of a curve's coordinates: Mokhtarian and Mackworth 1986, IEEE Trans. Pattern Anal. 8:34-43
    (memory); the share: computed.

    Examples
    --------
    >>> stairs = np.array([(at // 2, at) for at in range(40)])
    >>> bool(abs(smoothed(stairs, 4.0)[20, 0] - 9.75) < 0.01)
    True
    """
    return all_smoothed(pixels, np.array([0, len(np.asarray(pixels))]), scale_px)


def all_smoothed(pixels: Numbers, bounds: Any, scale_px: float) -> Lanes:
    """The pixels of many paths, each made a smooth line with the same ends.

    Parameters
    ----------
    pixels : of all paths one after another, (row, column) a row. [px]
    bounds : where each begins and the last ends
    scale_px : standard deviation of the Gaussian along the path. [px], above 0

    Returns
    -------
    same shape as the pixels. [px]

    Raises
    ------
    Nothing.

    Notes
    -----
    See `smoothed`.

    References
    ----------
    See `smoothed`.

    Examples
    --------
    >>> pixels = np.array([(2, at) for at in range(5)] + [(at, 7) for at in range(4)])
    >>> all_smoothed(pixels, np.array([0, 5, 9]), 2.0)[[0, 4, 5, 8]].tolist()
    [[2.0, 0.0], [2.0, 4.0], [0.0, 7.0], [3.0, 7.0]]
    """
    paths = np.ascontiguousarray(pixels, dtype=np.float64)
    lines = np.empty_like(paths)
    _smooth_all(paths, bounds, gaussian(scale_px), int(ENDS_AT * scale_px), lines)
    return lines


def bell(away: Numbers, scale: float) -> Lanes:
    """How high is a normal curve so far from its middle, over its height there?

    Parameters
    ----------
    away : one or several. [unit]
    scale : standard deviation, above 0. [unit]

    Returns
    -------
    same shape. [-], 0 to 1

    Raises
    ------
    ValueError : no number.

    Notes
    -----
    Whoever needs a sum of one divides by it.

    References
    ----------
    The normal density (computed).

    Examples
    --------
    >>> bell([0.0, 1.0], 1.0).round(4).tolist()
    [1.0, 0.6065]
    """
    return np.asarray(np.exp(-0.5 * (np.asarray(away) / scale) ** 2))


@cache
def gaussian(scale_px: float) -> Lanes:
    """What weights has a Gaussian along a path?

    Parameters
    ----------
    scale_px : its standard deviation. [px], above 0

    Returns
    -------
    one a step of a pixel, that of the middle in the middle; their sum is 1. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    Cut off at four standard deviations.

    References
    ----------
    The normal density (computed).

    Examples
    --------
    >>> gaussian(0.5).round(3).tolist()
    [0.0, 0.106, 0.787, 0.106, 0.0]
    """
    at = np.arange(int(ENDS_AT * scale_px + 0.5) + 1)
    weights = bell(at, scale_px)
    return np.asarray(np.concatenate([weights[:0:-1], weights]) / (weights[0] + 2.0 * weights[1:].sum()))


@compiled
def _smooth_all(paths: Any, bounds: Any, weights: Any, mirrored: int, lines: Any) -> None:
    radius = len(weights) // 2
    longest = 0
    for each in range(len(bounds) - 1):
        longest = max(longest, bounds[each + 1] - bounds[each])
    whole, line = np.empty(longest + 2 * radius), np.empty(longest)
    for each in range(len(bounds) - 1):
        start, last = bounds[each], bounds[each + 1] - 1
        count = last - start + 1
        reach = min(count - 1, mirrored)
        for axis in range(2):
            for at in range(radius):
                back = min(radius - at, reach)
                whole[at] = 2.0 * paths[start, axis] - paths[start + back, axis]
                on = min(at + 1, reach)
                whole[radius + count + at] = 2.0 * paths[last, axis] - paths[last - on, axis]
            for at in range(count):
                whole[radius + at] = paths[start + at, axis]
                line[at] = 0.0
            for tap in range(len(weights)):
                weight = weights[tap]
                for at in range(count):
                    line[at] += weight * whole[at + tap]
            line[0], line[count - 1] = paths[start, axis], paths[last, axis]
            for at in range(count):
                lines[start + at, axis] = line[at]


def path_length_px(points: Numbers) -> float:
    """The length of a path from point to point.

    Parameters
    ----------
    points : points in order, (row, column) or (x, y) a row. [px]

    Returns
    -------
    float. [px]

    Raises
    ------
    Nothing.

    Notes
    -----
    Of a path of pixels it is up to 8 % too long, of that path made smooth within 0.5 % at every angle.

    References
    ----------
    Distance between points: geometry; the figures: computed.

    Examples
    --------
    >>> path_length_px(np.array([[0, 0], [3, 4], [3, 6]]))
    7.0
    """
    path = np.ascontiguousarray(points, dtype=np.float64)
    return float(lengths_px(path, np.array([0, len(path)]))[0])


@compiled
def lengths_px(points: Any, bounds: Any) -> Any:
    """How long is each of many paths, from point to point?

    Parameters
    ----------
    points : of all paths one after another, (row, column) a row; floats. [px]
    bounds : where each begins and the last ends

    Returns
    -------
    one a path. [px]

    Raises
    ------
    Nothing.

    Notes
    -----
    See `path_length_px`.

    References
    ----------
    Distance between points: geometry (computed).

    Examples
    --------
    >>> lengths_px(np.array([[0.0, 0.0], [3.0, 4.0], [5.0, 5.0], [5.0, 6.0]]), np.array([0, 2, 4])).tolist()
    [5.0, 1.0]
    """
    lengths = np.zeros(len(bounds) - 1)
    for each in range(len(lengths)):
        for at in range(bounds[each], bounds[each + 1] - 1):
            down, along = points[at + 1, 0] - points[at, 0], points[at + 1, 1] - points[at, 1]
            lengths[each] += np.sqrt(down * down + along * along)
    return lengths


def chain_length_px(pixels: Numbers, side: float, corner: float) -> float:
    """The length of a path of pixels by its steps alone.

    Parameters
    ----------
    pixels : neighbouring pixels in order, (row, column) a row
    side : length of a step along a side. [px], above 0
    corner : length of a step over a corner. [px], above 0

    Returns
    -------
    float. [px]

    Raises
    ------
    Nothing.

    Notes
    -----
    Depends on the line's angle whatever the two lengths: with 1 and the root of 2 up to 8 % too long. Here to be
    compared with; `smoothed` and `path_length_px` are what is used.

    References
    ----------
    Freeman 1970, Boundary encoding and processing (memory); 0.948 and 1.340: Proffitt and Rosen 1979, Comput. Graph.
    Image
    Process. 10:318-332 (memory).

    Examples
    --------
    >>> chain_length_px(np.array([[0, 0], [0, 1], [1, 2]]), 0.95, 1.5)
    2.45
    """
    steps = np.abs(np.diff(np.asarray(pixels, dtype=np.int64), axis=0)).sum(axis=1)
    return float(side * np.count_nonzero(steps == 1) + corner * np.count_nonzero(steps == 2))


def fewer_points(points: Numbers, most_off_px: float) -> Lanes:
    """The points that a path needs to be drawn.

    Parameters
    ----------
    points : in order, (row, column) or (x, y) a row. [px]
    most_off_px : no point that is left out lies farther from the drawn line. [px], 0 or more

    Returns
    -------
    some of the points, the first and the last among them. [px]

    Raises
    ------
    Nothing.

    Notes
    -----
    For drawing and sending only: it is shorter than the path, if by little.

    References
    ----------
    Douglas and Peucker 1973, Algorithms for the reduction of the number of points required to represent a digitized
    line or its caricature, Cartographica 10:112-122 (memory).

    Examples
    --------
    >>> fewer_points([(0, 0), (1, 0.1), (2, 0), (2, 5)], 0.25).tolist()
    [[0.0, 0.0], [2.0, 0.0], [2.0, 5.0]]
    """
    path = np.ascontiguousarray(points, dtype=np.float64)
    needed = np.zeros(len(path), np.bool_)
    _mark_needed(path, most_off_px, needed)
    return path[needed]


@compiled
def _mark_needed(path: Any, most_off: float, needed: Any) -> None:
    needed[0] = needed[-1] = True
    waiting = np.empty((len(path) + 1, 2), np.int64)
    waiting[0, 0], waiting[0, 1], count = 0, len(path) - 1, 1
    while count:
        count -= 1
        first, last = waiting[count, 0], waiting[count, 1]
        down, along = path[last, 0] - path[first, 0], path[last, 1] - path[first, 1]
        length = max(np.sqrt(down * down + along * along), 1e-9)
        farthest, most = first, most_off
        for at in range(first + 1, last):
            y, x = path[at, 0] - path[first, 0], path[at, 1] - path[first, 1]
            part = min(max((y * down + x * along) / length, 0.0), length) / length
            off = np.sqrt((y - part * down) ** 2 + (x - part * along) ** 2)
            if off > most:
                farthest, most = at, off
        if farthest > first:
            needed[farthest] = True
            waiting[count, 0], waiting[count, 1] = first, farthest
            waiting[count + 1, 0], waiting[count + 1, 1] = farthest, last
            count += 2
