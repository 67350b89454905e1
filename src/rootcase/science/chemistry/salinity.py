"""Dissolved salts: what they are called, what they take from a crop, how they are washed out."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

SALT_MG_L_PER_DS_M = 640.0
OSMOTIC_KPA_PER_DS_M = 36.0
MG_L_PER_KG_M2_MM = 1e6
MOST_EC_DS_M = 60.0
MOST_LEACHING = 0.95


class SaltTolerance(NamedTuple):
    """Salt up to which a crop loses nothing [dS m-1], and what each dS/m above it takes [% per dS m-1]."""

    threshold_ds_m: float
    slope_pct_per_ds_m: float


def salt_class(ece_ds_m: Numbers, esp_pct: Numbers) -> NDArray[np.str_]:
    """What a soil is called by its salt and its sodium.

    Parameters
    ----------
    ece_ds_m : scalar or one per lane, saturation extract; never a 1:2 or 1:5 extract. [dS m-1], 0 to 60
    esp_pct : same shape, exchangeable sodium. [%], 0 to 100

    Returns
    -------
    same shape: "normal", "saline", "sodic" or "saline-sodic".

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A value on a limit belongs below it. The source adds the pH that usually goes with a class (over 8.5 in sodic
    soil); it describes and does not decide.

    References
    ----------
    Richards (ed.) 1954, Diagnosis and improvement of saline and alkali soils, USDA Agriculture Handbook 60 (table
    chemistry/salt_limits, memory).

    Examples
    --------
    >>> salt_class([6.0, 2.0], [8.0, 20.0]).tolist()
    ['saline', 'sodic']
    """
    limits = table("chemistry/salt_limits").row(limit="handbook_60")
    saline = within("ece_ds_m", ece_ds_m, 0.0, MOST_EC_DS_M, "dS/m") > limits["ece_ds_m"]
    sodic = within("esp_pct", esp_pct, 0.0, 100.0, "%") > limits["esp_pct"]
    chosen: NDArray[np.str_] = np.select(
        [saline & sodic, saline, sodic], ["saline-sodic", "saline", "sodic"], "normal")[()]
    return chosen


def salt_tolerance(crop: str, list_name: str) -> SaltTolerance:
    """Up to which salt a woody crop loses nothing, and how fast it loses above.

    Parameters
    ----------
    crop : its name, such as "plum"
    list_name : whose figures, such as "hoffman_1989"; lists disagree

    Returns
    -------
    SaltTolerance(threshold_ds_m, slope_pct_per_ds_m). [dS m-1], [% per dS m-1]

    Raises
    ------
    Missing : the list does not hold the crop.

    Notes
    -----
    Yield of fruit on plots, not growth of shade trees, for most of which nothing of the kind was published.

    References
    ----------
    Table chemistry/salt_tolerance, a source each row.

    Examples
    --------
    >>> salt_tolerance("plum", "hoffman_1989").slope_pct_per_ds_m
    31.0
    """
    row = table("chemistry/salt_tolerance").row(crop=crop, list=list_name)
    return SaltTolerance(row["threshold_ds_m"], row["slope_pct_per_ds_m"])


def tolerance_needed(ece_ds_m: Numbers) -> NDArray[np.str_]:
    """Which class of salt tolerance must a plant be of, at the least, to grow in so much salt?

    Parameters
    ----------
    ece_ds_m : scalar or one per lane, saturation extract; never a 1:2 or 1:5 extract. [dS m-1], 0 to 60

    Returns
    -------
    same shape: "none", "low", "medium" or "high".

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Plants of that class lose a tenth of their growth at most. "High" has no upper end in the source; that its plants
    cope with any salt is not said.

    References
    ----------
    Table chemistry/salt_tolerance_classes.

    Examples
    --------
    >>> tolerance_needed([2.0, 3.0]).tolist()
    ['none', 'low']
    """
    rows = table("chemistry/salt_tolerance_classes").rows
    salt = within("ece_ds_m", ece_ds_m, 0.0, MOST_EC_DS_M, "dS/m")
    place = np.searchsorted([row["up_to_ds_m"] for row in rows], salt)
    return np.array([row["tolerance"] for row in rows])[place]


def relative_yield_pct(ece_ds_m: Numbers, threshold_ds_m: Numbers, slope_pct_per_ds_m: Numbers) -> Lanes:
    """What salt in the root zone leaves of a crop.

    Parameters
    ----------
    ece_ds_m : scalar or one per lane, mean of the root zone, saturation extract. [dS m-1], 0 to 60
    threshold_ds_m : same shape. [dS m-1], 0 to 30
    slope_pct_per_ds_m : same shape. [% per dS m-1], 0 to 100

    Returns
    -------
    same shape. [%], 0 to 100

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes Y_r = 100 - b (EC_e - a) above the threshold a; held between 0 and 100.

    References
    ----------
    Maas and Hoffman 1977, Crop salt tolerance, J. Irrig. Drain. Div. 103:115-134, as FAO Irrigation and Drainage
    Paper 61, Annex 1, Eq. 1 gives it (the annex seen, the paper memory).

    Examples
    --------
    >>> float(relative_yield_pct(3.0, 1.5, 19.0))
    71.5
    """
    above = (within("ece_ds_m", ece_ds_m, 0.0, MOST_EC_DS_M, "dS/m")
             - within("threshold_ds_m", threshold_ds_m, 0.0, 30.0, "dS/m"))
    slope = within("slope_pct_per_ds_m", slope_pct_per_ds_m, 0.0, 100.0, "% per dS/m")
    return np.asarray(np.clip(100.0 - slope * np.maximum(above, 0.0), 0.0, 100.0))


def leaching_requirement(water_ec_ds_m: Numbers, wanted_ece_ds_m: Numbers) -> Lanes:
    """What share of the water must pass below the roots to keep salt down to a level.

    Parameters
    ----------
    water_ec_ds_m : scalar or one per lane, the irrigation water's. [dS m-1], 0 to 60
    wanted_ece_ds_m : same shape, what the roots bear, saturation extract. [dS m-1], 0.1 to 60

    Returns
    -------
    same shape. [-], 0 to 0.95

    Raises
    ------
    OutOfRange : a value leaves its range, or the water is too salty to reach that level.

    Notes
    -----
    The source writes LR = EC_w / (5 EC_e - EC_w). It needs ground that drains; leach no ground that does not. Where
    more than 0.95 would have to pass there is no answer: a stop of ours, JUDGEMENT.

    References
    ----------
    Ayers and Westcot 1985, Water quality for agriculture, FAO Irrigation and Drainage Paper 29 rev. 1, Eq. 9, after
    Rhoades 1974 (memory).

    Examples
    --------
    >>> round(float(leaching_requirement(1.0, 2.0)), 4)
    0.1111
    """
    water = within("water_ec_ds_m", water_ec_ds_m, 0.0, MOST_EC_DS_M, "dS/m")
    beside = water / (5.0 * within("wanted_ece_ds_m", wanted_ece_ds_m, 0.1, MOST_EC_DS_M, "dS/m"))
    within("the water's salt beside five times what is wanted", beside, 0.0, MOST_LEACHING / (1.0 + MOST_LEACHING), "")
    return beside / (1.0 - beside)


def water_with_leaching_mm(evapotranspiration_mm: Numbers, leaching_requirement: Numbers) -> Lanes:
    """How much to water so that the plants have theirs and the rest washes the salt down.

    Parameters
    ----------
    evapotranspiration_mm : scalar or one per lane. [mm], 0 to 5,000
    leaching_requirement : same shape, share that must pass. [-], 0 to 0.95

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes AW = ET / (1 - LR). Rain counts as part of it.

    References
    ----------
    Ayers and Westcot 1985, Water quality for agriculture, FAO Irrigation and Drainage Paper 29 rev. 1, Eq. 7
    (memory).

    Examples
    --------
    >>> float(water_with_leaching_mm(30.0, 0.25))
    40.0
    """
    used = within("evapotranspiration_mm", evapotranspiration_mm, 0.0, 5000.0, "mm")
    return used / (1.0 - within("leaching_requirement", leaching_requirement, 0.0, MOST_LEACHING, ""))


def osmotic_potential_kpa(ec_ds_m: Numbers) -> Lanes:
    """How hard dissolved salt holds the soil's water back from roots.

    Parameters
    ----------
    ec_ds_m : scalar or one per lane, of the saturated soil's water. [dS m-1], 0 to 60

    Returns
    -------
    same shape, zero or below. [kPa]

    Raises
    ------
    OutOfRange : the value leaves its range.

    Notes
    -----
    The source writes 36 EC as a suction; here it has the sign of a potential.

    References
    ----------
    Saxton and Rawls 2006, Soil Sci. Soc. Am. J. 70:1569-1578, Eq. 23 (seen in public code).

    Examples
    --------
    >>> float(osmotic_potential_kpa(4.0))
    -144.0
    """
    return -OSMOTIC_KPA_PER_DS_M * within("ec_ds_m", ec_ds_m, 0.0, MOST_EC_DS_M, "dS/m")


def dissolved_salt_mg_l(ec_ds_m: Numbers) -> Lanes:
    """How much salt a water of some conductivity holds.

    Parameters
    ----------
    ec_ds_m : scalar or one per lane. [dS m-1], 0 to 5

    Returns
    -------
    same shape. [mg L-1]

    Raises
    ------
    OutOfRange : the value leaves its range.

    Notes
    -----
    640 mg/L for each dS/m, which the source gives for 0.1 to 5 dS/m; saltier water holds more for each.

    References
    ----------
    Richards (ed.) 1954, Diagnosis and improvement of saline and alkali soils, USDA Agriculture Handbook 60 (memory).

    Examples
    --------
    >>> float(dissolved_salt_mg_l(1.5))
    960.0
    """
    return SALT_MG_L_PER_DS_M * within("ec_ds_m", ec_ds_m, 0.0, 5.0, "dS/m")


def salt_from_water_kg_m2(ec_ds_m: Numbers, water_mm: Numbers) -> Lanes:
    """How much salt watering leaves on the ground if none is washed through.

    Parameters
    ----------
    ec_ds_m : scalar or one per lane, the water's. [dS m-1], 0 to 5
    water_mm : same shape. [mm], 0 to 5,000

    Returns
    -------
    same shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    See `dissolved_salt_mg_l`.

    References
    ----------
    `dissolved_salt_mg_l`; the rest geometry (computed).

    Examples
    --------
    >>> float(salt_from_water_kg_m2(1.0, 500.0))
    0.32
    """
    depth_mm = within("water_mm", water_mm, 0.0, 5000.0, "mm")
    return dissolved_salt_mg_l(ec_ds_m) * depth_mm / MG_L_PER_KG_M2_MM


def conductivity_rise_ds_m(salt_kg_m2: Numbers, soil_water_mm: Numbers) -> Lanes:
    """By how much a salt spread and dissolved at once lifts the conductivity of the soil's water.

    Parameters
    ----------
    salt_kg_m2 : scalar or one per lane. [kg m-2], 0 to 1
    soil_water_mm : same shape, water in the soil it dissolves into. [mm], 1 to 5,000

    Returns
    -------
    same shape. [dS m-1], 0 to 5

    Raises
    ------
    OutOfRange : a value leaves its range, or the rise is more than the rule is good for.

    Notes
    -----
    `dissolved_salt_mg_l` turned round: the most it can be, for nothing is taken up or washed down.

    References
    ----------
    `dissolved_salt_mg_l`; the rest geometry (computed).

    Examples
    --------
    >>> float(conductivity_rise_ds_m(0.064, 50.0))
    2.0
    """
    salt = within("salt_kg_m2", salt_kg_m2, 0.0, 1.0, "kg/m2")
    salt_mg_l = MG_L_PER_KG_M2_MM * salt / within("soil_water_mm", soil_water_mm, 1.0, 5000.0, "mm")
    return within("conductivity_rise_ds_m", salt_mg_l / SALT_MG_L_PER_DS_M, 0.0, 5.0, "dS/m")
