"""The lit paper of the card on a photo: how bright it is at every place, whatever lies on it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rootcase.science.lanes import Lanes
from rootcase.science.photo.light import Picture

Mask = NDArray[np.bool_]
PAPER = 0.8
"""What is darker than this part of the median is not looked at as paper at first. [-] JUDGEMENT"""
FITS = 3
LOOKED_AT = 200
"""Places along the longer side that a surface is laid through: it is smooth. JUDGEMENT"""


def terms_at(shape: tuple[int, ...], at: Lanes) -> Picture:
    """Which terms does a surface of second degree over a picture have at these places?

    Parameters
    ----------
    shape : rows and columns of the picture. [px]
    at : rows first, columns second. [px]

    Returns
    -------
    six terms a place. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    Rows and columns are brought to -1 to 1.

    References
    ----------
    None: a polynomial (computed).

    Examples
    --------
    >>> terms_at((4, 4), np.array([[2.0], [4.0]])).tolist()
    [[1.0, 1.0, 0.0, 0.0, 1.0, 0.0]]
    """
    down, along = (2 * at[each] / shape[each] - 1 for each in range(2))
    return np.stack([np.ones_like(down), along, down, along * down, along ** 2, down ** 2], -1).astype(np.float32)


def paper_light(terms: Picture, weights: Lanes) -> Picture:
    """How bright is lit paper at these places?

    Parameters
    ----------
    terms : as `terms_at` gives them
    weights : as `fit_paper` gives them

    Returns
    -------
    brightness as stored, a channel a column, never less than the least that a picture stores. [-], 0 to 1

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    None: a sum (computed).

    Examples
    --------
    >>> paper_light(np.ones((1, 6), np.float32), np.full((6, 3), 0.125)).tolist()
    [[0.75, 0.75, 0.75]]
    """
    return np.asarray(np.maximum(terms @ weights.astype(np.float32), np.float32(1 / 255)))


def paper_light_over(shape: tuple[int, ...], weights: Lanes, rows: Lanes, columns: Lanes) -> Picture:
    """How bright is lit paper where these rows and columns of a picture cross?

    Parameters
    ----------
    shape : rows and columns of the picture. [px]
    weights : as `fit_paper` gives them
    rows, columns : of the places. [px]

    Returns
    -------
    as `paper_light` gives it, a row a row. [-], 0 to 1

    Raises
    ------
    Nothing.

    Notes
    -----
    The terms' sum, taken by rows first: over a large part of a photo some twenty times as fast.

    References
    ----------
    None: a sum (computed).

    Examples
    --------
    >>> weights = np.array([(0.5, 0.5, 0.5), (0.25, 0, 0), (0, 0.125, 0), (0, 0, 0), (0, 0, 0.25), (0, 0, 0)])
    >>> paper_light_over((4, 4), weights, np.array([2.0]), np.array([2.0, 4.0])).tolist()
    [[[0.5, 0.5, 0.5], [0.75, 0.5, 0.75]]]
    """
    down, along = (2 * places / side - 1 for places, side in zip((rows, columns), shape, strict=False))
    light = np.empty((len(rows), len(columns), 3), np.float32)
    for channel, (level, across, drop, twist, bow, sag) in enumerate(weights.T):
        down_alone, along_alone = level + drop * down + sag * down ** 2, bow * along ** 2
        light[..., channel] = down_alone[:, np.newaxis] + np.outer(across + twist * down, along) + along_alone
    return np.asarray(np.maximum(light, np.float32(1 / 255)))


def fit_paper(seen: Picture, field: Mask, terms: Picture) -> Lanes:
    """Which surface is the lit paper's brightness all over the card?

    Parameters
    ----------
    seen : rows of (red, green, blue) as stored. [-], 0 to 1
    field : where paper can be seen
    terms : as `terms_at` gives them for the same places

    Returns
    -------
    weights of the terms, a column a channel. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    Least squares; what is darker than the surface by three times the usual is left out turn by turn.

    References
    ----------
    Least squares with outliers left out: JUDGEMENT.

    Examples
    --------
    >>> at = np.indices((20, 20)).astype(np.float64)
    >>> sheet = np.full((20, 20, 3), 0.8, np.float32)
    >>> sheet[5:9, 5:9] = 0.2
    >>> weights = fit_paper(sheet, np.ones((20, 20), np.bool_), terms_at((20, 20), at))
    >>> round(float(paper_light(terms_at((20, 20), at), weights)[7, 7, 0]), 2)
    0.8
    """
    step = max(1, max(field.shape) // LOOKED_AT)
    few, shown, kept = terms[::step, ::step], seen[::step, ::step], field[::step, ::step].copy()
    kept &= shown.min(axis=2) > np.median(shown.min(axis=2)[kept]) * PAPER
    for _ in range(FITS):
        weights = np.linalg.lstsq(few[kept], shown[kept], rcond=None)[0]
        off = (shown - few @ weights).min(axis=2)
        kept &= off > -3 * max(float(np.median(np.abs(off[kept]))), 1 / 255)
    return np.asarray(weights, np.float64)
