"""The trunk of a tree of several stems."""

from __future__ import annotations

import numpy as np

from rootcase.science.circle import circle_of_several
from rootcase.science.lanes import Lanes, Numbers, within

_THICKEST_MM = 10_000.0


def one_trunk_mm(stem_diameters_mm: Numbers) -> Lanes:
    """The one trunk that has as much basal area as all stems of a tree.

    Parameters
    ----------
    stem_diameters_mm : stems along the last axis, one or more. [mm], 0 to 10,000

    Returns
    -------
    one for each tree. [mm]

    Raises
    ------
    OutOfRange : a diameter leaves its range.

    Notes
    -----
    The root of the sum of squares: stems are neither added nor averaged. A tree of one stem keeps its own diameter.

    References
    ----------
    Adding basal areas: common practice of forestry, no source. For two to five stems it is the rule of BS 5837:2012,
    Trees in relation to design, demolition and construction (seen in summaries on the web; the standard not read).

    Examples
    --------
    >>> float(one_trunk_mm([300.0, 400.0])), float(one_trunk_mm([300.0]))
    (500.0, 300.0)
    """
    stems = np.atleast_1d(within("stem_diameters_mm", stem_diameters_mm, 0.0, _THICKEST_MM, "mm"))
    return circle_of_several(stems)
