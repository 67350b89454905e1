"""Along a line: is it lighter on both sides, as a thread is, or on one only, as the rim of a grain is?"""

from __future__ import annotations

from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rootcase.science.lanes import Lanes
from rootcase.science.photo.kernel import compiled
from rootcase.science.photo.light import Picture
from rootcase.science.photo.paths import gaussian
from rootcase.science.photo.strips import in_strips

SIDE_HALF_WIDTHS = (1.0, 3.0)
"""How far beside a line its background is looked for, in half-widths of its area. JUDGEMENT."""
SIDES_LEAST = 0.4
"""A line is lighter on both sides; on one the step is at least this part of that on the other. Half of a step's height
on a flat side would be 0. JUDGEMENT."""
STEP_HALF_WIDTHS, MIDDLE_HALF_WIDTHS = 0.25, 0.5
"""How finely and how near to the middle a line's own darkness is looked for, in half-widths. JUDGEMENT."""


def lighter_both_sides(dark: Picture, line_px: Lanes, half_width_px: float, scale_px: float) -> NDArray[np.bool_]:
    """Along a line, where is it darker than both its sides? A rim is lighter on one only.

    Parameters
    ----------
    dark : darkness against the surroundings, a little smoothed. [-]
    line_px : two or more points a pixel apart, (row, column) a row. [px]
    half_width_px : of the line's area. [px], above 0
    scale_px : standard deviation of the Gaussian by which the sides are smoothed along the line. [px], above 0

    Returns
    -------
    one truth a point.

    Raises
    ------
    Nothing.

    Notes
    -----
    On each side the lightest counts that is found within three half-widths, so that another line near by takes
    nothing away.

    References
    ----------
    JUDGEMENT: a line's profile has two flanks, a rim's one.

    Examples
    --------
    >>> dark = np.zeros((40, 40), np.float32)
    >>> dark[10:13] = 0.3
    >>> dark[20:] = 0.3
    >>> along = np.arange(5.0, 35.0)
    >>> [bool(lighter_both_sides(dark, np.column_stack([0 * along + row, along]), 2.0, 3.0).all()) for row in (11, 20)]
    [True, False]
    """
    line = np.ascontiguousarray(line_px, dtype=np.float64)
    return all_lighter_both_sides(dark, line, np.array([0, len(line)]), np.array([half_width_px]), scale_px)


def all_lighter_both_sides(dark: Picture, lines_px: Lanes, bounds: NDArray[np.int64], half_widths_px: Lanes,
                           scale_px: float) -> NDArray[np.bool_]:
    """Along each of many lines, where is it darker than both its sides?

    Parameters
    ----------
    dark : darkness against the surroundings, a little smoothed. [-]
    lines_px : the points of all lines one after another, (row, column) a row. [px]
    bounds : where each begins and the last ends
    half_widths_px : of each line's area. [px], above 0
    scale_px : standard deviation of the Gaussian by which the sides are smoothed along the line. [px], above 0

    Returns
    -------
    one truth a point; true all along a line of fewer than three points.

    Raises
    ------
    Nothing.

    Notes
    -----
    See `lighter_both_sides`.

    References
    ----------
    See `lighter_both_sides`.

    Examples
    --------
    >>> dark = np.zeros((40, 40), np.float32)
    >>> dark[10:13] = dark[20:] = 0.3
    >>> along = np.arange(5.0, 35.0)
    >>> lines = np.concatenate([np.column_stack([0 * along + row, along]) for row in (11, 20)])
    >>> found = all_lighter_both_sides(dark, lines, np.array([0, 30, 60]), np.array([2.0, 2.0]), 3.0)
    >>> bool(found[:30].all()), bool(found[30:].any())
    (True, False)
    """
    lighter = np.ones(len(lines_px), np.bool_)
    in_strips(partial(_look_beside, dark, lines_px, bounds, half_widths_px, gaussian(scale_px), lighter),
              len(bounds) - 1, 1)
    return lighter


@compiled
def _look_beside(dark: Any, lines: Any, bounds: Any, half_widths: Any, weights: Any, lighter: Any, first: int,
                 last: int) -> None:
    radius, steps = len(weights) // 2, round(SIDE_HALF_WIDTHS[1] / STEP_HALF_WIDTHS)
    longest = 0
    for each in range(first, last):
        longest = max(longest, bounds[each + 1] - bounds[each])
    profile, smooth = np.empty(longest + 2 * radius), np.empty(longest)
    middle, left, right = np.empty(longest), np.empty(longest), np.empty(longest)
    for each in range(first, last):
        line = lines[bounds[each]:bounds[each + 1]]
        count = len(line)
        if count < 3:
            continue
        middle[:count], left[:count], right[:count] = -np.inf, np.inf, np.inf
        for step in range(-steps, steps + 1):
            away = step * STEP_HALF_WIDTHS
            if MIDDLE_HALF_WIDTHS < abs(away) < SIDE_HALF_WIDTHS[0]:
                continue
            _sample_beside(dark, line, away * half_widths[each], radius, profile)
            smooth[:count] = 0.0
            for tap in range(len(weights)):
                weight = weights[tap]
                for at in range(count):
                    smooth[at] += weight * profile[at + tap]
            for at in range(count):
                if abs(away) <= MIDDLE_HALF_WIDTHS:
                    middle[at] = max(middle[at], smooth[at])
                elif away < 0:
                    left[at] = min(left[at], smooth[at])
                else:
                    right[at] = min(right[at], smooth[at])
        for at in range(count):
            one, other = middle[at] - left[at], middle[at] - right[at]
            lighter[bounds[each] + at] = min(one, other) > SIDES_LEAST * max(one, other)


@compiled
def _sample_beside(dark: Any, line: Any, away: float, radius: int, profile: Any) -> None:
    """Darkness along a line's parallel, straight between the pixels; beyond each end as at the end."""
    count = len(line)
    for at in range(count):
        before, after = max(at - 1, 0), min(at + 1, count - 1)
        down = (line[after, 0] - line[before, 0]) / (after - before)
        along = (line[after, 1] - line[before, 1]) / (after - before)
        length = max(np.sqrt(down * down + along * along), 1e-9)
        y = min(max(line[at, 0] + away * along / length, 0.0), dark.shape[0] - 1.0)
        x = min(max(line[at, 1] - away * down / length, 0.0), dark.shape[1] - 1.0)
        profile[radius + at] = between(dark, y, x)
    profile[:radius] = profile[radius]
    profile[radius + count:count + 2 * radius] = profile[radius + count - 1]


@compiled
def between(picture: Any, y: float, x: float) -> Any:
    """What is a picture's value between its pixels?

    Parameters
    ----------
    picture : two pixels or more a side. [any]
    y, x : a place inside it, from the middle of the upper left pixel. [px], 0 to the side less 1

    Returns
    -------
    float: straight between the middles of the four pixels about it. [as given]

    Raises
    ------
    Nothing.

    Notes
    -----
    Nothing is asked of the place: whoever calls keeps it inside.

    References
    ----------
    Bilinear interpolation (computed).

    Examples
    --------
    >>> between(np.array([[0.0, 1.0], [2.0, 3.0]]), 0.5, 0.25)
    1.25
    """
    top, left = min(int(y), picture.shape[0] - 2), min(int(x), picture.shape[1] - 2)
    down, along = y - top, x - left
    return ((picture[top, left] * (1.0 - along) + picture[top, left + 1] * along) * (1.0 - down)
            + (picture[top + 1, left] * (1.0 - along) + picture[top + 1, left + 1] * along) * down)
