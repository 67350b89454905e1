"""A picture brought to the scale it is judged at, and how bright its pixels are."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Picture = NDArray[np.float32]
SMALLEST_SIDE_PX = 64
"""JUDGEMENT: of less there is no light about a line to hold it against."""


def shrunk(picture: Picture, factor: int) -> Picture:
    """The picture with so many pixels a side brought together to one, their mean.

    Parameters
    ----------
    picture : grey values, one a pixel. [any]
    factor : pixels a side. [-], 1 or more

    Returns
    -------
    a smaller picture; a rest at the right or lower edge that fills no whole pixel is left out. [as given]

    Raises
    ------
    Nothing.

    Notes
    -----
    The middle of a new pixel (row, column) is at factor (row + 1/2) - 1/2 of the old ones.

    References
    ----------
    The mean of a block: arithmetic (computed).

    Examples
    --------
    >>> shrunk(np.array([[0, 2, 9], [4, 6, 9]], np.float32), 2).tolist()
    [[3.0]]
    """
    if factor == 1:
        return picture
    rows, columns = (side // factor for side in picture.shape)
    sums = np.zeros((rows, columns), np.float32)
    for down in range(factor):
        for along in range(factor):
            sums += picture[down:rows * factor:factor, along:columns * factor:factor]
    return np.asarray(sums / np.float32(factor * factor), np.float32)


def brightness(pixels: NDArray[np.uint8]) -> Picture:
    """How bright is each pixel as it is stored?

    Parameters
    ----------
    pixels : rows of (red, green, blue). [-], 0 to 255

    Returns
    -------
    the mean of the three, a row a row of pixels. [-], 0 to 1

    Raises
    ------
    Nothing.

    Notes
    -----
    Taken channel by channel, several times as fast as pixel by pixel.

    References
    ----------
    A mean: arithmetic (computed).

    Examples
    --------
    >>> brightness(np.array([[(255, 255, 255), (51, 102, 0)]], np.uint8)).round(3).tolist()
    [[1.0, 0.20000000298023224]]
    """
    total = pixels[..., 0].astype(np.uint16)
    total += pixels[..., 1]
    total += pixels[..., 2]
    return np.asarray(total * np.float32(1 / (3 * 255)), np.float32)
