"""How salty fertilisers make the soil's water."""

from __future__ import annotations

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

MOST_SALT_INDEX = 200.0


def salt_index(material: str, list_name: str) -> float:
    """How salty a fertiliser is, weight for weight, beside sodium nitrate = 100.

    Parameters
    ----------
    material : its name, such as "ammonium_sulfate"
    list_name : "mortvedt_2001" or "older_list"; they split over ammonium sulfate, 88.3 and 69

    Returns
    -------
    the index. [sodium nitrate = 100]

    Raises
    ------
    Missing : the list does not hold the material.

    Notes
    -----
    Of the material, not of the nutrient in it; `salt_index_per_unit` makes fertilisers comparable.

    References
    ----------
    Table chemistry/salt_index.

    Examples
    --------
    >>> salt_index("ammonium_sulfate", "mortvedt_2001"), salt_index("ammonium_sulfate", "older_list")
    (88.3, 69.0)
    """
    return float(table("chemistry/salt_index").row(material=material, list=list_name)["salt_index"])


def salt_index_per_unit(salt_index: Numbers, nutrient_pct: Numbers) -> Lanes:
    """How salty a fertiliser is for each percent of nutrient it carries.

    Parameters
    ----------
    salt_index : scalar or one per lane. [sodium nitrate = 100], 0 to 200
    nutrient_pct : same shape, N, P2O5 and K2O together. [%], 1 to 120

    Returns
    -------
    same shape. [index per %]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source counts in units of 20 lb of nutrient a short ton, which is one percent.

    References
    ----------
    Mortvedt 2001, Calculating salt index (its products seen in a web copy; the per-unit factors it prints for 10-34-0,
    a urea and ammonium nitrate solution of 28 % and potash, 0.455, 2.25 and 1.936, are memory).

    Examples
    --------
    >>> round(float(salt_index_per_unit(116.2, 60.0)), 3)
    1.937
    """
    index = within("salt_index", salt_index, 0.0, MOST_SALT_INDEX, "")
    return index / within("nutrient_pct", nutrient_pct, 1.0, 120.0, "%")


def blend_salt_index(nutrient_pct: Numbers, per_unit: Numbers) -> Lanes:
    """How salty a blend is, from what each of its parts brings.

    Parameters
    ----------
    nutrient_pct : what each part brings to the blend, parts along the last axis. [% of the blend], 0 to 100
    per_unit : same shape, see `salt_index_per_unit`. [index per %], 0 to 20

    Returns
    -------
    one for each blend. [sodium nitrate = 100]

    Raises
    ------
    OutOfRange : a value leaves its range, or a blend holds more than 100 % of nutrients.

    Notes
    -----
    The parts' shares times their per-unit index, summed. What carries no nutrient counts nothing.

    References
    ----------
    Mortvedt 2001, Calculating salt index (seen in a web copy).

    Examples
    --------
    >>> round(float(blend_salt_index([44.0, 0.0], [0.455, 1.936])), 2)
    20.02
    """
    parts = within("nutrient_pct", nutrient_pct, 0.0, 100.0, "%")
    within("nutrients of a blend", np.sum(parts, axis=-1), 0.0, 100.0, "%")
    return np.asarray(np.sum(parts * within("per_unit", per_unit, 0.0, 20.0, ""), axis=-1))


def sodium_nitrate_equivalent_kg_m2(product_kg_m2: Numbers, salt_index: Numbers) -> Lanes:
    """How much sodium nitrate would be as salty as a dose of a fertiliser.

    Parameters
    ----------
    product_kg_m2 : scalar or one per lane. [kg m-2], 0 to 10
    salt_index : same shape. [sodium nitrate = 100], 0 to 200

    Returns
    -------
    same shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Mass times index over 100: the same nitrogen as ammonium sulfate is two to three times as salty as urea.

    References
    ----------
    The index's own definition (computed).

    Examples
    --------
    >>> round(float(sodium_nitrate_equivalent_kg_m2(0.05, 74.4)), 9)
    0.0372
    """
    product = within("product_kg_m2", product_kg_m2, 0.0, 10.0, "kg/m2")
    return product * within("salt_index", salt_index, 0.0, MOST_SALT_INDEX, "") / 100.0
