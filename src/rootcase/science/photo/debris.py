"""What looks like a line and is none: grains, the rims of grains and of air bubbles."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_dilation, binary_erosion, gaussian_filter1d, map_coordinates

from rootcase.science.lanes import Lanes
from rootcase.science.photo.light import Picture, shrunk
from rootcase.science.photo.thinning import Mask

LEAST_ARC_PX, PART_PX = 12, 50
FRAME_PX = 3
"""So near to the picture's edge thinning bends a wide rim's middle line; nothing is asked of it there. JUDGEMENT."""
LEAST_ARC_TURN = np.radians(40.0)
NARROWING = (0.12, 0.05, 0.015)
"""How far from a circle, as a part of its radius, a pixel may lie that it is laid through next. JUDGEMENT."""
LEAST_SEEN, SEEN_PER_RADIUS, LEAST_COVERED = 0.25, 1.5, 0.8
"""Of a circle the part inside the picture, and of that the part that must be on a line. JUDGEMENT. The wider the
circle,
the more must be inside: a hypha across a corner of the picture is an arc of a wide one too."""
SIDE_HALF_WIDTHS = (1.0, 3.0)
"""How far beside a line its background is looked for, in half-widths of its area. JUDGEMENT."""
SIDES_LEAST = 0.4
"""A line is lighter on both sides; on one the step is at least this part of that on the other. Half of a step's height
on a flat side would be 0. JUDGEMENT."""


def disc(radius: float) -> NDArray[np.bool_]:
    """The pixels of a disc about the middle one.

    Parameters
    ----------
    radius : to the middles of the outermost pixels. [px], 0 or more

    Returns
    -------
    square of truths.

    Raises
    ------
    Nothing.

    Notes
    -----
    Its pixels are as many as its area, pi r^2, to 0.1 % at 50 pixels.

    References
    ----------
    Distance between points: geometry (computed).

    Examples
    --------
    >>> disc(1.0).astype(int).tolist()
    [[0, 1, 0], [1, 1, 1], [0, 1, 0]]
    """
    steps = np.arange(-int(radius), int(radius) + 1)
    return np.asarray(np.hypot(*np.meshgrid(steps, steps)) <= radius)


def thick_areas(dark: Picture, least: float, radius_px: float) -> Mask:
    """Where is darkness wider every way than a line can be?

    Parameters
    ----------
    dark : darkness against the surroundings, smoothed. [-]
    least : darkness from which a pixel counts. [-]
    radius_px : of the largest disc that fits into a line. [px], 4 or more

    Returns
    -------
    same shape: 1 within such an area, a quarter of the radius about it included.

    Raises
    ------
    Nothing.

    Notes
    -----
    Looked at with pixels so coarse that the radius holds four, since only what is much wider matters.

    References
    ----------
    Opening by a disc: Serra 1982, Image Analysis and Mathematical Morphology (memory).

    Examples
    --------
    >>> dark = np.zeros((80, 80), np.float32)
    >>> dark[10:40, 10:40] = dark[60:64] = 0.4
    >>> thick = thick_areas(dark, 0.2, 8.0)
    >>> int(thick[25, 25]), int(thick[62, 40])
    (1, 0)
    """
    factor = max(1, int(radius_px / 4))
    areas = shrunk(dark, factor) > least
    hearts = binary_erosion(areas, disc(radius_px / factor))
    coarse = binary_dilation(hearts, disc(1.25 * radius_px / factor + 1.0))
    full = np.zeros(dark.shape, np.uint8)
    fine = np.repeat(np.repeat(coarse, factor, axis=0), factor, axis=1)
    full[:fine.shape[0], :fine.shape[1]] = fine
    return full


def ring_rims(lines: Mask, arcs_px: Sequence[Lanes], least_px: float, most_px: float) -> Mask:
    """Which pixels of middle lines run round a disc, as the rims of bubbles and of large grains do?

    Parameters
    ----------
    lines : 1 on a middle line
    arcs_px : smooth lines through those pixels, (row, column) a row. [px]
    least_px, most_px : radius of such a disc. [px], above 0

    Returns
    -------
    same shape: 1 on a line round a disc.

    Raises
    ------
    Nothing.

    Notes
    -----
    A circle is laid through every arc of 40 degrees and more, then twice through all that lies near that circle. It
    is a rim where
    four fifths of it, as far as it is inside the picture, are on a line, and enough of it is inside: a quarter of a
    small one,
    all of one two thirds as wide as the widest, and wider ones are none. What crosses it stays but for a few pixels.

    References
    ----------
    Kasa 1976, A circle fitting procedure and its error analysis, IEEE Trans. Instrum. Meas. 25:8-14 (memory).
    How much of a circle must be there: JUDGEMENT.

    Examples
    --------
    >>> y, x = np.mgrid[:60, :60]
    >>> line = (abs(np.hypot(x - 30, y - 30) - 20) < 0.5).astype(np.uint8)
    >>> turn = np.linspace(0.0, 2.0, 40)
    >>> arc = 30 + 20 * np.column_stack([np.sin(turn), np.cos(turn)])
    >>> bool((ring_rims(line, [arc], 5.0, 50.0) == line).all())
    True
    """
    rims = np.zeros_like(lines)
    for arc in (part for whole in arcs_px for part in _parts(whole)):
        if len(arc) < LEAST_ARC_PX or rims[tuple(np.rint(arc[len(arc) // 2]).astype(int))]:
            continue
        row, column, radius = _circle(arc)
        away = np.abs(np.hypot(*(arc - (row, column)).T) - radius)
        if not least_px <= radius <= most_px or len(arc) < LEAST_ARC_TURN * radius or away.max() > 0.1 * radius:
            continue
        reach = 1.0 + NARROWING[0]
        top, left = (max(0, int(middle - reach * radius)) for middle in (row, column))
        around = (slice(top, int(row + reach * radius) + 2), slice(left, int(column + reach * radius) + 2))
        at = np.argwhere(lines[around]) + np.array([top, left], np.float64)
        for share in NARROWING:
            near = np.abs(np.hypot(*(at - (row, column)).T) - radius) <= share * radius + 1.5
            if np.count_nonzero(near) > LEAST_ARC_PX:
                row, column, radius = _circle(at[near])
        least_seen = max(LEAST_SEEN, SEEN_PER_RADIUS * radius / most_px)
        if radius <= most_px and _goes_round(lines, row, column, radius, least_seen):
            close = np.abs(np.hypot(*(at - (row, column)).T) - radius) <= NARROWING[-1] * radius + 2.0
            rims[tuple(at[close].astype(int).T)] = 1
    return rims


def _parts(arc: Lanes) -> list[Lanes]:
    """An arc whole and in parts: a line may run round one bubble and on round the next."""
    starts = range(0, len(arc) - PART_PX, PART_PX // 2)
    return [arc, *(arc[start:start + PART_PX] for start in starts)]


def _circle(points: Lanes) -> tuple[float, float, float]:
    """Middle and radius of the circle through points by least squares of the squared distances."""
    middle = points.mean(axis=0)
    y, x = (points - middle).T
    terms = np.column_stack([2 * y, 2 * x, np.ones(len(x))])
    found, *_ = np.linalg.lstsq(terms, y**2 + x**2, rcond=None)
    return found[0] + middle[0], found[1] + middle[1], float(np.sqrt(max(0.0, found[2] + found[0]**2 + found[1]**2)))


def _goes_round(lines: Mask, row: float, column: float, radius: float, least_seen: float) -> bool:
    turns = np.arange(0.0, 2 * np.pi, 1.0 / radius)
    reach = round(NARROWING[-1] * radius + 1.5)
    radii = radius + np.arange(-reach, reach + 1)[:, np.newaxis]
    y, x = np.rint(row + radii * np.sin(turns)).astype(int), np.rint(column + radii * np.cos(turns)).astype(int)
    below, right = (side - FRAME_PX for side in lines.shape)
    inside = (y >= FRAME_PX) & (x >= FRAME_PX) & (y < below) & (x < right)
    on_line = (lines[np.where(inside, y, 0), np.where(inside, x, 0)] * inside).any(axis=0)
    seen = inside[reach]
    return bool(seen.mean() >= least_seen and on_line[seen].mean() >= LEAST_COVERED)


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
    tangent = np.gradient(line_px, axis=0)
    tangent /= np.maximum(np.hypot(*tangent.T), 1e-9)[:, np.newaxis]
    steps = np.arange(-SIDE_HALF_WIDTHS[1], SIDE_HALF_WIDTHS[1] + 0.01, 0.25)
    away = (steps * half_width_px)[:, np.newaxis]
    profile = map_coordinates(dark, [line_px[:, 0] + away * tangent[:, 1], line_px[:, 1] - away * tangent[:, 0]],
                              order=1, mode="nearest")
    profile = gaussian_filter1d(profile, scale_px, axis=1, mode="nearest")
    middle = profile[abs(steps) <= 0.5].max(axis=0)
    sides = np.array([middle - profile[(way * steps) >= SIDE_HALF_WIDTHS[0]].min(axis=0) for way in (1, -1)])
    return np.asarray(sides.min(axis=0) > SIDES_LEAST * sides.max(axis=0))
