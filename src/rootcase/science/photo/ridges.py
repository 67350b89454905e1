"""How like a dark line is each place of a picture: the strongest bend of the darkness across it, at several scales."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from rootcase.science.photo.kernel import compiled
from rootcase.science.photo.light import Picture, shrunk
from rootcase.science.photo.paths import bell
from rootcase.science.photo.strips import in_strips

REACH = 3.5
"""Standard deviations at which a Gaussian is cut off; beyond lies less than a thousandth of it."""
FINEST_SCALE_PX = 1.45
"""A coarser scale than this is worked out on a picture of half the size, where it is the same to the eye and a quarter
of the work."""
SAMPLED_PX = 5
MEDIAN_DEVIATION = 1.4826
"""Of a normal distribution the standard deviation in median deviations (computed)."""


class Lines(NamedTuple):
    """Of each pixel: how like a dark line it is [-], that over what it must reach at its scale [-], and the darkness at
    the finest scale [-]."""

    strength: Picture
    height: Picture
    dark: Picture


def spread_by_median(values: ArrayLike) -> float:
    """How far do values stray, as a standard deviation that a few far ones do not move?

    Parameters
    ----------
    values : any, one or more. [unit]

    Returns
    -------
    float. [unit]

    Raises
    ------
    ValueError : no number.

    Notes
    -----
    1.4826 times the median distance from the median.

    References
    ----------
    Of a normal error it is the standard deviation (computed).

    Examples
    --------
    >>> round(spread_by_median([1.0, 2.0, 3.0, 100.0]), 3)
    1.483
    """
    lanes = np.asarray(values)
    return MEDIAN_DEVIATION * float(np.median(np.abs(lanes - np.median(lanes))))


def line_strength(dark: Picture, scales_px: Sequence[float], least: float, times_noise: float) -> Lines:
    """How strongly does each pixel look like one of a dark line, and how far above the picture's own noise?

    Parameters
    ----------
    dark : darkness against the surroundings, as `darkness` gives it. [-]
    scales_px : standard deviations of the Gaussians, rising. [px], 0.8 to 40
    least : a strength that counts even where there is no noise. [-], above 0
    times_noise : how many standard deviations of noise a strength must reach. [-]

    Returns
    -------
    Lines(strength, height, dark): the most of all scales, the same at its scale over what it must reach there, and the
    darkness smoothed at the first scale; all of the same shape. [-], [-], [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    Strength is the negative of the lower eigenvalue of the Hessian times the variance of the Gaussian, so that a
    long bar of
    a given darkness answers alike at the scale of its half-width, whatever that is: 0.48 of its darkness, less
    up to an eighth where the coarser picture's pixels do not meet its middle. The noise at
    a scale is 1.4826 times the median deviation of the second derivative along the rows: what lines and grains add to
    it hardly moves a median.

    References
    ----------
    Lindeberg 1998, Edge detection and ridge detection with automatic scale selection, Int. J. Comput. Vision
    30:117-154 (memory). The bar's answer: computed.

    Examples
    --------
    >>> bar = np.zeros((41, 41), np.float32)
    >>> bar[19:22] = 0.5
    >>> round(float(line_strength(bar, [1.45], 0.01, 5.0).strength[20, 20]), 2)
    0.25
    """
    strength, height, finest = np.zeros_like(dark), np.zeros_like(dark), dark
    for scale_px in scales_px:
        factor = 2 ** max(0, int(np.ceil(np.log2(scale_px / FINEST_SCALE_PX) - 1e-9)))
        picture = shrunk(dark, factor)
        radius = int(np.ceil(REACH * scale_px / factor))
        padded = np.pad(picture, radius, mode="symmetric")
        bend, sample, smooth = _bent(padded, picture.shape, _gaussian(scale_px / factor, radius))
        deviation = spread_by_median(sample)
        in_strips(partial(_raise, strength, height, bend, factor, max(least, times_noise * deviation)), len(dark), 1)
        finest = smooth if scale_px == scales_px[0] else finest
    return Lines(strength, height, finest)


def _gaussian(scale: float, radius: int) -> tuple[Any, Any, Any]:
    """The Gaussian and its first two derivatives, each by the standard deviation; sums as those of the true ones."""
    at = np.arange(-radius, radius + 1)
    plain = bell(at, scale)
    plain /= plain.sum()
    slope = -at / scale * plain
    curve = ((at / scale) ** 2 - 1.0) * plain
    curve -= curve.mean()
    slope /= -(slope @ at) / scale
    curve /= (curve @ at**2) / (2.0 * scale**2)
    return plain.astype(np.float32), slope.astype(np.float32), curve.astype(np.float32)


def _bent(padded: Picture, shape: tuple[int, ...], weights: tuple[Any, Any, Any]) -> tuple[Picture, Picture, Picture]:
    """The negative of the Hessian's lower eigenvalue, a sample of its entry along the rows, and the picture
    smoothed."""
    bend, smooth = np.empty(shape, np.float32), np.empty(shape, np.float32)
    sample = np.empty([-(-side // SAMPLED_PX) for side in shape], np.float32)
    in_strips(partial(_bend, padded, *weights, bend, sample, smooth), shape[0], SAMPLED_PX)
    return bend, sample, smooth


@compiled
def _bend(padded: Any, plain: Any, slope: Any, curve: Any, bend: Any, sample: Any, smooth: Any, first: int,
          last: int) -> None:
    taps, width = len(plain), bend.shape[1]
    down = np.empty((3, padded.shape[1]), np.float32)
    across = np.empty((3, width), np.float32)
    for row in range(first, last):
        smooth[row] = np.float32(0.0)
        down[:] = np.float32(0.0)
        for tap in range(taps):
            p, s, c = plain[tap], slope[tap], curve[tap]
            line = padded[row + tap]
            for at in range(padded.shape[1]):
                value = line[at]
                down[0, at] += p * value
                down[1, at] += s * value
                down[2, at] += c * value
        across[:] = np.float32(0.0)
        for tap in range(taps):
            p, s, c = plain[tap], slope[tap], curve[tap]
            for at in range(width):
                across[0, at] += c * down[0, at + tap]
                across[1, at] += s * down[1, at + tap]
                across[2, at] += p * down[2, at + tap]
                smooth[row, at] += p * down[0, at + tap]
        for at in range(width):
            half = np.float32(0.5) * (across[0, at] - across[2, at])
            bend[row, at] = (np.sqrt(half * half + across[1, at] * across[1, at])
                             - np.float32(0.5) * (across[0, at] + across[2, at]))
        if row % SAMPLED_PX == 0:
            for at in range(0, width, SAMPLED_PX):
                sample[row // SAMPLED_PX, at // SAMPLED_PX] = across[0, at]


@compiled
def _raise(strength: Any, height: Any, bend: Any, factor: int, needed: float, first: int, last: int) -> None:
    """Bring a scale's answer into the picture, straight between the middles of its pixels, where it is the most."""
    rows, columns = bend.shape
    width = strength.shape[1]
    left, along, line = np.empty(width, np.int64), np.empty(width, np.float32), np.empty(columns + 1, np.float32)
    for column in range(width):
        x = min(max((column + 0.5) / factor - 0.5, 0.0), columns - 1.0)
        left[column] = int(x)
        along[column] = x - left[column]
    per_needed = np.float32(1.0 / needed)
    for row in range(first, last):
        y = min(max((row + 0.5) / factor - 0.5, 0.0), rows - 1.0)
        top = int(y)
        below, down = min(top + 1, rows - 1), np.float32(y - top)
        for at in range(columns):
            line[at] = bend[top, at] + down * (bend[below, at] - bend[top, at])
        line[columns] = line[columns - 1]
        for column in range(width):
            here = line[left[column]]
            value = here + along[column] * (line[left[column] + 1] - here)
            strength[row, column] = max(strength[row, column], value)
            height[row, column] = max(height[row, column], value * per_needed)
