"""A picture made even: each pixel held against the light about it."""

from __future__ import annotations

from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rootcase.ground.errors import OutOfRange
from rootcase.ground.words import say
from rootcase.science.lanes import Numbers, within
from rootcase.science.photo.kernel import compiled
from rootcase.science.photo.light import SMALLEST_SIDE_PX, Picture
from rootcase.science.photo.strips import in_strips

BRIGHTEST = 65_535.0
"""A pixel of 16 bits holds no more."""


def darkness(picture: Numbers, block_px: int) -> Picture:
    """How much darker is each pixel than the light about it?

    Parameters
    ----------
    picture : grey values, one a pixel, at least 64 a side. [-], 0 to 65535
    block_px : side of the squares whose median is taken for the light. [px], 8 or more

    Returns
    -------
    same shape: 0 as bright as its surroundings, 1 black, under 0 brighter. [-]

    Raises
    ------
    OutOfRange : a pixel leaves its range; the picture is no rectangle or too small.

    Notes
    -----
    The median of a square is the light as long as lines and grains cover less than half of it; between the middles of
    the squares it goes over straight. The quotient, not the difference, is taken: an uneven lamp multiplies.

    References
    ----------
    Flat field by division: common practice, no source. The median of squares for the light: JUDGEMENT.

    Examples
    --------
    >>> lit = np.full((64, 64), 200.0)
    >>> lit[10, 10] = 150.0
    >>> float(darkness(lit, 16)[10, 10])
    0.25
    """
    given = np.asarray(picture)
    if given.ndim != 2 or min(given.shape) < SMALLEST_SIDE_PX:
        raise OutOfRange(say("photo.too_small"), value=" x ".join(str(side) for side in given.shape[::-1]),
                         right=say("photo.right_size", least=SMALLEST_SIDE_PX))
    within("grey", [given.min(), given.max()], 0.0, BRIGHTEST, "")
    grey = np.asarray(given, np.float32)
    blocks = [max(1, round(side / block_px)) for side in grey.shape]
    edges = [np.linspace(0, side, count + 1).astype(int) for side, count in zip(grey.shape, blocks, strict=True)]
    thinned = max(1, block_px // 32)  # some thousand pixels tell a median as well as all
    medians = np.array([[np.median(grey[top:below:thinned, left:right:thinned])
                         for left, right in zip(edges[1], edges[1][1:], strict=False)]
                        for top, below in zip(edges[0], edges[0][1:], strict=False)], np.float32)
    down, along = (_between(side, edge) for side, edge in zip(grey.shape, edges, strict=True))
    light = down.astype(np.float32) @ medians @ along.astype(np.float32).T
    in_strips(partial(_hold, grey, light), len(grey), 1)
    return np.asarray(light)


@compiled
def _hold(grey: Any, light: Any, first: int, last: int) -> None:
    """Each pixel against its light, which makes room for the answer."""
    for row in range(first, last):
        for column in range(grey.shape[1]):
            light[row, column] = np.float32(1.0) - grey[row, column] / max(light[row, column], np.float32(1.0))


def _between(side: int, edges: NDArray[np.int64]) -> NDArray[np.float64]:
    """How much of each square's median goes into each pixel of a side: straight between the middles, and on
    outwards."""
    middles = (edges[:-1] + edges[1:] - 1) / 2
    if len(middles) == 1:
        return np.ones((side, 1))
    at = np.arange(side)
    left = np.clip(np.searchsorted(middles, at) - 1, 0, len(middles) - 2)
    share = (at - middles[left]) / (middles[left + 1] - middles[left])
    parts = np.zeros((side, len(middles)))
    parts[at, left], parts[at, left + 1] = 1.0 - share, share
    return parts
