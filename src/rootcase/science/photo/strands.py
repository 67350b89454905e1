"""Middle lines to strands: from each end or fork to the next."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from rootcase.science.photo.kernel import compiled
from rootcase.science.photo.thinning import Mask

OPEN = -1
"""In the place of a fork: the strand ends freely there, or is closed in itself."""


class Strand(NamedTuple):
    """A line between two forks or free ends: its pixels as (row, column) a row, forks included, and its forks."""

    pixels: NDArray[np.int64]
    forks: tuple[int, int]


class Strands(NamedTuple):
    """Many strands: their pixels one after another as (row, column) a row; where each begins and the last ends; the
    two forks of each."""

    pixels: NDArray[np.int64]
    bounds: NDArray[np.int64]
    forks: NDArray[np.int64]


def strands_of(lines: Mask) -> Strands:
    """The strands of lines one pixel wide.

    Parameters
    ----------
    lines : 1 on a line, as `middle_lines` gives it

    Returns
    -------
    Strands(pixels, bounds, forks). Forks that touch are one fork, with one number; -1 is a free end. A closed line
    without a fork has its first pixel at its end once more.

    Raises
    ------
    Nothing.

    Notes
    -----
    Two pixels that touch at a corner are neighbours only where no third one touches both along a side; so a bend is
    no fork. A dirty picture of 12 million pixels has ten thousand strands: they stay arrays, and are worked on without
    going back to Python for each.

    References
    ----------
    Mixed neighbourhood of pixels: Rosenfeld 1970, Connectivity in digital pictures, J. ACM 17:146-160 (memory).

    Examples
    --------
    >>> lines = np.zeros((5, 9), np.uint8)
    >>> lines[2, 1:8] = lines[3:5, 4] = 1
    >>> sorted(np.diff(strands_of(lines).bounds).tolist())
    [3, 4, 4]
    """
    padded = np.pad(lines, 1)
    width = padded.shape[1]
    flat = padded.ravel()
    places = np.flatnonzero(flat)
    degree, forks, used = (np.zeros(padded.size, kind) for kind in (np.uint8, np.int32, np.uint8))
    _degrees(flat, places, width, degree)
    _number_forks(degree, places, width, forks)
    pixels, bounds = _walk(flat, places, degree, forks, used, width)
    rows, columns = np.divmod(pixels, width)
    ends = np.column_stack([forks[pixels[bounds[:-1]]], forks[pixels[bounds[1:] - 1]]]).astype(np.int64) - 1
    return Strands(np.column_stack([rows, columns]) - 1, bounds, ends)


def one_by_one(strands: Strands, those: Iterable[int]) -> list[Strand]:
    """Some of many strands, each by itself.

    Parameters
    ----------
    strands : as `strands_of` gives them
    those : their places, from 0

    Returns
    -------
    list of Strand(pixels, forks), in the order of the places.

    Raises
    ------
    Nothing.

    Notes
    -----
    Their pixels are views, not copies.

    References
    ----------
    JUDGEMENT: a list is read more easily than arrays where few are left.

    Examples
    --------
    >>> lines = np.zeros((5, 9), np.uint8)
    >>> lines[2, 1:8] = 1
    >>> one_by_one(strands_of(lines), [0])[0].forks
    (-1, -1)
    """
    bounds, forks = strands.bounds.tolist(), strands.forks.tolist()
    return [Strand(strands.pixels[bounds[at]:bounds[at + 1]], (forks[at][0], forks[at][1])) for at in those]


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
def _degrees(lines: Any, places: Any, width: int, degree: Any) -> None:
    near = np.empty(8, np.int64)
    for here in places:
        degree[here] = _next_to(lines, here, width, near)


@compiled
def _number_forks(degree: Any, places: Any, width: int, forks: Any) -> None:
    """A number from 1 for each fork, the same for pixels that touch, 0 elsewhere."""
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


@compiled
def _walk(lines: Any, places: Any, degree: Any, forks: Any, used: Any, width: int) -> tuple[Any, Any]:
    """Pixels of all strands one after another, and where each begins."""
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
