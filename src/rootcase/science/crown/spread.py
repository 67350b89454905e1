"""How wide a crown is, and how much ground it covers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rootcase.ground.errors import OutOfRange
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.zones.amounts import ring_area_m2

WIDEST_M = 60.0
FEWEST_RADII = 2


def crown_spread_m(widest_m: Numbers, across_m: Numbers) -> Lanes:
    """How wide is a crown, from its widest axis and the one across it?

    Parameters
    ----------
    widest_m : from drip line to drip line where it is widest; scalar or one per lane. [m], 0 to 60
    across_m : same shape, at right angles to it. [m], 0 to 60

    Returns
    -------
    same shape, the mean of the two. [m]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    For the ground that a lopsided crown covers take `crown_area_m2` from more radii.

    References
    ----------
    Bechtold, comparison of crown diameters for the US forest health monitoring (seen: abstract).

    Examples
    --------
    >>> float(crown_spread_m(12.0, 9.0))
    10.5
    """
    return np.asarray((within("widest_m", widest_m, 0.0, WIDEST_M, "m")
                       + within("across_m", across_m, 0.0, WIDEST_M, "m")) / 2.0)


def crown_area_m2(radii_m: Sequence[float]) -> float:
    """How much ground does a crown cover, from its radii in several directions?

    Parameters
    ----------
    radii_m : from the trunk to the drip line, two or more, evenly round the trunk; eight are usual. [m], 0 to 30

    Returns
    -------
    Area of the circle of the quadratic mean radius. [m2]

    Raises
    ------
    OutOfRange : fewer than two radii, or one that leaves its range.

    Notes
    -----
    Of crowns whose outline was mapped it came out 4.5 % too high in the mean, and off by 8.8 % in the mean of single
    trees.

    References
    ----------
    Geometry (computed); the bias: Zhang et al. 2024, J. For. Res. 35:79 (seen: abstract).

    Examples
    --------
    >>> round(crown_area_m2([4.0, 5.0, 6.0, 5.0, 4.0, 3.5, 4.5, 5.5]), 2)
    70.98
    """
    if len(radii_m) < FEWEST_RADII:
        raise OutOfRange("one radius does not tell how a crown spreads", value=f"{len(radii_m)} radii",
                         right="give two or more, evenly round the trunk")
    radii = within("radii_m", radii_m, 0.0, WIDEST_M / 2.0, "m")
    return float(ring_area_m2(np.sqrt(np.mean(radii**2)), 0.0))
