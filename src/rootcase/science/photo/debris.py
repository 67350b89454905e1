"""What looks like a line and is none because it is wide every way: grains."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from rootcase.science.photo.kernel import compiled
from rootcase.science.photo.light import Picture, shrunk
from rootcase.science.photo.thinning import Mask


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
    hearts = ~_reached(~areas, radius_px / factor, True)
    coarse = _reached(hearts, 1.25 * radius_px / factor + 1.0, False)
    full = np.zeros(dark.shape, np.uint8)
    fine = np.repeat(np.repeat(coarse, factor, axis=0), factor, axis=1)
    full[:fine.shape[0], :fine.shape[1]] = fine
    return full


def _reached(mask: NDArray[np.bool_], radius: float, beyond: bool) -> NDArray[np.bool_]:
    """What lies within the radius of a pixel that is set; `beyond`: whether those outside the picture are."""
    reach = int(radius)
    half_widths = (disc(radius).sum(axis=1) // 2)
    padded = np.pad(mask, reach, constant_values=beyond)
    found = np.zeros(mask.shape, np.bool_)
    _spread(padded, half_widths, found)
    return found


@compiled
def _spread(padded: Any, half_widths: Any, found: Any) -> None:
    """Row by row: how far along it is the nearest pixel set, held against the disc's half-width at that row."""
    reach = len(half_widths) // 2
    far = np.int32(len(half_widths) + 1)
    width = padded.shape[1]
    away = np.empty(width, np.int32)
    for row in range(padded.shape[0]):
        last = far
        for at in range(width):
            last = np.int32(0) if padded[row, at] else min(last + np.int32(1), far)
            away[at] = last
        last = far
        for at in range(width - 1, -1, -1):
            last = np.int32(0) if padded[row, at] else min(last + np.int32(1), far)
            away[at] = min(away[at], last)
        for step in range(max(0, row - 2 * reach), min(found.shape[0], row + 1)):
            most = np.int32(half_widths[row - step])
            for at in range(found.shape[1]):
                found[step, at] |= away[at + reach] <= most
