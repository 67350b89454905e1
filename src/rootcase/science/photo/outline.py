"""An outline on a photo: traced between what is inside and what is not, thinned, checked, filled."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rootcase.ground.errors import OutOfRange
from rootcase.ground.words import say
from rootcase.science.lanes import Lanes, Numbers
from rootcase.science.photo.light import Picture
from rootcase.science.plane import first_crossing

LEAST_POINTS, MOST_POINTS = 3, 1000
"""Of an outline drawn by hand. JUDGEMENT: more than a hand draws, few enough to be held against each other."""
FINEST_PX = 0.1
"""An outline is thinned by no less: it is not known better. JUDGEMENT"""
HALF = 0.5
_STEPS = ((0, 1), (1, 0), (0, -1), (-1, 0))
"""Right, down, left, up, as (row, column)."""


def half_way_outline(share: Picture, most_points: int) -> Lanes:
    """Where does the outline of the first thing on a picture run?

    Parameters
    ----------
    share : how much of each pixel is inside. [1]
    most_points : the outline is thinned until it has no more, 8 or more. [-]

    Returns
    -------
    (x, y) a row, clockwise as seen, from the middle of the upper left pixel; the last is joined to the first. [px]

    Raises
    ------
    OutOfRange : nothing is inside.

    Notes
    -----
    Between a pixel that is more than half inside and a neighbor that is not the outline passes where the share is one
    half, straight from one middle to the other. The first is the one with the uppermost pixel; holes are left out.

    References
    ----------
    Following the sides between pixels: common practice, no source. Thinned after Douglas and Peucker 1973, Algorithms
    for the reduction of the number of points, Cartographica 10:112-122 (memory).

    Examples
    --------
    >>> inside = np.zeros((20, 20), np.float32)
    >>> inside[5:15, 5:15] = 1.0
    >>> outline = half_way_outline(inside, 50)
    >>> len(outline), float(outline.min()), float(outline.max())
    (8, 4.5, 14.5)
    """
    held = np.pad(share, 1)
    inside = held > HALF
    if not inside.any():
        raise OutOfRange(say("photo.outline.empty"), right=say("photo.outline.right_empty"))
    sides = np.array(_sides(inside))
    here, there = held[sides[:, 0], sides[:, 1]], held[sides[:, 2], sides[:, 3]]
    part = ((here - HALF) / (here - there))[:, np.newaxis]
    passed = sides[:, :2] + part * (sides[:, 2:] - sides[:, :2]) - 1.0
    outline, within_px = passed[:, ::-1], FINEST_PX
    thin = _thinned(outline, within_px)
    while len(thin) > most_points:
        within_px *= 1.5
        thin = _thinned(outline, within_px)
    return np.asarray(thin)


def _sides(inside: NDArray[np.bool_]) -> list[tuple[int, int, int, int]]:
    """Row and column of the pixel within and of the one without, side by side around, the inside on the right."""
    row, column = (int(each) for each in np.argwhere(inside)[0])
    held, way, start, sides = inside.tolist(), 0, (row, column), []
    while True:
        down, along = _STEPS[way]
        sides.append((row, column, row - along, column + down))  # what lies on the left
        if not held[row + down][column + along]:
            way = (way + 1) % 4
        elif held[row + down - along][column + along + down]:
            row, column, way = row + down - along, column + along + down, (way - 1) % 4
        else:
            row, column = row + down, column + along
        if (row, column) == start and way == 0:
            return sides


def _thinned(outline: Lanes, within_px: float) -> Lanes:
    """The fewest of its points, by halves, that no other lies farther from than this."""
    far = int(np.argmax(((outline - outline[0]) ** 2).sum(axis=1)))
    kept = {0, far}
    closed = np.vstack([outline, outline[:1]])
    open_parts = [(0, far), (far, len(outline))]
    while open_parts:
        first, last = open_parts.pop()
        if last - first < 2:
            continue
        way, points = closed[last] - closed[first], closed[first + 1:last] - closed[first]
        length = max(float(np.hypot(*way)), 1e-9)
        off = np.abs(points[:, 0] * way[1] - points[:, 1] * way[0]) / length
        at = first + 1 + int(np.argmax(off))
        if off.max() > within_px:
            kept.add(at)
            open_parts += [(first, at), (at, last)]
    return np.asarray(outline[sorted(kept)])


def drawn_outline(points: Numbers, wide: int, high: int) -> Lanes:
    """Is what a hand drew on a photo an outline that holds something?

    Parameters
    ----------
    points : (x, y) a row in order, from the middle of the upper left pixel. [px]
    wide, high : of the photo. [px]

    Returns
    -------
    the same without points that repeat their neighbor. [px]

    Raises
    ------
    OutOfRange : fewer than three points or more than a thousand, a point beside the photo, sides that cross or touch.

    Notes
    -----
    A last point that repeats the first is left out as well.

    References
    ----------
    JUDGEMENT: rules of this house.

    Examples
    --------
    >>> drawn_outline([(0, 0), (9, 0), (9, 0), (9, 9), (0, 0)], 10, 10).tolist()
    [[0.0, 0.0], [9.0, 0.0], [9.0, 9.0]]
    """
    given = np.asarray(points, np.float64)
    if given.ndim != 2 or given.shape[1:] != (2,) or len(given) > MOST_POINTS:
        raise OutOfRange(say("photo.outline.points"), value=str(len(given)),
                         right=say("photo.outline.right_points", least=LEAST_POINTS, most=MOST_POINTS))
    beside = ~((given >= -HALF) & (given <= np.array([wide, high]) - HALF)).all(axis=1)
    if beside.any():
        x, y = given[beside][0]
        raise OutOfRange(say("photo.outline.beside"), value=f"{x:g}, {y:g} px",
                         right=say("photo.outline.right_beside", wide=wide, high=high))
    outline = given[(given != np.roll(given, -1, axis=0)).any(axis=1)]
    if len(outline) < LEAST_POINTS:
        raise OutOfRange(say("photo.outline.points"), value=str(len(outline)),
                         right=say("photo.outline.right_points", least=LEAST_POINTS, most=MOST_POINTS))
    crossing = first_crossing(outline / max(wide, high))
    if crossing:
        raise OutOfRange(say("photo.outline.crosses"), value=" / ".join(str(side + 1) for side in crossing),
                         right=say("photo.outline.right_crosses"))
    return np.asarray(outline)


def filled(outline: Numbers, wide: int, high: int) -> NDArray[np.bool_]:
    """Which pixels have their middle within an outline?

    Parameters
    ----------
    outline : (x, y) a row in order, from the middle of the upper left pixel. [px]
    wide, high : of the picture. [px]

    Returns
    -------
    a row a row of pixels, True within.

    Raises
    ------
    Nothing.

    Notes
    -----
    Within: a line from the left crosses the outline an odd number of times. What lies beside the picture is left out.

    References
    ----------
    Crossings counted: geometry (computed).

    Examples
    --------
    >>> filled([(-0.5, 0.5), (1.5, 0.5), (1.5, 2.5), (-0.5, 2.5)], 3, 3).astype(int).tolist()
    [[0, 0, 0], [1, 1, 0], [1, 1, 0]]
    """
    crossed = np.zeros((high, wide + 1), np.int32)
    corners = np.asarray(outline, np.float64)
    for (x, y), (to_x, to_y) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        first, last = (int(np.clip(np.ceil(each), 0, high)) for each in sorted((y, to_y)))
        if first < last:
            rows = np.arange(first, last)
            at = np.ceil(x + (rows - y) / (to_y - y) * (to_x - x))
            crossed[rows, np.clip(at, 0, wide).astype(np.int64)] += 1
    return np.asarray(np.cumsum(crossed, axis=1)[:, :wide] % 2 == 1)
