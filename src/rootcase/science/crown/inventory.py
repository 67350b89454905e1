"""What the forest inventory asks of ratings of crowns: which trees, how well they repeat, how much light counts."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.units import convert
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table


class Repeats(NamedTuple):
    """How far apart two ratings of a crown may lie [%], and the share of repeats that is to keep to it [%]."""

    within_pct: float
    agreeing_pct: float


def least_rated_trunk_m() -> float:
    """From which trunk on does the forest inventory rate crowns?

    Returns
    -------
    diameter at breast height. [m]

    Raises
    ------
    None

    Notes
    -----
    Smaller trees have another scale.

    References
    ----------
    Table crown/inventory.

    Examples
    --------
    >>> round(least_rated_trunk_m(), 3)
    0.127
    """
    return convert(_figure("least_trunk"), "in", "m")


def crown_repeats() -> Repeats:
    """How well are two blind ratings of one crown to agree?

    Returns
    -------
    Repeats(within_pct, agreeing_pct): for density, dieback, transparency and live crown ratio. [%], [%]

    Raises
    ------
    None

    Notes
    -----
    Transparency alone moves by up to 15 points with observer and light, and falls below 30 % wherever more than 10 m of
    crown stand in the line of sight: compare crowns of like size only (Metzger and Oren 2001).

    References
    ----------
    Table crown/inventory.

    Examples
    --------
    >>> crown_repeats()
    Repeats(within_pct=10.0, agreeing_pct=90.0)
    """
    return Repeats(_figure("repeats_within"), _figure("repeats_agreeing"))


def most_light_code(live_crown_ratio_pct: Numbers) -> Lanes:
    """What is the highest code of light a crown of this live crown ratio may be given?

    Parameters
    ----------
    live_crown_ratio_pct : uncompacted; scalar or one per lane. [%], 0 to 100

    Returns
    -------
    same shape: sides that get light, the top as one. [-]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    None.

    References
    ----------
    Table crown/inventory.

    Examples
    --------
    >>> most_light_code([34.0, 35.0]).tolist()
    [1.0, 5.0]
    """
    ratio = within("live_crown_ratio_pct", live_crown_ratio_pct, 0.0, 100.0, "%")
    return np.where(ratio < _figure("light_capped_below"), _figure("light_cap"), _figure("light_most"))


def _figure(name: str) -> float:
    return float(table("crown/inventory").row(figure=name)["value"])
