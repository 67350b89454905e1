"""Raising a soil's pH with lime and lowering it with sulfur, and where not to try."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.ground.units import convert
from rootcase.science.chemistry.soil_mass import charge_matched_kg_m2
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

LIME_G_PER_MOL_OF_CHARGE = 50.04
LIME_PER_SULFUR = 100.09 / 32.06
TEXTURES = ("sand", "loam", "clay")


class SulfurCap(NamedTuple):
    """The most sulfur in one dose, the careful and the bold figure, and in a year [kg m-2]; months between doses.

    None where the source sets no such limit.
    """

    low_kg_m2: float
    high_kg_m2: float
    most_a_year_kg_m2: float | None
    least_months_apart: float | None


def lime_kg_m2(acidity_cmol_kg: Numbers, soil_mass_kg_m2: Numbers, neutralising_pct: Numbers) -> Lanes:
    """How much lime takes up so much acidity in a layer.

    Parameters
    ----------
    acidity_cmol_kg : scalar or one per lane, acidity to neutralise. [cmol_c kg-1], 0 to 100
    soil_mass_kg_m2 : same shape, the layer. [kg m-2], 0 to 30,000
    neutralising_pct : same shape, the product's effective value beside pure CaCO3. [%], 1 to 180

    Returns
    -------
    same shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    50.04 g of CaCO3 for each mole of charge. A laboratory's own lime rate goes before it.

    References
    ----------
    Stoichiometry (computed).

    Examples
    --------
    >>> round(float(lime_kg_m2(1.0, 200.0, 100.0)), 5)
    0.10008
    """
    acidity = within("acidity_cmol_kg", acidity_cmol_kg, 0.0, 100.0, "cmol/kg")
    pure = charge_matched_kg_m2(acidity, LIME_G_PER_MOL_OF_CHARGE, soil_mass_kg_m2)
    return pure / (within("neutralising_pct", neutralising_pct, 1.0, 180.0, "%") / 100.0)


def lime_undone_kg_m2(sulfur_kg_m2: Numbers) -> Lanes:
    """How much lime a dose of sulfur uses up before it can lower the pH.

    Parameters
    ----------
    sulfur_kg_m2 : scalar or one per lane, elemental. [kg m-2], 0 to 10

    Returns
    -------
    same shape, as pure CaCO3. [kg m-2]

    Raises
    ------
    OutOfRange : the value leaves its range.

    Notes
    -----
    One sulfur makes two acids, one CaCO3 takes two. Every percent of lime in 15 cm of soil is some 2 kg/m2 of it,
    which is why limy soil is left as it is.

    References
    ----------
    Stoichiometry (computed).

    Examples
    --------
    >>> round(float(lime_undone_kg_m2(1.0)), 3)
    3.122
    """
    return LIME_PER_SULFUR * within("sulfur_kg_m2", sulfur_kg_m2, 0.0, 10.0, "kg/m2")


def sulfur_kg_m2(rule: str, texture: str, ph: Numbers, free_lime: ArrayLike) -> Lanes:
    """How much elemental sulfur in all brings a soil's pH down to what a rule is for.

    Parameters
    ----------
    rule : "michigan_to_4_5", "western_to_6_5" or "royal_horticultural_to_6_5"; the number is the pH reached
    texture : "sand", "loam" or "clay"
    ph : scalar or one per lane, where the soil stands. [-], within what the rule prints
    free_lime : same shape, does the soil fizz with weak acid?

    Returns
    -------
    same shape, in all and not at once: see `sulfur_doses`. [kg m-2]

    Raises
    ------
    OutOfRange : the pH leaves what the rule prints, or the soil holds free lime.
    Missing : no such rule, or it says nothing of the texture.

    Notes
    -----
    Between two printed pH on a straight line, which is JUDGEMENT. The rules are for 6 in of soil into which the
    sulfur is worked; on the surface over roots it takes years and burns turf. Where the soil fizzes it is not to be
    attempted at all: the lime eats the sulfur. The label goes before it.

    References
    ----------
    Table chemistry/sulfur_rates, a source each row; free lime: Royal Horticultural Society, acidifying soil (seen).

    Examples
    --------
    >>> round(float(sulfur_kg_m2("michigan_to_4_5", "loam", 6.5, False)), 4)
    0.2264
    """
    if np.any(free_lime):
        raise OutOfRange("sulfur is not attempted where the soil holds free lime", where=f"sulfur {rule}",
                         value="a soil that fizzes", right="choose plants that bear lime, or treat what they lack")
    rows = [row for row in table("chemistry/sulfur_rates").rows if row["rule"] == rule]
    if not rows or texture not in TEXTURES or rows[0][texture] is None:
        raise Missing("the rule does not say how much sulfur", where="tables/chemistry/sulfur_rates",
                      value=f"{rule}, {texture}", right="name a rule of the table and sand, loam or clay")
    printed_ph = [row["from_ph"] for row in rows]
    printed_kg_m2 = [convert(row[texture], row["unit"], "kg/m2") for row in rows]
    return np.asarray(np.interp(within("ph", ph, printed_ph[0], printed_ph[-1], ""), printed_ph, printed_kg_m2))


def sulfur_cap(rule: str) -> SulfurCap:
    """How much sulfur living plants bear in one dose, in a year, and how far apart.

    Parameters
    ----------
    rule : "clemson_landscape" or "purdue_turf"

    Returns
    -------
    SulfurCap(low_kg_m2, high_kg_m2, most_a_year_kg_m2, least_months_apart). [kg m-2], [month]; None: no such limit

    Raises
    ------
    Missing : no such rule.

    Notes
    -----
    More burns. The first source waits 2 to 3 months between doses; grass kept lower than 2 in bears much less than the
    second source's.

    References
    ----------
    Table chemistry/sulfur_caps, a source each row.

    Examples
    --------
    >>> round(sulfur_cap("clemson_landscape").high_kg_m2, 4), sulfur_cap("clemson_landscape").least_months_apart
    (0.0488, 2.0)
    """
    row = table("chemistry/sulfur_caps").row(rule=rule)
    low, high = (convert(row[f"{limit}_lb_1000ft2"], "lb/1000ft2", "kg/m2") for limit in ("low", "high"))
    year_lb = row["most_a_year_lb_1000ft2"]
    return SulfurCap(low, high, None if year_lb is None else convert(year_lb, "lb/1000ft2", "kg/m2"),
                     row["least_months_apart"])


def sulfur_doses(sulfur_kg_m2: Numbers, cap_kg_m2: Numbers) -> NDArray[np.int64]:
    """Into how many doses so much sulfur is parted under a cap.

    Parameters
    ----------
    sulfur_kg_m2 : scalar or one per lane, in all. [kg m-2], 0 to 10
    cap_kg_m2 : same shape, one dose, see `sulfur_cap`. [kg m-2], 0.001 to 10

    Returns
    -------
    same shape, whole doses.

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The pH is read again before each dose, and the course stops where it has done enough.

    References
    ----------
    Clemson University Extension EC 707 (table chemistry/sulfur_caps, seen on a calculator's page).

    Examples
    --------
    >>> sulfur_doses([0.0, 0.05, 0.06], 0.05).tolist()
    [0, 1, 2]
    """
    parts = (within("sulfur_kg_m2", sulfur_kg_m2, 0.0, 10.0, "kg/m2")
             / within("cap_kg_m2", cap_kg_m2, 0.001, 10.0, "kg/m2"))
    return np.asarray(np.ceil(parts - 1e-9), dtype=np.int64)
