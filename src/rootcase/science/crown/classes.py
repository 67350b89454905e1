"""Classes of crown ratings, and the share of a tree that is crown."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rootcase.science.lanes import Lanes, Numbers, within


def crown_rating_code(rating_pct: Numbers) -> NDArray[np.str_]:
    """Under which code of the forest inventory does a crown rating stand?

    Parameters
    ----------
    rating_pct : density, transparency or dieback; scalar or one per lane. [%], 0 to 100

    Returns
    -------
    same shape, two digits: the upper end of a class of 5 %, 00 for none, 99 over 95 %.

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The three ratings share the codes.

    References
    ----------
    Crown codes of the US forest inventory's data guide (seen: a transcription; the codes between follow its rule).

    Examples
    --------
    >>> str(crown_rating_code(33.0))
    '35'
    """
    upper = 5.0 * np.ceil(within("rating_pct", rating_pct, 0.0, 100.0, "%") / 5.0)
    return np.asarray(np.char.zfill(np.minimum(upper, 99.0).astype(int).astype(str), 2))[()]


def defoliation_class(defoliation_pct: Numbers) -> Lanes:
    """Which class of European forest monitoring is a loss of leaves?

    Parameters
    ----------
    defoliation_pct : against a local reference tree; scalar or one per lane. [%], 0 to 100

    Returns
    -------
    same shape: 0 up to 10 %, 1 up to 25, 2 up to 60, 3 below 100, 4 dead. [1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    None.

    References
    ----------
    ICP Forests manual, part on crown condition (seen).

    Examples
    --------
    >>> float(defoliation_class(26.0))
    2.0
    """
    lost = within("defoliation_pct", defoliation_pct, 0.0, 100.0, "%")
    return np.asarray(np.select([lost <= 10.0, lost <= 25.0, lost <= 60.0, lost < 100.0], [0.0, 1.0, 2.0, 3.0], 4.0))


def live_crown_ratio_pct(height_m: Numbers, crown_base_m: Numbers) -> Lanes:
    """How much of a tree's height is live crown?

    Parameters
    ----------
    height_m : of the tree; scalar or one per lane. [m], 0.1 to 130
    crown_base_m : same shape, height of the base of the live crown. [m], 0 to 130

    Returns
    -------
    same shape. [%]

    Raises
    ------
    OutOfRange : a value leaves its range, or the crown begins above the tree.

    Notes
    -----
    None.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(live_crown_ratio_pct(20.0, 5.0))
    75.0
    """
    height = within("height_m", height_m, 0.1, 130.0, "m")
    live = height - within("crown_base_m", crown_base_m, 0.0, 130.0, "m")
    return np.asarray(100.0 * within("live crown", live, 0.0, 130.0, "m") / height)
