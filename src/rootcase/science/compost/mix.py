"""What a mix comes to. The last axis of masses and materials runs over the materials; draws may stand before it."""

from __future__ import annotations

import numpy as np

from rootcase.ground.errors import OutOfRange
from rootcase.science.compost.material import Material, checked, dry_mass_kg
from rootcase.science.lanes import Lanes, Numbers, within


def mix_moisture_pct(mass_kg: Numbers, moisture_pct: Numbers) -> Lanes:
    """How wet is a mix?

    Parameters
    ----------
    mass_kg : (..., materials) wet mass. [kg], >= 0, not all 0
    moisture_pct : (..., materials) of the wet weight. [%], 0 to 100

    Returns
    -------
    (...) of the wet weight. [%]

    Raises
    ------
    OutOfRange : a value leaves its range, or the mix weighs nothing.

    Notes
    -----
    By mass: a mean over buckets is another figure.

    References
    ----------
    Richard and Trautmann 1996, Compost calculations, Cornell Waste Management Institute, moisture page (seen in a
    copy).

    Examples
    --------
    >>> round(float(mix_moisture_pct([10.0, 6.8], [77.0, 35.0])), 1)
    60.0
    """
    mass = within("mass_kg", mass_kg, 0.0, 1e9, "kg")
    moisture = within("moisture_pct", moisture_pct, 0.0, 100.0, "%")
    whole = within("mass of the mix", mass.sum(axis=-1), 1e-9, 1e12, "kg")
    return np.asarray((mass * moisture).sum(axis=-1) / whole)


def mix_carbon_nitrogen(mass_kg: Numbers, material: Material) -> Lanes:
    """Carbon to nitrogen of a mix, from the masses of both.

    Parameters
    ----------
    mass_kg : (..., materials) wet mass. [kg], >= 0
    material : its fields (..., materials)

    Returns
    -------
    (...) mass of carbon over mass of nitrogen. [-]

    Raises
    ------
    OutOfRange : a value leaves its range, or the mix holds no nitrogen.

    Notes
    -----
    The materials' own ratios are not averaged: by weight that is another figure (34.8 for 38.1 with two pounds of
    cattle manure and one of corn stalks), the further off the more their nitrogen and moisture differ.

    References
    ----------
    Richard and Trautmann 1996, Compost calculations, Cornell Waste Management Institute, C/N page (seen).

    Examples
    --------
    >>> grass_and_leaves = Material([77.0, 35.0], [45.0, 50.0], [2.4, 0.75])
    >>> round(float(mix_carbon_nitrogen([10.0, 6.8], grass_and_leaves)), 2)
    36.73
    """
    moisture, carbon_pct, nitrogen_pct = checked(material)
    dry = dry_mass_kg(mass_kg, moisture)
    carbon, nitrogen = (dry * carbon_pct).sum(axis=-1), (dry * nitrogen_pct).sum(axis=-1)
    if (nitrogen <= 0).any():
        raise OutOfRange("the mix holds no nitrogen", value="0 kg of N", right="add a material with nitrogen")
    return np.asarray(carbon / nitrogen)


def water_to_add_kg(mass_kg: Numbers, moisture_pct: Numbers, goal_pct: Numbers) -> Lanes:
    """How much water brings a mix to its goal?

    Parameters
    ----------
    mass_kg : scalar or one per lane, wet mass of the mix. [kg], >= 0
    moisture_pct : same shape, of the wet weight. [%], 0 to 100
    goal_pct : same shape. [%], from the mix's moisture to 95

    Returns
    -------
    same shape. [kg]

    Raises
    ------
    OutOfRange : a value leaves its range, or the mix is wetter than its goal.

    Notes
    -----
    Dry stuff does not take all water at once: wet it in layers and feel again, since what runs off is not in it.

    References
    ----------
    Balance of masses (computed).

    Examples
    --------
    >>> round(float(water_to_add_kg(500.0, 42.0, 55.0)), 1)
    144.4
    """
    mass = within("mass_kg", mass_kg, 0.0, 1e9, "kg")
    goal = within("goal_pct", goal_pct, 0.0, 95.0, "%")
    short = within("goal less the mix's moisture", goal - within("moisture_pct", moisture_pct, 0.0, 100.0, "%"),
                   0.0, 100.0, "points")
    return np.asarray(mass * short / (100.0 - goal))


def as_one(mass_kg: Numbers, material: Material) -> tuple[float, Material]:
    """Several materials thrown together, as one.

    Parameters
    ----------
    mass_kg : (materials,) wet mass. [kg], >= 0, not all 0
    material : its fields (materials,)

    Returns
    -------
    wet mass [kg], and the material they come to. [%]

    Raises
    ------
    OutOfRange : a value leaves its range, or the mix weighs nothing.

    Notes
    -----
    Water alone stays water, without carbon and nitrogen.

    References
    ----------
    Balance of masses (computed).

    Examples
    --------
    >>> mass, whole = as_one([10.0, 6.8], Material([77.0, 35.0], [45.0, 50.0], [2.4, 0.75]))
    >>> round(mass, 1), [round(each, 2) for each in whole]
    (16.8, [60.0, 48.29, 1.31])
    """
    moisture, carbon, nitrogen = checked(material)
    mass = within("mass_kg", mass_kg, 0.0, 1e9, "kg")
    whole = float(within("mass of the mix", mass.sum(), 1e-9, 1e12, "kg"))
    dry = dry_mass_kg(mass, moisture)
    most = max(float(dry.sum()), 1e-300)
    return whole, Material(float(mix_moisture_pct(mass, moisture)), float((dry * carbon).sum() / most),
                           float((dry * nitrogen).sum() / most))
