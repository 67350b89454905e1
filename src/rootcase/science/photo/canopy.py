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
from rootcase.science.photo.crown_light import BLUE, GAMMA, HALF, CrownLight, crown_light, light_of
from rootcase.science.photo.light import SMALLEST_SIDE_PX, Picture, shrunk
from rootcase.science.photo.no_crown import require_crown
from rootcase.science.photo.outline import drawn_outline, filled
from rootcase.science.photo.paper import Mask

LOOKED_AT_PX = 1600
"""The longer side of the picture that is split; a finer one is brought down to it. JUDGEMENT"""
PLAIN = 0.2
"""A pixel nearer to crown, or to sky, than this part of the way is all of it; between them it counts by its share.
JUDGEMENT"""
SURE = (0.35, 0.65)
"""Of the way from crown to sky: where else than half-way they might be parted. JUDGEMENT"""
SURE_BURNT = 0.95
"""The same of a sky that is burnt out: it may be twice as light as is stored. JUDGEMENT"""
LEAST_OFF = 0.01
LEAST_KEPT = 0.1
"""Of the picture that must be left beside what a hand leaves out. JUDGEMENT"""
BURNT = 250
"""Of what a picture stores in its darkest color: there is no more to be seen. JUDGEMENT"""
SUN_SHARE, BURNT_SHARE = 0.002, 0.25
"""Of all pixels burnt out: from here the sun is in the picture; from there, or of the bright ones, the sky is burnt.
JUDGEMENT"""
SUN_WIDTH, SUN_RIM = 0.005, 0.013
"""Of the shorter side: what is burnt out half as wide hides what is before it, and so far around. JUDGEMENT"""
CLOUD_WIDTH_PX, CLOUD_SHARE = 2, 0.005
"""Half of how wide, and how much of the photo, sky is that only its blue tells from the crown. JUDGEMENT: a rim is
narrower"""
DARK_SKY = 0.25
"""A bright sky stored no brighter than this is too dark. JUDGEMENT"""


class Gaps(NamedTuple):
    """How much of a crown from below is sky, with an interval of 95 %."""

    fraction: float
    low: float
    high: float
    doubts: tuple[str, ...]
    """Of "sun", "burnt", "clouds" and "dark" those that hold."""
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
    OutOfRange : the picture is too small; an outline is none, or less than a tenth of the picture is left; it shows no
        crown before a sky.

    Notes
    -----
    What is stored is brought back to light. Each pixel is held against the light of the sky and of the crown about it,
    and counts as sky by where it lies between them: a blurred rim is half leaf, half sky. A threshold on stored values
    takes such rims for sky. Where bright clouds stand in a darker blue sky, blue alone is taken, less sharply. Where
    the sun burns the picture out, nothing is told, and the rest stands for it. The interval is what other places to
    part the two than half-way give, and one point; with the sun, what it hides taken for crown and for sky. It knows
    nothing of wood, of another place to stand or of a lens seen wide.

    References
    ----------
    A pixel that mixes two lights: arithmetic (computed); `light_of`, `crown_light`, `require_crown`. JUDGEMENT for the
    interval.

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
    light, few = shrunk(light_of(pixels), factor), _few(pixels, factor)
    burnt = few.min(axis=2) >= BURNT
    sun = _by_the_sun(burnt)
    whole_sky = _is_burnt(light, burnt, kept, sun)
    hidden = np.zeros_like(sun) if whole_sky else sun
    told = kept & ~hidden
    by_blue, read = (_parted(each, told, burnt) for each in (shrunk(light_of(pixels, BLUE), factor), light))
    clouds = _are_clouds(read.share, by_blue.share, told)
    about, share = by_blue if clouds else read
    require_crown(few, light, about, share, told)
    fraction, low, high = _counted(share, kept, hidden, SURE_BURNT if whole_sky else SURE[1])
    bright = float(np.percentile(light[kept], 99))
    held = {"sun": bool(burnt[kept].mean() > SUN_SHARE) and not whole_sky, "burnt": whole_sky,
            "clouds": clouds, "dark": bright < DARK_SKY ** GAMMA}
    return Gaps(fraction, low, high, tuple(name for name, holds in held.items() if holds), (share > HALF) & kept)


def _few(pixels: NDArray[np.uint8], factor: int) -> NDArray[np.uint8]:
    """One pixel of each block, for its colors."""
    rows, columns = (side // factor * factor for side in pixels.shape[:2])
    return pixels[factor // 2:rows:factor, factor // 2:columns:factor]


class _Parted(NamedTuple):
    about: CrownLight
    share: Picture
    """How much of each pixel is sky; what is burnt out is."""


def _parted(light: Picture, told: Mask, burnt: Mask) -> _Parted:
    about = crown_light(light, told)
    share = (light - about.crown) / np.maximum(about.sky - about.crown, np.float32(1e-6))
    return _Parted(about, np.where(burnt, np.float32(1), share))


def _are_clouds(share: Picture, by_blue: Picture, told: Mask) -> bool:
    """Whether bright clouds make the sky beside them pass for crown, where blue still tells it from that."""
    taken = ndimage.binary_opening(told & (by_blue > 1 - PLAIN) & (share < HALF), iterations=CLOUD_WIDTH_PX)
    return bool(taken.mean() > CLOUD_SHARE)


def _by_the_sun(burnt: Mask) -> Mask:
    """What the sun outshines: the largest burnt place, not each small gap that is."""
    half_width, rim = (max(1, round(part * min(burnt.shape))) for part in (SUN_WIDTH, SUN_RIM))
    places, count = ndimage.label(ndimage.binary_opening(burnt, iterations=half_width))
    if not count:
        return np.zeros_like(burnt)
    return np.asarray(ndimage.binary_dilation(places == np.argmax(np.bincount(places.ravel())[1:]) + 1, iterations=rim))


def _is_burnt(light: Picture, burnt: Mask, kept: Mask, sun: Mask) -> bool:
    """Whether the sky is burnt out: much of the photo, or much of what is bright beside the largest such place."""
    bright = kept & ~sun & (light > HALF * np.percentile(light[kept], 99))
    return bool(burnt[kept].mean() >= BURNT_SHARE or (bright.any() and burnt[bright].mean() >= BURNT_SHARE))


def _counted(share: Picture, kept: Mask, hidden: Mask, sure: float) -> tuple[float, float, float]:
    """The part that is sky of what is seen, and the least and the most of all."""
    seen = share[kept & ~hidden]
    counted = np.where(seen > 1 - PLAIN, 1, np.where(seen < PLAIN, 0, seen))
    lost = float(hidden[kept].mean())
    fraction = float(counted.mean()) if seen.size else HALF
    high, low = ((1 - lost) * float((seen > part).mean()) if seen.size else 0.0 for part in (SURE[0], sure))
    return (fraction, max(0.0, min(low, fraction) - LEAST_OFF), min(1.0, max(high + lost, fraction) + LEAST_OFF))


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
