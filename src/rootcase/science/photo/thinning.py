"""Areas to lines: what hangs together with something sure, its middle line, and how wide it is there."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from rootcase.science.photo.kernel import compiled

Mask = NDArray[np.uint8]
_AROUND = ((-1, 0), (-1, 1), (0, 1), (1, 1), (1, 0), (1, -1), (0, -1), (-1, -1))
"""Neighbours clockwise from above, as (row, column)."""
_DOWN = np.array([step[0] for step in _AROUND])
_ALONG = np.array([step[1] for step in _AROUND])


def _turns() -> NDArray[np.uint8]:
    """For each pattern of neighbours whether a pixel may go: 1 in the first half of a turn, 2 in the second, 3 in
    both."""
    table = np.zeros(256, np.uint8)
    for pattern in range(256):
        near = [pattern >> bit & 1 for bit in range(8)]
        risings = sum(near[bit] < near[(bit + 1) % 8] for bit in range(8))
        if 2 <= sum(near) <= 6 and risings == 1:
            above, right, below, left = near[0::2]
            table[pattern] = ((above * right * below == 0 and right * below * left == 0)
                              + 2 * (above * right * left == 0 and above * below * left == 0))
    return table


_MAY_GO = _turns()


def middle_lines(mask: Mask) -> Mask:
    """The middle lines of areas, one pixel wide.

    Parameters
    ----------
    mask : 1 inside an area, 0 outside

    Returns
    -------
    same shape: 1 on a middle line. What hangs together still does, and holes stay holes.

    Raises
    ------
    Nothing.

    Notes
    -----
    Pixels are taken off the rim in turns of two halves, from the lower right and from the upper left, until nothing
    goes any more. Only the rim is looked at again, so that the work grows with the areas and not with the picture.

    References
    ----------
    Zhang and Suen 1984, A fast parallel algorithm for thinning digital patterns, Commun. ACM 27:236-239 (memory).

    Examples
    --------
    >>> bar = np.zeros((7, 12), np.uint8)
    >>> bar[2:5, 2:10] = 1
    >>> middle_lines(bar)[3].tolist()
    [0, 0, 0, 1, 1, 1, 1, 1, 0, 0, 0, 0]
    """
    kept = np.pad(mask, 1)
    _thin(kept.ravel(), np.flatnonzero(kept), _DOWN * kept.shape[1] + _ALONG, _MAY_GO)
    return np.ascontiguousarray(kept[1:-1, 1:-1])


@compiled
def _thin(kept: Any, inside: Any, around: Any, may_go: Any) -> None:
    gone = np.empty(len(inside), np.int64)
    still, half, quiet = len(inside), 1, 0
    while quiet < 2:
        going = 0
        for at in range(still):
            pattern = 0
            for bit in range(8):
                pattern |= kept[inside[at] + around[bit]] << bit
            if may_go[pattern] & half:
                gone[going] = inside[at]
                going += 1
        for at in range(going):
            kept[gone[at]] = 0
        left = 0
        for at in range(still):
            if kept[inside[at]]:
                inside[left] = inside[at]
                left += 1
        still, half, quiet = left, 3 - half, 0 if going else quiet + 1


def grown(sure: Mask, possible: Mask) -> Mask:
    """Of what may belong to a line, all that hangs together with something sure.

    Parameters
    ----------
    sure : 1 where a line is sure
    possible : 1 where a line may be; same shape

    Returns
    -------
    same shape: 1 where it may be and is reached from something sure, corners included.

    Raises
    ------
    Nothing.

    Notes
    -----
    The outermost pixels of the picture count as outside.

    References
    ----------
    A threshold with two levels: Canny 1986, A computational approach to edge detection, IEEE Trans. Pattern Anal.
    8:679-698
    (memory).

    Examples
    --------
    >>> possible = np.zeros((3, 9), np.uint8)
    >>> possible[1, 1:4] = possible[1, 5:8] = 1
    >>> sure = np.zeros_like(possible)
    >>> sure[1, 2] = 1
    >>> grown(sure, possible)[1].tolist()
    [0, 1, 1, 1, 0, 0, 0, 0, 0]
    """
    reached = np.zeros_like(possible)
    inner = possible.copy()
    inner[[0, -1]] = 0
    inner[:, [0, -1]] = 0
    _flood(reached.ravel(), inner.ravel(), np.flatnonzero(sure & inner), _DOWN * possible.shape[1] + _ALONG)
    return reached


@compiled
def _flood(reached: Any, possible: Any, seeds: Any, around: Any) -> None:
    waiting = np.empty(len(possible), np.int64)
    for seed in seeds:
        if reached[seed]:
            continue
        reached[seed] = 1
        waiting[0] = seed
        count = 1
        while count:
            count -= 1
            here = waiting[count]
            for step in around:
                if possible[here + step] and not reached[here + step]:
                    reached[here + step] = 1
                    waiting[count] = here + step
                    count += 1


def half_widths_px(mask: Mask, lines: Mask, most_px: int) -> NDArray[np.float32]:
    """How far is it from each pixel of a middle line to what lies outside?

    Parameters
    ----------
    mask : 1 inside an area, 0 outside
    lines : 1 on a middle line; same shape
    most_px : no farther is looked. [px], 1 or more

    Returns
    -------
    same shape: from the middle of the pixel to the rim, `most_px` where nothing outside is that near, 0 off the
    lines. [px]

    Raises
    ------
    Nothing.

    Notes
    -----
    The rim lies half a pixel before the middle of the first pixel outside. Beyond the picture is inside.

    References
    ----------
    Distance between points: geometry (computed).

    Examples
    --------
    >>> bar = np.zeros((9, 9), np.uint8)
    >>> bar[2:7] = 1
    >>> middle = np.zeros_like(bar)
    >>> middle[4, 4] = 1
    >>> float(half_widths_px(bar, middle, 10)[4, 4])
    2.5
    """
    found = np.zeros(mask.shape, np.float32)
    _half_widths(np.pad(mask, most_px, constant_values=1), np.argwhere(lines), most_px, found)
    return found


@compiled
def _half_widths(padded: Any, places: Any, most: int, found: Any) -> None:
    for at in range(len(places)):
        row, column = places[at, 0] + most, places[at, 1] + most
        nearest = most * most
        for ring in range(1, most + 1):
            if ring * ring >= nearest:
                break
            for step in range(-ring, ring + 1):
                if not (padded[row - ring, column + step] and padded[row + ring, column + step]
                        and padded[row + step, column - ring] and padded[row + step, column + ring]):
                    nearest = min(nearest, ring * ring + step * step)
        found[places[at, 0], places[at, 1]] = np.sqrt(nearest) - np.float32(0.5)
