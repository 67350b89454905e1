"""The light of the sky and that of the crown about each pixel of a photo from below."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from rootcase.science.photo.light import Picture
from rootcase.science.photo.paper import Mask

GAMMA = 2.2
LUMA, BLUE = (77, 150, 29), (0, 0, 256)
"""Of 256, what red, green and blue add: to the brightness that a JPEG keeps sharp, 0.299, 0.587 and 0.114; and to
blue alone, in which a blue sky is nearly as bright as a cloud."""
WINDOW = 0.12
"""Of the shorter side, over which the brightest is taken for the sky at first. JUDGEMENT: wider than a crown's closed
parts mostly are, narrower than the sky's own changes"""
DARKEST_SKY = 0.3
"""No part of the sky is darker than this part of the photo's bright sky: where all is darker there is no gap.
JUDGEMENT"""
ABOUT = 0.125
"""Of the shorter side, over which the light of sky and crown is then taken. JUDGEMENT"""
ROUNDS = 3
EDGE_PX = 1
"""So far from where crown and sky meet a pixel is all of the one, where there are such. JUDGEMENT"""
LEAST_SHARE = 0.005
"""Of a square that must be sky, or crown, for its own light to be taken and not the photo's. JUDGEMENT"""
FEW = 1e-4
"""Of all pixels: so few away from edges tell of no light. JUDGEMENT"""
HALF = 0.5
_LIGHT = ((np.arange(256) / 255) ** GAMMA).astype(np.float32)


class CrownLight(NamedTuple):
    """Both lights about each pixel; not a number all over where the photo has none of the one."""

    sky: Picture
    crown: Picture


def light_of(pixels: NDArray[np.uint8], parts: tuple[int, int, int] = LUMA) -> Picture:
    """How much light is stored in each pixel?

    Parameters
    ----------
    pixels : rows of (red, green, blue). [-], 0 to 255
    parts : what each of them adds, of 256. [-]

    Returns
    -------
    a row a row of pixels. [-], 0 none to 1 the most that is stored

    Raises
    ------
    Nothing.

    Notes
    -----
    Of the brightness that a JPEG keeps at full sharpness, if nothing else is asked; colors it keeps at half.

    References
    ----------
    ITU-T T.871 (2011) for that brightness; IEC 61966-2-1 (sRGB) for the power, about 2.2 (memory).

    Examples
    --------
    >>> light_of(np.array([[(255, 255, 255), (128, 128, 128), (0, 0, 0)]], np.uint8)).round(2).tolist()
    [[1.0, 0.2199999988079071, 0.0]]
    """
    red, green, blue = (pixels[..., channel].astype(np.uint16) * part for channel, part in enumerate(parts))
    return np.asarray(_LIGHT[(red + green + blue) >> 8])


def crown_light(light: Picture, told: Mask) -> CrownLight:
    """Which light have the sky and the crown about each pixel?

    Parameters
    ----------
    light : as `light_of` gives it. [-], 0 to 1
    told : pixels that are looked at: no part of what is left out, none burnt out

    Returns
    -------
    CrownLight(sky, crown). [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    At first a pixel is sky from half of the brightest light about it on; then, in rounds, from half-way between the
    mean light of what was crown and of what was sky in a square about it, away from edges.

    References
    ----------
    JUDGEMENT for the squares and the rounds, from drawn photos.

    Examples
    --------
    >>> light = np.full((80, 80), 0.6, np.float32)
    >>> light[:, 40:] = 0.03
    >>> found = crown_light(light, np.ones((80, 80), np.bool_))
    >>> round(float(found.sky[40, 39]), 2), round(float(found.crown[40, 39]), 2)
    (0.6, 0.03)
    """
    side = max(5, round(ABOUT * min(light.shape)))
    is_sky = _bright(light, told)
    for _ in range(ROUNDS):
        sky, crown = (_mean_about(light, part & told, side) for part in (is_sky, ~is_sky))
        is_sky = light - crown > HALF * (sky - crown)
    return CrownLight(sky, crown)


def _bright(light: Picture, told: Mask) -> Mask:
    side = max(3, round(WINDOW * min(light.shape)))
    brightest = ndimage.maximum_filter(ndimage.gaussian_filter(np.where(told, light, np.float32(0)), 1), side)
    bright = float(np.percentile(light[told], 99)) if told.any() else 1.0
    return np.asarray(light > HALF * np.maximum(ndimage.uniform_filter(brightest, side), DARKEST_SKY * bright))


def _mean_about(light: Picture, part: Mask, side: int) -> Picture:
    """The mean light of these pixels in a square about each, away from edges; where there are next to none, of all."""
    inner = ndimage.binary_erosion(part, iterations=EDGE_PX, border_value=1)
    inner = inner if inner.mean() > FEW else part
    if not inner.any():
        return np.full_like(light, np.nan)
    share = ndimage.uniform_filter(inner.astype(np.float32), side, mode="nearest")
    total = ndimage.uniform_filter(np.where(inner, light, np.float32(0)), side, mode="nearest")
    return np.where(share > LEAST_SHARE, total / np.maximum(share, np.float32(1e-6)), np.median(light[inner]))
