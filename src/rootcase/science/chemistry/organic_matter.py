"""Organic matter, the nitrogen bound in it, and what of that is set free."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

MOST_ORGANIC_KG_M2 = 30_000.0


def organic_matter_pct(carbon_pct: Numbers, rule: str) -> Lanes:
    """How much organic matter stands behind a laboratory's carbon.

    Parameters
    ----------
    carbon_pct : scalar or one per lane, organic carbon of dry soil or compost. [%], 0 to 58
    rule : "van_bemmelen", "pribyl_2010" or "compost_54_pct_carbon"

    Returns
    -------
    same shape. [%], 0 to 100

    Raises
    ------
    OutOfRange : the value leaves its range, or more than the whole would be organic.
    Missing : no such rule.

    Notes
    -----
    Factors of 1.724, 2 and 1.852. Loss on ignition reads higher than any of them.

    References
    ----------
    Table chemistry/carbon_rules, a source each row.

    Examples
    --------
    >>> round(float(organic_matter_pct(2.0, "van_bemmelen")), 3)
    3.448
    """
    factor = table("chemistry/carbon_rules").row(rule=rule)["organic_matter_per_carbon"]
    return within("organic_matter_pct", factor * within("carbon_pct", carbon_pct, 0.0, 58.0, "%"), 0.0, 100.0, "%")


def share_of_soil_kg_m2(share_pct: Numbers, soil_mass_kg_m2: Numbers) -> Lanes:
    """How much organic matter, or carbon, lies in the soil under a square metre.

    Parameters
    ----------
    share_pct : scalar or one per lane, of dry soil. [%], 0 to 100
    soil_mass_kg_m2 : same shape. [kg m-2], 0 to 30,000

    Returns
    -------
    same shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    One percent of a furrow slice is 20,000 lb an acre.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(share_of_soil_kg_m2(4.0, 200.0))
    8.0
    """
    mass = within("soil_mass_kg_m2", soil_mass_kg_m2, 0.0, MOST_ORGANIC_KG_M2, "kg/m2")
    return mass * within("share_pct", share_pct, 0.0, 100.0, "%") / 100.0


def organic_nitrogen_kg_m2(organic_matter_kg_m2: Numbers, nitrogen_pct: Numbers) -> Lanes:
    """How much nitrogen is bound in organic matter.

    Parameters
    ----------
    organic_matter_kg_m2 : scalar or one per lane. [kg m-2], 0 to 30,000
    nitrogen_pct : same shape, of the organic matter; soil's is taken as 5. [%], 0 to 15

    Returns
    -------
    same shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    5 % of 20,000 lb is the 1,000 lb an acre that texts give for one percent of organic matter.

    References
    ----------
    Common practice, no source: a rule of farm texts (seen in one).

    Examples
    --------
    >>> float(organic_nitrogen_kg_m2(8.0, 5.0))
    0.4
    """
    matter = within("organic_matter_kg_m2", organic_matter_kg_m2, 0.0, MOST_ORGANIC_KG_M2, "kg/m2")
    return matter * within("nitrogen_pct", nitrogen_pct, 0.0, 15.0, "%") / 100.0


def organic_nitrogen_from_carbon_kg_m2(carbon_kg_m2: Numbers, carbon_to_nitrogen: Numbers) -> Lanes:
    """How much nitrogen is bound beside so much organic carbon.

    Parameters
    ----------
    carbon_kg_m2 : scalar or one per lane. [kg m-2], 0 to 30,000
    carbon_to_nitrogen : same shape; soil's is taken as 10. [-], 5 to 1,000

    Returns
    -------
    same shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The other road to `organic_nitrogen_kg_m2`; the two meet where the carbon rule and the shares agree.

    References
    ----------
    Soil texts for Australian farms, a question-and-answer page (seen).

    Examples
    --------
    >>> float(organic_nitrogen_from_carbon_kg_m2(2.0, 10.0))
    0.2
    """
    carbon = within("carbon_kg_m2", carbon_kg_m2, 0.0, MOST_ORGANIC_KG_M2, "kg/m2")
    return carbon / within("carbon_to_nitrogen", carbon_to_nitrogen, 5.0, 1000.0, "")


def nitrogen_release_kg_m2(organic_nitrogen_kg_m2: Numbers, turnover_pct: Numbers) -> Lanes:
    """How much nitrogen a soil sets free in a year by itself.

    Parameters
    ----------
    organic_nitrogen_kg_m2 : scalar or one per lane. [kg m-2], 0 to 1,000
    turnover_pct : same shape, part of it that turns over in a year. [%], 0 to 4

    Returns
    -------
    same shape, in a year. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source's turnover is 1 to 4 % a year; cold, dry or compacted soil falls below.

    References
    ----------
    Common practice, no source: the 1 to 4 % of extension texts (seen in one).

    Examples
    --------
    >>> round(float(nitrogen_release_kg_m2(0.4, 3.0)), 9)
    0.012
    """
    bound = within("organic_nitrogen_kg_m2", organic_nitrogen_kg_m2, 0.0, 1000.0, "kg/m2")
    return bound * within("turnover_pct", turnover_pct, 0.0, 4.0, "%") / 100.0


def nitrogen_turnover(carbon_to_nitrogen: Numbers) -> NDArray[np.str_]:
    """Whether what is mixed into soil feeds it nitrogen or takes it.

    Parameters
    ----------
    carbon_to_nitrogen : scalar or one per lane, of the material. [-], 1 to 2,000

    Returns
    -------
    same shape: "mineralises", "transitional" or "immobilises".

    Raises
    ------
    OutOfRange : the value leaves its range.

    Notes
    -----
    Mixed in; chips laid on top touch the surface alone (memory). A value on a limit is transitional.

    References
    ----------
    Clemson University Agricultural Service Laboratory, how to read a compost report (table
    chemistry/nitrogen_turnover, seen).

    Examples
    --------
    >>> nitrogen_turnover([12.0, 25.0, 35.0]).tolist()
    ['mineralises', 'transitional', 'immobilises']
    """
    limits = table("chemistry/nitrogen_turnover").row(rule="clemson_compost")
    ratio = within("carbon_to_nitrogen", carbon_to_nitrogen, 1.0, 2000.0, "")
    chosen: NDArray[np.str_] = np.select(
        [ratio < limits["mineralises_below"], ratio > limits["immobilises_above"]], ["mineralises", "immobilises"],
        "transitional")[()]
    return chosen
