"""Middle lines to strands: from each end or fork to the next."""

from __future__ import annotations

from itertools import pairwise
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from rootcase.science.lanes import Lanes, Numbers
from rootcase.science.photo.ridges import compiled
from rootcase.science.photo.thinning import Mask

OPEN = -1
"""In the place of a fork: the strand ends freely there, or is closed in itself."""


class Strand(NamedTuple):
    """A line between two forks or free ends: its pixels as (row, column) a row, forks included, and its forks."""

    pixels: NDArray[np.int64]
    forks: tuple[int, int]


def strands_of(lines: Mask) -> list[Strand]:
    """The strands of lines one pixel wide.

    Parameters
    ----------
    lines : 1 on a line, as `middle_lines` gives it

    Returns
    -------
    list of Strand(pixels, forks). Forks that touch are one fork, with one number; -1 is a free end. A closed line
    without
    a fork has its first pixel at its end once more.

    Raises
    ------
    Nothing.

    Notes
    -----
    Two pixels that touch at a corner are neighbours only where no third one touches both along a side; so a bend is
    no fork.

    References
    ----------
    Mixed neighbourhood of pixels: Rosenfeld 1970, Connectivity in digital pictures, J. ACM 17:146-160 (memory).

    Examples
    --------
    >>> lines = np.zeros((5, 9), np.uint8)
    >>> lines[2, 1:8] = lines[3:5, 4] = 1
    >>> sorted(len(strand.pixels) for strand in strands_of(lines))
    [3, 4, 4]
    """
    padded = np.pad(lines, 1)
    places = np.flatnonzero(padded)
    degree = _degrees(padded.ravel(), places, padded.shape[1])
    forks = _forks(degree, places, padded.shape[1])
    pixels, bounds = _walk(padded.ravel(), places, degree, forks, padded.shape[1])
    rows, columns = np.divmod(pixels, padded.shape[1])
    found = []
    for start, stop in pairwise(bounds):
        path = np.column_stack([rows[start:stop], columns[start:stop]])
        ends = [int(forks[pixels[end]]) - 1 for end in (start, stop - 1)]
        found.append(Strand(path - 1, (ends[0], ends[1])))
    return found


@compiled
def _next_to(lines: Any, here: int, width: int, near: Any) -> int:
    """Neighbours of a pixel: along a side, and at a corner where none of those touches both."""
    count = 0
    up, down, left, right = lines[here - width], lines[here + width], lines[here - 1], lines[here + 1]
    for there, is_on in ((here - width, up), (here + width, down), (here - 1, left), (here + 1, right),
                         (here - width - 1, lines[here - width - 1] and not (up or left)),
                         (here - width + 1, lines[here - width + 1] and not (up or right)),
                         (here + width - 1, lines[here + width - 1] and not (down or left)),
                         (here + width + 1, lines[here + width + 1] and not (down or right))):
        if is_on:
            near[count] = there
            count += 1
    return count


@compiled
def _degrees(lines: Any, places: Any, width: int) -> Any:
    near = np.empty(8, np.int64)
    degree = np.zeros(len(lines), np.uint8)
    for here in places:
        degree[here] = _next_to(lines, here, width, near)
    return degree


@compiled
def _forks(degree: Any, places: Any, width: int) -> Any:
    """A number from 1 for each fork, the same for pixels that touch, 0 elsewhere."""
    forks = np.zeros(len(degree), np.int32)
    waiting = np.empty(8 * len(places) + 8, np.int64)
    number = 0
    for start in places:
        if degree[start] < 3 or forks[start]:
            continue
        number += 1
        forks[start] = number
        waiting[0], count = start, 1
        while count:
            count -= 1
            here = waiting[count]
            for down in (-width, 0, width):
                for along in (-1, 0, 1):
                    there = here + down + along
                    if degree[there] >= 3 and not forks[there]:
                        forks[there] = number
                        waiting[count] = there
                        count += 1
    return forks


@compiled
def _walk(lines: Any, places: Any, degree: Any, forks: Any, width: int) -> tuple[Any, Any]:
    """Pixels of all strands one after another, and where each begins."""
    used = np.zeros(len(lines), np.uint8)
    pixels = np.empty(9 * len(places) + 8, np.int64)
    bounds = [0]
    count = 0
    near, ahead = np.empty(8, np.int64), np.empty(8, np.int64)
    for turn in range(3):  # from forks, from free ends, then closed lines
        for start in places:
            begins = forks[start] if turn == 0 else degree[start] <= 1 if turn == 1 else degree[start] == 2
            if not begins or (turn and used[start]):
                continue
            for way in range(_next_to(lines, start, width, near)):
                here, before = near[way], start
                if used[here] or (forks[here] and (forks[start] == forks[here] or here < start)):
                    continue
                if turn and used[start]:
                    break
                pixels[count] = start
                count += 1
                used[start] = turn > 0
                while True:
                    pixels[count] = here
                    count += 1
                    if forks[here] or here == start:
                        break
                    used[here] = 1
                    onward = -1
                    for other in range(_next_to(lines, here, width, ahead)):
                        if ahead[other] != before and (not used[ahead[other]] or ahead[other] == start):
                            onward = ahead[other]
                    if onward < 0:
                        break
                    before, here = here, onward
                bounds.append(count)
    return pixels[:count], np.array(bounds)


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
    path = np.asarray(pixels, dtype=np.float64)
    reach = min(len(path) - 1, int(4 * scale_px))
    before = 2 * path[0] - path[reach:0:-1]
    after = 2 * path[-1] - path[-2:-reach - 2:-1]
    whole = gaussian_filter1d(np.concatenate([before, path, after]), scale_px, axis=0, mode="nearest", truncate=4.0)
    line = whole[reach:reach + len(path)]
    line[0], line[-1] = path[0], path[-1]
    return np.asarray(line)


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
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


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
