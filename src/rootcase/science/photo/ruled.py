"""Whether the lines on a picture were ruled rather than grown."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rootcase.science.lanes import Numbers

ALONG_AXIS = 0.02
"""A stretch runs along a side of the picture where it leaves it by no more than this. [-] JUDGEMENT"""
RULED_SHARE = 0.25
"""JUDGEMENT: ten times what lines of every direction have; of two drawn pictures of hyphae it is 0.03 at most, of a
chart
and a screen of text 0.5 and more (computed)."""


def along_axes(lines_px: Sequence[Numbers]) -> float:
    """How much of the lines on a picture runs exactly along its sides?

    Parameters
    ----------
    lines_px : each two or more points, (x, y) a row. [px]

    Returns
    -------
    float: the share of their length, 0 where there are none. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    Lines of every direction have 4 / pi times `ALONG_AXIS`, 0.025. More than `RULED_SHARE` is a sign of a chart, a page
    or a ruler; less is no sign of hyphae.

    References
    ----------
    Share of directions: geometry (computed).

    Examples
    --------
    >>> along_axes([[(0, 0), (30, 0)], [(0, 0), (6, 8)]])
    0.75
    """
    steps = [np.abs(np.diff(np.asarray(line, np.float64), axis=0)) for line in lines_px]
    across, along = np.sort(np.concatenate([*steps, np.zeros((0, 2))]), axis=1).T
    lengths = np.hypot(across, along)
    return float(lengths[across <= ALONG_AXIS * lengths].sum() / max(lengths.sum(), 1e-9))
