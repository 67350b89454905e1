"""Amounts as they are carried: barrows, bags, sacks, buckets, truck loads; holes on a grid."""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from rootcase.ground.units import convert
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

Measure = Literal["loose", "weighed", "liquid"]
BARROW, BAG = "barrow", "bag"
SLIGHT = 1e-6
"""Of a container: what is lost to rounding calls for no other one."""
UNITS = {"loose": "m3", "weighed": "kg", "liquid": "L"}


class Carried(NamedTuple):
    """How many of which container, and what one holds in the unit it is sold by."""

    number: int
    container: str
    holds: float
    unit: str


def carried(measure: Measure, amount: float, system: str) -> tuple[Carried, ...]:
    """How many containers an amount fills.

    Parameters
    ----------
    measure : loose stuff, weighed stuff or liquid
    amount : loose [m3], weighed [kg], liquid [L]; 0 to 1,000,000
    system : "us" or "metric", whose containers they are

    Returns
    -------
    Carried(number, container, holds, unit), the last one filled in part; none where the amount fills none. Loose stuff
    that fills a truck is told in barrows and in loads.

    Raises
    ------
    OutOfRange : the amount leaves its range.

    Notes
    -----
    Loose stuff that fills no barrow is told in bags.

    References
    ----------
    Table prescribe/containers.

    Examples
    --------
    >>> carried("loose", 3.2, "metric"), carried("weighed", 10.0, "metric")
    ((Carried(number=38, container='barrow', holds=85.0, unit='L'),), ())
    """
    within("amount", amount, 0.0, 1e6, UNITS[measure])
    filled = {}
    for row in table("prescribe/containers").rows:
        share = amount / convert(row["holds"], row["unit"], UNITS[measure]) if row["measure"] == measure else 0.0
        if row["system"] == system and share >= 1.0 - SLIGHT:
            filled[row["container"]] = Carried(math.ceil(share - SLIGHT), row["container"], row["holds"], row["unit"])
    if BARROW in filled:
        filled.pop(BAG, None)
    return tuple(filled.values())


def holes_on_grid(area_m2: Numbers, spacing_m: Numbers) -> Lanes:
    """How many holes a square grid sets on so much ground.

    Parameters
    ----------
    area_m2 : scalar or one per lane. [m2], 0 to 1,000,000
    spacing_m : same shape, between holes. [m], 0.1 to 10

    Returns
    -------
    same shape, a fraction where the grid does not come out even.

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    None.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(holes_on_grid(100.0, 0.5))
    400.0
    """
    return within("area_m2", area_m2, 0.0, 1e6, "m2") / within("spacing_m", spacing_m, 0.1, 10.0, "m") ** 2
