"""The length of the hyphae on a photo through the microscope."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import partial
from typing import Any, NamedTuple

import numpy as np
from scipy.ndimage import maximum_filter

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.photo.crossings import Line, gaps_bridged, walked_twice_px, with_tips
from rootcase.science.photo.darkness import darkness
from rootcase.science.photo.kernel import compiled
from rootcase.science.photo.light import shrunk
from rootcase.science.photo.paths import path_length_px, smoothed
from rootcase.science.photo.ridges import Lines, line_strength
from rootcase.science.photo.sorting import Kept, sorted_lines
from rootcase.science.photo.strips import in_strips
from rootcase.science.photo.thinning import Mask, grown

THINNEST_UM, THICKEST_UM = 1.5, 10.0
"""Hyphae are as thick as that: common practice, no source."""
COARSEST_UM_PX, FINEST_UM_PX = THINNEST_UM / 2, 0.01
"""The thinnest must be two pixels wide to be seen (Nyquist); beyond the finest no microscope with light goes."""
WORKING_UM_PX = THINNEST_UM / 3
"""A picture finer than that is brought down to it. JUDGEMENT: three pixels across the thinnest."""
LIGHT_UM = 4 * THICKEST_UM
"""Squares in which the light is taken. JUDGEMENT: a line covers a quarter of one at most."""
FINEST_SCALE_PX = 0.55
"""Under this a Gaussian on a grid is no Gaussian any more. JUDGEMENT."""
LEAST_STRENGTH = 0.02
"""The strength of a line 4 % darker than the light. JUDGEMENT: the eye sees no less."""
SURE_NOISE, POSSIBLE_SHARE = 5.0, 0.5
"""A line begins at so many standard deviations of the noise and goes on down to half of that. JUDGEMENT: of normal
noise
one pixel in some millions is as strong."""
FLANK_SHARE, NEAR_UM = 0.35, 2.0
"""A pixel this weak beside a stronger line is that line's flank. JUDGEMENT."""
DARK_SHARE = 1.5
"""Within a bar darkness is twice its strength and more (computed); beside a bright grain there is strength without
darkness."""
SMOOTH_UM = 2.0
"""Standard deviation along the middle line. JUDGEMENT: takes the pixels' steps out and leaves the bends of hyphae."""
GAP_UM = 15.0
"""The widest gap that is bridged. JUDGEMENT: a grain."""
HIDDEN_PER_COVER = 0.72
"""Of the length, the part hidden under other strands and grains, for each part of the picture that strands cover.
Calibrated on 48 drawn pictures of 4 to 24 strands, apart from those of the tests (computed)."""
SPREAD = 0.02
"""Relative standard deviation of the length on those pictures, less what is told apart (computed)."""
PART_KNOWN = 0.4
"""What is bridged, hidden or doubtful is known to this part of itself, one standard deviation. JUDGEMENT, on the
safe side of what
the same pictures show."""
NORMAL_95 = 1.96


class Piece(NamedTuple):
    """A stretch of hypha to be drawn over the photo: (x, y) a row [px] from the middle of its upper left pixel, length
    [um], and whether it was seen or only bridges a gap."""

    points_px: Lanes
    length_um: float
    seen: bool


class Hyphae(NamedTuple):
    """Length with its interval of 95 % [um], of which estimated under other strands [um], the ground looked at [mm2],
    the pieces, and middle lines taken for something else [um]: wide grains, the rims of grains, of bubbles, and what
    is too
    short or too stout."""

    length_um: float
    low_um: float
    high_um: float
    hidden_um: float
    area_mm2: float
    pieces: tuple[Piece, ...]
    grains_um: float
    rims_um: float
    bubbles_um: float
    short_um: float


def hyphae_of(picture: Numbers, um_per_px: float) -> Hyphae:
    """How long are the dark lines on a photo?

    Parameters
    ----------
    picture : grey values, one a pixel, (row, column), 64 working pixels a side or more. [-], 0 to 65535
    um_per_px : side of a pixel on the slide. [um], 0.01 to 0.75

    Returns
    -------
    Hyphae(length_um, low_um, high_um, hidden_um, area_mm2, pieces, grains_um, rims_um, bubbles_um, short_um).

    Raises
    ------
    OutOfRange : a value leaves its range; the picture is no rectangle or too small.

    Notes
    -----
    Light made even, strength of lines at scales for widths of 1.5 to 10 um, threshold by the picture's own noise,
    debris
    sorted out, middle lines made smooth and drawn out to their tips, crossings at a small angle counted twice, gaps
    of 15 um bridged, and what is still hidden added by the part of the picture that strands cover. No figure was
    fitted to a photo. The interval holds the spread seen on drawn pictures and two fifths of what is bridged, hidden
    or doubtful;
    it knows nothing of a dark fibre that looks like a hypha, nor of hyphae out of focus or paler than 4 %.

    References
    ----------
    The steps: their functions. Their order and the figures of this module: JUDGEMENT, and computed on drawn pictures.

    Examples
    --------
    >>> field = np.full((200, 400), 200.0)
    >>> field[99:103, 50:351] = 120.0
    >>> found = hyphae_of(field, 0.5)
    >>> bool(found.low_um < 150.5 < found.high_um), len(found.pieces)
    (True, 1)
    """
    within("um_per_px", um_per_px, FINEST_UM_PX, COARSEST_UM_PX, "um")
    factor = max(1, int(WORKING_UM_PX / um_per_px + 1e-9))
    step_um = um_per_px * factor
    dark = darkness(shrunk(np.asarray(picture, np.float32), factor), round(LIGHT_UM / step_um))
    found = line_strength(dark, _scales_px(step_um), LEAST_STRENGTH, SURE_NOISE)
    kept = sorted_lines(_areas(found, step_um), found.dark, step_um)
    lines = [with_tips(Line(smoothed(strand.pixels, SMOOTH_UM / step_um), strand.forks, half_width), found.dark)
             for strand, half_width in zip(kept.strands, kept.half_widths_px, strict=True)]
    gaps = gaps_bridged(lines, GAP_UM / step_um)
    pieces = [Piece((points[:, ::-1] + 0.5) * factor - 0.5, step_um * path_length_px(points), seen)
              for group, seen in (([line.points_px for line in lines], True), (gaps, False)) for points in group]
    twice_um = step_um * walked_twice_px(lines)
    covered = sum(2 * line.half_width_px * path_length_px(line.points_px) for line in lines) / dark.size
    return _summed(pieces, twice_um, covered, kept, dark.size * step_um**2 / 1e6)


def scale_um_px(length_um: float, pixels: float) -> float:
    """How large is a pixel on the slide, by a stage micrometer on a photo of the same magnification?

    Parameters
    ----------
    length_um : between two marks of the micrometer. [um], 1 to 100,000
    pixels : between the same marks on the photo. [px], 1 to 100,000

    Returns
    -------
    float. [um]

    Raises
    ------
    OutOfRange : a value leaves its range, or the scale does.

    Notes
    -----
    Read to a pixel over a thousand it is good to 0.1 %. Another objective, camera or picture size needs another one.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> scale_um_px(500.0, 1000.0)
    0.5
    """
    scale = within("length_um", length_um, 1.0, 1e5, "um") / within("pixels", pixels, 1.0, 1e5, "px")
    return float(within("um_per_px", scale, FINEST_UM_PX, COARSEST_UM_PX, "um"))


def corrected_length_um(measured_um: float, pieces: Sequence[Piece], um_per_px: float, deleted: Collection[int],
                        drawn_px: Sequence[Numbers]) -> float:
    """The length after a person took pieces away and drew others.

    Parameters
    ----------
    measured_um : `length_um` of the photo. [um], 0 or more
    pieces : as `hyphae_of` gives them
    um_per_px : side of a pixel on the slide. [um], 0.01 to 0.75
    deleted : places in `pieces` of those that are no hyphae, from 0
    drawn_px : lines drawn by hand, each of two or more points, (x, y) a row. [px]

    Returns
    -------
    float: what was measured, less the pieces taken away, and what was drawn. [um]

    Raises
    ------
    OutOfRange : there is no such piece; a value leaves its range; a line has fewer than two points.

    Notes
    -----
    It has no interval of its own: whoever shows it says that it was corrected by hand. What is measured beyond the
    pieces, hidden under others or shared by two at a crossing, stays, but never more of it than pieces are left.

    References
    ----------
    Length of a path: geometry (computed). What stays: JUDGEMENT, a correction that changes nothing changes no length.

    Examples
    --------
    >>> seen = [Piece(np.array([[0, 0], [0, 10]]), 5.0, True), Piece(np.array([[3, 0], [3, 6]]), 3.0, True)]
    >>> corrected_length_um(8.5, seen, 0.5, {0}, [[(0, 0), (30, 40)]])
    28.5
    """
    within("measured_um", measured_um, 0.0, np.inf, "um")
    within("um_per_px", um_per_px, FINEST_UM_PX, COARSEST_UM_PX, "um")
    within("deleted", sorted(deleted), 0, len(pieces) - 1, "")
    drawn = [within("drawn", points, -1e6, 1e6, "px") for points in drawn_px]
    within("points of a line", [len(points) for points in drawn], 2, 1e6, "")
    beyond = measured_um - sum(piece.length_um for piece in pieces)
    left = sum(piece.length_um for number, piece in enumerate(pieces) if number not in deleted)
    return float(left + min(beyond, left) + um_per_px * sum(path_length_px(points) for points in drawn))


def _scales_px(step_um: float) -> list[float]:
    """Two an octave: from the finest at which a thin line's middle is its strongest place, to the thickest's."""
    finest_um = THINNEST_UM / 2 / np.sqrt(3.0)
    octaves = np.arange(0.0, np.log2(THICKEST_UM / THINNEST_UM) + 0.5, 0.5)
    return [float(scale) for scale in finest_um * 2**octaves / step_um if scale >= FINEST_SCALE_PX]


def _areas(found: Lines, step_um: float) -> Mask:
    """Where lines are: sure somewhere, dark, and not only the flank of a stronger one."""
    block = max(1, round(NEAR_UM / step_um))
    rows, columns = (side // block * block for side in found.strength.shape)
    most = found.strength[:rows, :columns].reshape(rows // block, block, columns).max(axis=1)
    most = most.reshape(rows // block, -1, block).max(axis=2)
    near = maximum_filter(most, 3)
    possible, sure = (np.empty(found.strength.shape, np.uint8) for _ in range(2))
    in_strips(partial(_mark, *found, near, block, possible, sure), len(possible), 1)
    return grown(sure, possible)


@compiled
def _mark(strength: Any, height: Any, dark: Any, near: Any, block: int, possible: Any, sure: Any, first: int,
          last: int) -> None:
    for row in range(first, last):
        above = near[min(row // block, near.shape[0] - 1)]
        for column in range(strength.shape[1]):
            here = strength[row, column]
            may_be = (height[row, column] > POSSIBLE_SHARE and dark[row, column] > DARK_SHARE * here
                      and here > FLANK_SHARE * above[min(column // block, len(above) - 1)])
            possible[row, column] = may_be
            sure[row, column] = may_be and height[row, column] > 1.0


def _summed(pieces: list[Piece], twice_um: float, covered: float, kept: Kept, area_mm2: float) -> Hyphae:
    seen_um = sum(piece.length_um for piece in pieces if piece.seen)
    bridged_um = sum(piece.length_um for piece in pieces if not piece.seen)
    plain_um = seen_um + twice_um + bridged_um
    hidden_um = HIDDEN_PER_COVER * covered * plain_um
    length_um = plain_um + hidden_um
    spread_um = float(np.hypot(SPREAD * length_um, PART_KNOWN * (hidden_um + bridged_um)))
    low_um = length_um - np.hypot(NORMAL_95 * spread_um, PART_KNOWN * kept.doubtful_um)
    high_um = length_um + np.hypot(NORMAL_95 * spread_um, PART_KNOWN * kept.short_um)
    return Hyphae(length_um, max(0.0, float(low_um)), float(high_um), hidden_um, area_mm2, tuple(pieces),
                  kept.grains_um, kept.rims_um, kept.bubbles_um, kept.short_um)
