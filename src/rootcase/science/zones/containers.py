"""Amounts as they are carried: barrows, bags, sacks, buckets, truck loads; holes on a grid."""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from rootcase.ground.units import convert
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

Measure = Literal["loose", "weighed", "liquid"]
UNITS = {"loose": "m3", "weighed": "kg", "liquid": "L"}


class Carried(NamedTuple):
    """How many of which container, and what one holds in the unit it is sold by."""

    number: int
    container: str
    holds: float
    unit: str


def carried(measure: Measure, amount: float, system: str) -> Carried | None:
    """How many containers an amount fills.

    Parameters
    ----------
    measure : loose stuff, weighed stuff or liquid
    amount : loose [m3], weighed [kg], liquid [L]; 0 to 1,000,000
    system : "us" or "metric", whose containers they are

    Returns
    -------
    Carried(number, container, holds, unit), the last one filled in part; None where the amount fills none

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
    (Carried(number=38, container='barrow', holds=85.0, unit='L'), None)
    """
    within("amount", amount, 0.0, 1e6, UNITS[measure])
    names = {"loose": ("barrow", "bag"), "weighed": ("sack",), "liquid": ("bucket",)}[measure]
    for name in names:
        row = table("prescribe/containers").row(container=name, measure=measure, system=system)
        filled = amount / convert(row["holds"], row["unit"], UNITS[measure])
        if filled >= 1.0 - 1e-9:
            return Carried(math.ceil(filled - 1e-6), name, float(row["holds"]), str(row["unit"]))
    return None


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
