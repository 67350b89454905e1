"""How much soil lies under a square metre, and how much of a substance in it."""

from __future__ import annotations

from rootcase.ground.units import convert
from rootcase.science.lanes import Lanes, Numbers, within

FURROW_SLICE_KG_M2 = convert(2_000_000, "lb/ac", "kg/m2")
"""What laboratories take for the plough layer, 6 2/3 in of soil at 1.33 Mg/m3 (memory)."""


def soil_mass_kg_m2(bulk_density_mg_m3: Numbers, depth_m: Numbers) -> Lanes:
    """What a layer of dry soil weighs under a square metre.

    Parameters
    ----------
    bulk_density_mg_m3 : scalar or one per lane. [Mg m-3], 0 to 2.65
    depth_m : same shape, thickness of the layer. [m], 0 to 10

    Returns
    -------
    same shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Laboratories that print pounds an acre took a layer of 2,000,000 lb (`FURROW_SLICE_KG_M2`) whatever the soil; use
    it for their figures and this function for a soil whose density was read.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> float(soil_mass_kg_m2(1.5, 0.10))
    150.0
    """
    density_kg_m3 = 1000.0 * within("bulk_density_mg_m3", bulk_density_mg_m3, 0.0, 2.65, "Mg/m3")
    return density_kg_m3 * within("depth_m", depth_m, 0.0, 10.0, "m")


def amount_in_soil_kg_m2(content_mg_kg: Numbers, soil_mass_kg_m2: Numbers) -> Lanes:
    """How much of a substance lies in the soil under a square metre.

    Parameters
    ----------
    content_mg_kg : scalar or one per lane. [mg kg-1], 0 to 1,000,000
    soil_mass_kg_m2 : same shape. [kg m-2], 0 to 30,000

    Returns
    -------
    same shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    With `FURROW_SLICE_KG_M2` it is the laboratories' rule, pounds an acre = 2 x parts per million.

    References
    ----------
    Geometry (computed); the rule memory.

    Examples
    --------
    >>> round(float(amount_in_soil_kg_m2(50.0, 200.0)), 6)
    0.01
    """
    share = within("content_mg_kg", content_mg_kg, 0.0, 1e6, "mg/kg") / 1e6
    return share * within("soil_mass_kg_m2", soil_mass_kg_m2, 0.0, 30_000.0, "kg/m2")


def charge_matched_kg_m2(charge_cmol_kg: Numbers, g_per_mol: float, soil_mass_kg_m2: Numbers) -> Lanes:
    """How much of a pure substance carries as much charge as a layer of soil is to lose or take up.

    Parameters
    ----------
    charge_cmol_kg : scalar or one per lane. [cmol_c kg-1], 0 to 500
    g_per_mol : weight of the substance for each mole of its charge. [g mol_c-1]
    soil_mass_kg_m2 : same shape. [kg m-2], 0 to 30,000

    Returns
    -------
    same shape. [kg m-2]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Lime against acidity and gypsum against sodium are one sum.

    References
    ----------
    Stoichiometry (computed).

    Examples
    --------
    >>> round(float(charge_matched_kg_m2(1.0, 50.04, 200.0)), 5)
    0.10008
    """
    charge = within("charge_cmol_kg", charge_cmol_kg, 0.0, 500.0, "cmol/kg")
    return charge * g_per_mol / 1e5 * within("soil_mass_kg_m2", soil_mass_kg_m2, 0.0, 30_000.0, "kg/m2")
