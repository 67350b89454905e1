"""Lines of hyphae sorted from what only looks like them."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from rootcase.science.lanes import Lanes
from rootcase.science.photo.debris import thick_areas
from rootcase.science.photo.kernel import compiled
from rootcase.science.photo.light import Picture
from rootcase.science.photo.paths import all_smoothed, lengths_px
from rootcase.science.photo.ridges import SAMPLED_PX, spread_by_median
from rootcase.science.photo.rings import ring_rims
from rootcase.science.photo.sides import all_lighter_both_sides
from rootcase.science.photo.strands import OPEN, Strand, Strands, one_by_one, strands_of
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
    noise = spread_by_median(sampled)
    grains = lines & thick_areas(dark, max(GRAIN_LEAST, GRAIN_NOISE * noise), WIDEST_RADIUS_UM / step_um)
    lines &= 1 - grains
    rims = _rims(lines, dark, widths, step_um)
    lines &= 1 - rims
    lines &= 1 - _spurs(lines, widths)
    left = strands_of(lines)
    arcs = all_smoothed(left.pixels, left.bounds, ALONG_UM / step_um)
    bubbles = lines & ring_rims(at_first, arcs, left.bounds, BUBBLE_UM[0] / step_um, BUBBLE_UM[1] / step_um)
    lines &= 1 - bubbles
    lines &= 1 - _spurs(lines, widths)
    strands, half_widths, doubtful_um, short_um = _slender(strands_of(lines), widths, step_um)
    grains_um, rims_um, bubbles_um = (float(step_um * np.count_nonzero(gone)) for gone in (grains, rims, bubbles))
    return Kept(strands, half_widths, doubtful_um, grains_um, rims_um, bubbles_um, short_um)


def _rims(lines: Mask, dark: Picture, widths: Picture, step_um: float) -> Mask:
    strands = strands_of(lines)
    paths = all_smoothed(strands.pixels, strands.bounds, ALONG_UM / step_um)
    lighter = all_lighter_both_sides(dark, paths, strands.bounds, _half_widths(widths, strands),
                                     2 * ALONG_UM / step_um)
    gone = np.zeros_like(lines)
    gone[tuple(strands.pixels[~lighter].T)] = 1
    return gone


def _half_widths(widths: Picture, strands: Strands) -> Lanes:
    """Of each strand the median along it, at least 1. [px]"""
    return np.asarray(np.maximum(1.0, _medians(widths[tuple(strands.pixels.T)], strands.bounds)))


@compiled
def _medians(values: Any, bounds: Any) -> Any:
    medians = np.empty(len(bounds) - 1)
    for each in range(len(medians)):
        those = np.sort(values[bounds[each]:bounds[each + 1]])
        middle = len(those) // 2
        medians[each] = those[middle] if len(those) % 2 else (those[middle - 1] + those[middle]) / np.float32(2.0)
    return medians


def _spurs(lines: Mask, widths: Picture) -> Mask:
    strands = strands_of(lines)
    gone = np.zeros(len(strands.pixels), np.bool_)
    _mark_spurs(strands.bounds, strands.forks, widths[tuple(strands.pixels.T)], gone)
    spurs = np.zeros_like(lines)
    spurs[tuple(strands.pixels[gone].T)] = 1
    return spurs


@compiled
def _mark_spurs(bounds: Any, forks: Any, widths: Any, gone: Any) -> None:
    """All of a spur but its fork; how wide it is, is told by its outer half."""
    for each in range(len(forks)):
        first, stop = bounds[each], bounds[each + 1]
        count, outwards = stop - first, forks[each, 1] == OPEN
        if (forks[each, 0] == OPEN) == outwards:
            continue
        half = count // 2
        outer = widths[first + half:stop] if outwards else widths[first:stop - half]
        if count < SPUR_WIDTHS * 2 * outer.max():
            if outwards:
                gone[first + 1:stop] = True
            else:
                gone[first:stop - 1] = True


def _slender(strands: Strands, widths: Picture, step_um: float) -> tuple[list[Strand], list[float], float, float]:
    """Of what hangs together all that is long and thin enough, and the lengths that are doubtful and that are not
    it."""
    if not len(strands.forks):
        return [], [], 0.0, 0.0
    together = _together(strands.forks)
    half = _half_widths(widths, strands)
    lengths = lengths_px(all_smoothed(strands.pixels, strands.bounds, ALONG_UM / step_um), strands.bounds)
    whole_um = step_um * np.bincount(together, lengths)
    width_um = 2 * step_um * np.bincount(together, lengths * half) / np.maximum(np.bincount(together, lengths), 1e-9)
    good = (whole_um >= np.maximum(SHORTEST_UM, SLENDEREST * width_um)) & (width_um <= WIDEST_AREA_UM)
    kept = np.flatnonzero(good[together])
    return (one_by_one(strands, kept), half[kept].tolist(),
            float(whole_um[good & (whole_um < DOUBTFUL_UM)].sum()), float(whole_um[~good].sum()))


def _together(ends: NDArray[np.int64]) -> Lanes:
    """A number for each strand, the same for all that hang together by forks."""
    forks = ends.copy()
    free = forks == OPEN
    forks[free] = forks.max(initial=0) + 1 + np.arange(np.count_nonzero(free))
    count = int(forks.max()) + 1
    joined = coo_matrix((np.ones(len(forks)), (forks[:, 0], forks[:, 1])), shape=(count, count))
    return np.asarray(connected_components(joined, directed=False)[1][forks[:, 0]])
