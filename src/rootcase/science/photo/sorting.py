"""Lines of hyphae sorted from what only looks like them."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from rootcase.science.lanes import Lanes
from rootcase.science.photo.debris import lighter_both_sides, ring_rims, thick_areas
from rootcase.science.photo.light import Picture
from rootcase.science.photo.ridges import MEDIAN_DEVIATION, SAMPLED_PX
from rootcase.science.photo.strands import OPEN, Strand, path_length_px, smoothed, strands_of
from rootcase.science.photo.thinning import Mask, half_widths_px, middle_lines

ALONG_UM = 2.0
"""Standard deviation of the Gaussian along a line, and half of that by which its sides are smoothed. JUDGEMENT."""
WIDEST_RADIUS_UM = 5.0
"""Half of the thickest hypha's width: common practice, no source."""
WIDEST_AREA_UM = 14.0
"""A blurred line's area is wider than the line. JUDGEMENT."""
BUBBLE_UM = (5.0, 100.0)
"""Radius of what is looked for as a bubble or a round grain. JUDGEMENT."""
GRAIN_LEAST, GRAIN_NOISE = 0.04, 4.0
"""A grain is darker than that and than so many standard deviations of the noise. JUDGEMENT."""
SHORTEST_UM, DOUBTFUL_UM, SLENDEREST = 10.0, 30.0, 3.0
"""What hangs together and is shorter, or less than three times as long as wide, is no hypha; up to the second length
it is
doubtful. JUDGEMENT."""
SPUR_WIDTHS = 1.5
"""A side line shorter than so many widths of its area leads only to the area's own edge. JUDGEMENT."""


class Kept(NamedTuple):
    """The strands that are hyphae, each with the half-width of its area [px], and lengths of middle lines [um]: kept
    though
    doubtful; taken for grains, for rims of grains, for bubbles, for too short or too stout."""

    strands: list[Strand]
    half_widths_px: list[float]
    doubtful_um: float
    grains_um: float
    rims_um: float
    bubbles_um: float
    short_um: float


def sorted_lines(mask: Mask, dark: Picture, step_um: float) -> Kept:
    """Which middle lines of areas are hyphae?

    Parameters
    ----------
    mask : 1 inside an area that may be a line, 0 outside
    dark : darkness against the surroundings, a little smoothed; same shape. [-]
    step_um : side of a pixel on the slide. [um], above 0

    Returns
    -------
    Kept(strands, half_widths_px, doubtful_um, grains_um, rims_um, bubbles_um, short_um).

    Raises
    ------
    Nothing.

    Notes
    -----
    Sorted out in this order: what is wide every way, what is lighter on one side only, spurs, rims round a disc, and of
    what is left all that is too short, too stout or too wide as a whole.

    References
    ----------
    JUDGEMENT: the rules of this room, and their figures.

    Examples
    --------
    >>> dark = np.zeros((100, 200), np.float32)
    >>> dark[20:24, 20:180] = dark[60:70, 60:72] = 0.4
    >>> kept = sorted_lines((dark > 0.2).astype(np.uint8), dark, 0.5)
    >>> len(kept.strands)
    1
    """
    lines = middle_lines(mask)
    at_first = lines.copy()
    widths = half_widths_px(mask, lines, int(2 * WIDEST_RADIUS_UM / step_um) + 1)
    sampled = dark[::SAMPLED_PX, ::SAMPLED_PX]
    noise = MEDIAN_DEVIATION * float(np.median(np.abs(sampled - np.median(sampled))))
    grains = lines & thick_areas(dark, max(GRAIN_LEAST, GRAIN_NOISE * noise), WIDEST_RADIUS_UM / step_um)
    lines &= 1 - grains
    rims = _rims(lines, dark, widths, step_um)
    lines &= 1 - rims
    lines &= 1 - _spurs(lines, widths)
    arcs = [smoothed(strand.pixels, ALONG_UM / step_um) for strand in strands_of(lines)]
    bubbles = lines & ring_rims(at_first, arcs, BUBBLE_UM[0] / step_um, BUBBLE_UM[1] / step_um)
    lines &= 1 - bubbles
    lines &= 1 - _spurs(lines, widths)
    strands, half_widths, doubtful_um, short_um = _slender(strands_of(lines), widths, step_um)
    grains_um, rims_um, bubbles_um = (float(step_um * np.count_nonzero(gone)) for gone in (grains, rims, bubbles))
    return Kept(strands, half_widths, doubtful_um, grains_um, rims_um, bubbles_um, short_um)


def _rims(lines: Mask, dark: Picture, widths: Picture, step_um: float) -> Mask:
    gone = np.zeros_like(lines)
    for strand in strands_of(lines):
        if len(strand.pixels) > 2:
            half_width = max(1.0, float(np.median(widths[tuple(strand.pixels.T)])))
            line = smoothed(strand.pixels, ALONG_UM / step_um)
            rim = strand.pixels[~lighter_both_sides(dark, line, half_width, 2 * ALONG_UM / step_um)]
            gone[tuple(rim.T)] = 1
    return gone


def _spurs(lines: Mask, widths: Picture) -> Mask:
    gone = np.zeros_like(lines)
    for strand in strands_of(lines):
        if (strand.forks[0] == OPEN) != (strand.forks[1] == OPEN):
            outwards = strand.pixels if strand.forks[1] == OPEN else strand.pixels[::-1]
            width = 2 * float(widths[tuple(outwards[len(outwards) // 2:].T)].max())
            if len(outwards) < SPUR_WIDTHS * width:
                gone[tuple(outwards[1:].T)] = 1
    return gone


def _slender(strands: list[Strand], widths: Picture, step_um: float) -> tuple[list[Strand], list[float], float, float]:
    """Of what hangs together all that is long and thin enough, and the lengths that are doubtful and that are not
    it."""
    if not strands:
        return [], [], 0.0, 0.0
    together = _together(strands)
    half = np.array([max(1.0, float(np.median(widths[tuple(strand.pixels.T)]))) for strand in strands])
    lengths = np.array([path_length_px(smoothed(strand.pixels, ALONG_UM / step_um)) for strand in strands])
    whole_um = step_um * np.bincount(together, lengths)
    width_um = 2 * step_um * np.bincount(together, lengths * half) / np.maximum(np.bincount(together, lengths), 1e-9)
    good = (whole_um >= np.maximum(SHORTEST_UM, SLENDEREST * width_um)) & (width_um <= WIDEST_AREA_UM)
    kept = [number for number, group in enumerate(together) if good[group]]
    return ([strands[number] for number in kept], half[kept].tolist(),
            float(whole_um[good & (whole_um < DOUBTFUL_UM)].sum()), float(whole_um[~good].sum()))


def _together(strands: list[Strand]) -> Lanes:
    """A number for each strand, the same for all that hang together by forks."""
    forks = np.array([strand.forks for strand in strands])
    free = forks == OPEN
    forks[free] = forks.max(initial=0) + 1 + np.arange(np.count_nonzero(free))
    count = int(forks.max()) + 1
    joined = coo_matrix((np.ones(len(forks)), (forks[:, 0], forks[:, 1])), shape=(count, count))
    return np.asarray(connected_components(joined, directed=False)[1][forks[:, 0]])
