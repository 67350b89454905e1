"""Photos that show no crown before a sky, and are not measured as one."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from rootcase.ground.errors import OutOfRange
from rootcase.ground.words import say
from rootcase.science.lanes import Lanes
from rootcase.science.photo.card import find_card
from rootcase.science.photo.crown_light import GAMMA, HALF, CrownLight
from rootcase.science.photo.light import Picture, shrunk
from rootcase.science.photo.paper import Mask

LEAST_TIMES = 3.0
"""Sky that is less often as light as the crown is not told from it. JUDGEMENT: drawn crowns have 7 to 13 times, leaves
on their card 2, threads on a slide 2"""
NEAR, LEAST_NEAR = 0.25, 0.55
"""So near to the light of the sky about it, over how much lighter than the crown that is, most of the sky is.
JUDGEMENT: of drawn crowns 66 % and more, of lawns, bark and noise 50 % and less"""
GREEN, WARM = 1.2, 0.5
"""A sky is no greener than this times its brighter other color, and has more blue than this part of its red.
JUDGEMENT"""
SEARCHED_PX = 500
"""The longer side of the picture that the card, and lines of print, are looked for on. JUDGEMENT"""
PRINT_TURNS_DEG = tuple(np.arange(-8.0, 8.5, 0.5))
PRINT_DARK = 0.4
"""Print covers less of a page. JUDGEMENT"""
PRINT_SMOOTH, PRINT_LINES = 1 / 20, 1 / 12
"""Of the height: what changes over more is no line; lines are closer. JUDGEMENT"""
PRINT_LEAST, PRINT_ALIKE, PRINT_AGAIN = 0.7, 0.48, 0.33
"""Lines of print: how much their darkness changes over its mean, and how alike it is one line and two lines on.
JUDGEMENT: on drawn pages 0.9, 0.51 and 0.38 or more, with drawn crowns never all three"""


def require_crown(pixels: NDArray[np.uint8], light: Picture, about: CrownLight, share: Picture, told: Mask) -> None:
    """Does a photo show a crown before a sky?

    Parameters
    ----------
    pixels : rows of (red, green, blue) of the photo brought down. [-], 0 to 255
    light : as `light_of` gives it for them. [-], 0 to 1
    about : as `crown_light` gives it for that
    share : how much of each pixel is sky. [1]
    told : pixels that are looked at

    Returns
    -------
    None.

    Raises
    ------
    OutOfRange : no sky or no crown; the sky is hardly lighter, too uneven, green or brown; the card for leaves or lines
        of print are seen.

    Notes
    -----
    A picture of dark things on something white and even is not told from a crown.

    References
    ----------
    JUDGEMENT, from drawn photos and from others that show none.

    Examples
    --------
    >>> from rootcase.science.photo.crown_light import crown_light, light_of
    >>> lawn = np.full((80, 80, 3), (60, 140, 40), np.uint8)
    >>> lawn[:, 40:] = (10, 30, 5)
    >>> light, told = light_of(lawn), np.ones((80, 80), np.bool_)
    >>> require_crown(lawn, light, crown_light(light, told), np.where(light > 0.1, 1, 0), told)
    Traceback (most recent call last):
    ...
    rootcase.ground.errors.OutOfRange: what is bright on the photo has no color of a sky (got red 4, green 27, blue ...
    """
    right = say("photo.canopy.right_crown")
    if _shows_the_card(light):
        raise OutOfRange(say("photo.canopy.card"), right=right)
    times = float(np.median(about.sky[told]) / max(float(np.median(about.crown[told])), 1e-6)) if told.any() else np.nan
    if not times >= LEAST_TIMES:  # not a number where there is no sky, or no crown
        raise OutOfRange(say("photo.canopy.one_part"), right=right, value=say(
            "photo.canopy.times", times=f"{times:.1f}", least=f"{LEAST_TIMES:g}") if np.isfinite(times) else "")
    sky = told & (share > HALF)
    near = float(np.mean(np.abs(share[sky] - 1) < NEAR)) if sky.any() else 0.0
    if near < LEAST_NEAR:
        raise OutOfRange(say("photo.canopy.uneven"), value=f"{100 * (1 - near):.0f} %", right=right)
    red, green, blue = np.median((pixels[sky] / 255) ** GAMMA, axis=0)
    if green > GREEN * max(red, blue) or blue < WARM * red:
        raise OutOfRange(say("photo.canopy.no_sky_color"), right=right, value=say(
            "photo.canopy.color", red=f"{100 * red:.0f}", green=f"{100 * green:.0f}", blue=f"{100 * blue:.0f}"))
    if _stands_in_lines((share < HALF) & told):
        raise OutOfRange(say("photo.canopy.print"), right=right)


def _shows_the_card(light: Picture) -> bool:
    try:
        find_card(_brought_down(light) ** np.float32(1 / GAMMA))
    except OutOfRange:
        return False
    return True


def _brought_down(picture: Picture) -> Picture:
    return shrunk(picture, max(1, -(-max(picture.shape) // SEARCHED_PX)))


def _stands_in_lines(dark: Mask) -> bool:
    """Whether what is dark comes and goes evenly across the picture, at any small turn."""
    if dark.mean() > PRINT_DARK:
        return False
    few = _brought_down(dark.astype(np.float32))
    return any(_in_lines(_across(each, turn)) for each in (few, few.T) for turn in PRINT_TURNS_DEG)


def _across(dark: Picture, turn_deg: float) -> Lanes:
    """The mean along lines of that turn, of those that cross most of the picture."""
    high, wide = dark.shape
    drop = np.round(np.tan(np.radians(turn_deg)) * (np.arange(wide) - wide / 2)).astype(np.int64)
    line = np.arange(high)[:, np.newaxis] + drop
    inside = (line >= 0) & (line < high)
    counted = np.bincount(line[inside], minlength=high)
    summed = np.bincount(line[inside], dark[inside], high)
    return np.asarray(summed[counted > wide * HALF] / counted[counted > wide * HALF])


def _in_lines(across: Lanes) -> bool:
    if len(across) * PRINT_LINES < 2:  # too few places to tell a line from the next
        return False
    uneven = across - ndimage.gaussian_filter1d(across, len(across) * PRINT_SMOOTH)
    if uneven.std() < PRINT_LEAST * across.mean() or not across.any():
        return False
    alike = np.correlate(uneven, uneven, "full")[len(uneven) - 1:]
    alike = alike / alike[0]
    longest, below = int(len(alike) * PRINT_LINES), np.flatnonzero(alike < 0)
    if not below.size or below[0] >= longest:
        return False
    line = below[0] + int(np.argmax(alike[below[0]:longest]))
    return bool(alike[line] > PRINT_ALIKE and alike[2 * line - 2:2 * line + 3].max() > PRINT_AGAIN)
