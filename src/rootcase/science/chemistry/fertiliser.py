"""Nutrients that are brought: the weight of a product, and the ceilings for nitrogen."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.ground.units import convert
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table


class NitrogenLimits(NamedTuple):
    """Nitrogen in one dose, from and to, and the most in a year [kg m-2]."""

    low_kg_m2: float
    high_kg_m2: float
    most_a_year_kg_m2: float


def product_kg_m2(nutrient_kg_m2: Numbers, nutrient_pct: Numbers) -> Lanes:
    """How much of a product brings so much of a nutrient.

    Parameters
    ----------
    nutrient_kg_m2 : scalar or one per lane. [kg m-2], 0 to 1
    nutrient_pct : same shape, as the bag prints it. [%], 0.1 to 100

    Returns
    -------
    same shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The label's own rate and the local law on nutrients go before it.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(product_kg_m2(0.009, 30.0))
    0.03
    """
    wanted = within("nutrient_kg_m2", nutrient_kg_m2, 0.0, 1.0, "kg/m2")
    return wanted / (within("nutrient_pct", nutrient_pct, 0.1, 100.0, "%") / 100.0)


def nutrient_kg_m2(product_kg_m2: Numbers, nutrient_pct: Numbers) -> Lanes:
    """How much of a nutrient a dose of a product brings.

    Parameters
    ----------
    product_kg_m2 : scalar or one per lane. [kg m-2], 0 to 1,000
    nutrient_pct : same shape, as the bag prints it. [%], 0 to 100

    Returns
    -------
    same shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Undoes the function `product_kg_m2`.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(nutrient_kg_m2(0.05, 10.0))
    0.005
    """
    product = within("product_kg_m2", product_kg_m2, 0.0, 1000.0, "kg/m2")
    return product * within("nutrient_pct", nutrient_pct, 0.0, 100.0, "%") / 100.0


def nitrogen_limits(rule: str, release: str) -> NitrogenLimits:
    """How much nitrogen a rule lets a tree have at once and in a year.

    Parameters
    ----------
    rule : "a300_1998_2004" or "kentucky_extension"; they disagree on quick nitrogen
    release : "slow" or "quick"

    Returns
    -------
    NitrogenLimits(low_kg_m2, high_kg_m2, most_a_year_kg_m2). [kg m-2]

    Raises
    ------
    Missing : the rule does not speak of that release.

    Notes
    -----
    Ceilings, not doses: a tree without want of nitrogen gets none, and where a local law on nutrients is stricter it
    holds.

    References
    ----------
    Table chemistry/tree_nitrogen, a source each row.

    Examples
    --------
    >>> round(nitrogen_limits("a300_1998_2004", "quick").most_a_year_kg_m2, 4)
    0.0195
    """
    row = table("chemistry/tree_nitrogen").row(rule=rule, release=release)
    return NitrogenLimits(*(convert(row[f"{limit}_lb_1000ft2"], "lb/1000ft2", "kg/m2")
                            for limit in ("low", "high", "most_a_year")))


def nitrogen_tried_kg_m2() -> Lanes:
    """Which doses of nitrogen a long trial on landscape trees compared.

    Returns
    -------
    one for each treatment, the first none at all; once in 3 or 4 years. [kg m-2]

    Raises
    ------
    Nothing.

    Notes
    -----
    The highest is beyond any ceiling of today: what was tried, not what is advised.

    References
    ----------
    Table chemistry/nitrogen_tried.

    Examples
    --------
    >>> nitrogen_tried_kg_m2().round(4).tolist()
    [0.0, 0.0146, 0.0293, 0.0439]
    """
    return np.array([convert(row["nitrogen_lb_1000ft2"], "lb/1000ft2", "kg/m2")
                     for row in table("chemistry/nitrogen_tried").rows])
