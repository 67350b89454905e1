"""Shoots: the class of a year's growth, how much years differ, and what trees did that nobody treated."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.ground.units import convert
from rootcase.science.lanes import Numbers, within
from rootcase.science.means import variation_pct
from rootcase.tables.load import table

MOST_SHOOT_M = 5.0


class YearToYear(NamedTuple):
    """Mean of the years [their unit] and their standard deviation over it [%]."""

    mean: float
    cv_pct: float


def shoot_growth_class(shoot_m: Numbers) -> NDArray[np.str_]:
    """Is a year's shoot of a young tree slow, medium or fast?

    Parameters
    ----------
    shoot_m : length of one year's shoot, of a young tree in the open; scalar or one per lane. [m], 0 to 5

    Returns
    -------
    same shape: "slow", "medium" or "fast".

    Raises
    ------
    OutOfRange : the value leaves its range.

    Notes
    -----
    Up to 12 in slow, from 25 in fast, between them medium. Not for grown trees, whose shoots are shorter.

    References
    ----------
    Table growth_class.

    Examples
    --------
    >>> str(shoot_growth_class(0.45))
    'medium'
    """
    shoot_mm = within("shoot_m", shoot_m, 0.0, MOST_SHOOT_M, "m") * 1000.0
    slow, fast = (table("growth_class").row(growth_class=name) for name in ("slow", "fast"))
    chosen: NDArray[np.str_] = np.select([shoot_mm <= slow["shoot_high_mm"] + 1e-6,
                                          shoot_mm >= fast["shoot_low_mm"] - 1e-6], ["slow", "fast"], "medium")[()]
    return chosen


def year_to_year(values: Sequence[float]) -> YearToYear:
    """How much do the years of a tree differ, in shoots or in rings?

    Parameters
    ----------
    values : one per year, above 0, at least two. [any unit]

    Returns
    -------
    YearToYear(mean, cv_pct): mean and scatter between years. [the values' unit], [%]

    Raises
    ------
    OutOfRange : fewer than two years, or one that is not above 0.

    Notes
    -----
    The scatter holds the tree's trend as well: untreated shoots fell to half and less within four years, so a before
    and after of one tree proves nothing.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> round(year_to_year([91.0, 51.3, 62.4, 45.4]).cv_pct, 1)
    32.4
    """
    if len(values) < 2:
        raise OutOfRange("one year does not tell how years differ", value=f"{len(values)} values",
                         right="give two years or more")
    years = within("values", values, 1e-9, 1e9, "")
    mean = float(years.mean())
    return YearToYear(mean, variation_pct(years))


def untreated_shoots_m(kind: str, position: str) -> tuple[float, ...]:
    """What did shoots of untreated young trees do, year by year?

    Parameters
    ----------
    kind : botanical name, such as "Juglans nigra"
    position : which shoots of which trees, such as "leader" or "laterals"

    Returns
    -------
    a length for each year, the first year first. [m]

    Raises
    ------
    Missing : the trial has no such shoots.

    Notes
    -----
    Young trees of a plantation, no weather given: what years do to a shoot, not a norm.

    References
    ----------
    Table compare/untreated_shoots.

    Examples
    --------
    >>> untreated_shoots_m("Juglans nigra", "leader")
    (0.275, 0.135, 0.075)
    """
    rows = table("compare/untreated_shoots").rows
    found = [row for row in rows if (row["species"], row["position"]) == (kind, position)]
    if not found:
        there = "; ".join(dict.fromkeys(f"{row['species']}, {row['position']}" for row in rows))
        raise Missing("the trial has no such shoots", value=f"{kind}, {position}", right=f"one of: {there}")
    return tuple(convert(row["shoot_cm"], "cm", "m") for row in sorted(found, key=lambda row: row["year"]))
