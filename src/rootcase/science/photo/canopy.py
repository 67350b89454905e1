"""A crown seen from below: how much of the picture is sky."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from rootcase.ground.errors import OutOfRange
from rootcase.ground.words import say
from rootcase.science.lanes import Lanes, Numbers
from rootcase.science.photo.light import SMALLEST_SIDE_PX, Picture, shrunk
from rootcase.science.photo.outline import drawn_outline, filled

LOOKED_AT_PX = 1600
"""The longer side of the picture that is split; a finer one is brought down to it. JUDGEMENT"""
WINDOW = 0.12
"""Of the shorter side, over which the brightest is taken for the sky. JUDGEMENT: wider than a crown's closed parts
mostly are, narrower than the sky's own changes"""
GAMMA = 2.2
DARKEST_SKY = 0.3
"""No part of the sky is darker than this part of the photo's bright sky: where all is darker there is no gap.
JUDGEMENT"""
HALF, SURE = 0.5, (0.35, 0.65)
"""Of the sky's light: where crown and sky are parted, and where else they might be. JUDGEMENT"""
LEAST_OFF = 0.01
LEAST_KEPT = 0.1
"""Of the picture that must be left beside what a hand leaves out. JUDGEMENT"""
BURNT = 0.98
"""Of the brightest that a picture stores: there is no more to be seen. JUDGEMENT"""
SUN_SHARE, BURNT_SHARE = 0.002, 0.25
"""Of all pixels burnt out: from here the sun is in the picture; from there the whole sky is. JUDGEMENT"""
DARK_SKY = 0.25
"""A bright sky stored no brighter than this is too dark. JUDGEMENT"""


class Gaps(NamedTuple):
    """How much of a crown from below is sky, with an interval of 95 %."""

    fraction: float
    low: float
    high: float
    doubts: tuple[str, ...]
    """Of "sun", "burnt" and "dark" those that hold."""
    sky: NDArray[np.bool_]
    """A row a row of pixels of the photo brought down to at most 1600 a side: what was taken for sky."""


def gaps_in(pixels: NDArray[np.uint8], left_out: Sequence[Numbers] = ()) -> Gaps:
    """How much of a photo of a crown from below is sky?

    Parameters
    ----------
    pixels : rows of (red, green, blue), at least 64 a side. [-], 0 to 255
    left_out : outlines of what is no part of the crown's picture: the sun's glare, a building, a hand; each of (x, y) a
        row, from the middle of the upper left pixel. [px]

    Returns
    -------
    Gaps(fraction, low, high, doubts, sky). [1]

    Raises
    ------
    OutOfRange : the picture is too small; an outline is none, or less than a tenth of the picture is left.

    Notes
    -----
    What is stored is brought back to light; each pixel is held against the sky about it, the brightest of its
    surroundings, and is sky from half of that on. Blue is taken, in which leaves are darkest and sky is bright. A
    threshold on stored values takes blurred rims of leaves for sky. The interval is what other parts than the half give
    and one point; it knows nothing of wood, of another place to stand or of a lens seen wide.

    References
    ----------
    JUDGEMENT: half of the light, where a pixel shows as much sky as crown; IEC 61966-2-1 (sRGB) for the power, about
    2.2 (memory).

    Examples
    --------
    >>> crown = np.full((200, 200, 3), 230, np.uint8)
    >>> crown[:100] = 40
    >>> round(gaps_in(crown).fraction, 2)
    0.5
    """
    if min(pixels.shape[:2]) < SMALLEST_SIDE_PX:
        raise OutOfRange(say("photo.too_small"), value=f"{pixels.shape[1]} x {pixels.shape[0]}",
                         right=say("photo.canopy.right_size", least=SMALLEST_SIDE_PX))
    factor = max(1, -(-max(pixels.shape[:2]) // LOOKED_AT_PX))
    kept = _kept(pixels.shape[1], pixels.shape[0], factor, left_out)
    light = shrunk((pixels[..., 2].astype(np.float32) / np.float32(255)) ** np.float32(GAMMA), factor)
    light[~kept] = 0.0
    darkest = pixels.min(axis=2)[::factor, ::factor][:kept.shape[0], :kept.shape[1]] / 255
    sky = _sky(light)
    fraction, high, low = (float(np.mean((light > part * sky)[kept])) for part in (HALF, *SURE))
    burnt = float(np.mean(darkest[kept] > BURNT))
    held = {"sun": SUN_SHARE < burnt < BURNT_SHARE, "burnt": burnt >= BURNT_SHARE,
            "dark": float(np.percentile(light[kept], 99)) < DARK_SKY ** GAMMA}
    return Gaps(fraction, max(0.0, min(low, fraction) - LEAST_OFF), min(1.0, max(high, fraction) + LEAST_OFF),
                tuple(name for name, holds in held.items() if holds), light > HALF * sky)


def _kept(wide: int, high: int, factor: int, left_out: Sequence[Numbers]) -> NDArray[np.bool_]:
    """Which pixels of the picture that is looked at are no one's that is left out."""
    kept = np.ones((high // factor, wide // factor), np.bool_)
    for each in left_out:
        outline: Lanes = (drawn_outline(each, wide, high) + 0.5) / factor - 0.5
        kept &= ~filled(outline, kept.shape[1], kept.shape[0])
    if kept.mean() < LEAST_KEPT:
        raise OutOfRange(say("photo.canopy.left_out"), value=f"{100 * kept.mean():.0f} %",
                         right=say("photo.canopy.right_left_out", least=f"{100 * LEAST_KEPT:.0f} %"))
    return kept


def _sky(light: Picture) -> Picture:
    """The light of the sky about each pixel."""
    side = max(3, round(WINDOW * min(light.shape)))
    brightest = ndimage.maximum_filter(ndimage.gaussian_filter(light, 1), side)
    about = ndimage.gaussian_filter(brightest, side / 4)
    bright = float(np.percentile(light[light < BURNT ** GAMMA], 99)) if (light < BURNT ** GAMMA).any() else 1.0
    return np.asarray(np.maximum(about, np.float32(DARKEST_SKY * bright)))
