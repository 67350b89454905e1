"""What the counted would weigh: volume from sizes, dry mass and carbon by the constant of a named source."""

from __future__ import annotations

from typing import Literal

import numpy as np

from rootcase.ground.errors import Missing
from rootcase.science.circle import circle_area
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

Organism = Literal["bacteria", "hyphae"]
Quantity = Literal["dry", "carbon"]
MOST_VOLUME_MM3 = 1e6


def rod_volume_um3(width_um: Numbers, length_um: Numbers) -> Lanes:
    """How much room does a rod with round ends take? A sphere is as long as it is wide.

    Parameters
    ----------
    width_um : scalar or one per lane. [um], 0.05 to 100
    length_um : over both ends. [um], the width to 1000

    Returns
    -------
    same shape. [um3]

    Raises
    ------
    OutOfRange : a value leaves its range, or a rod is shorter than wide.

    Notes
    -----
    Mean the volumes, not the sizes: the volume of the mean size is too small.

    References
    ----------
    Geometry of a cylinder with two half spheres (computed).

    Examples
    --------
    >>> round(float(rod_volume_um3(0.5, 1.0)), 5)
    0.16362
    """
    width = within("width_um", width_um, 0.05, 100.0, "um")
    length = within("length_um", length_um, 0.05, 1000.0, "um")
    within("length_um over width_um", length / width, 1.0, 20_000.0, "")
    return np.asarray(circle_area(width) * (length - width / 3.0))


def cells_volume_mm3(number: Numbers, mean_um3: Numbers) -> Lanes:
    """How much room do cells take?

    Parameters
    ----------
    number : all of them, or per gram or millilitre; scalar or one per lane. [1], 0 to 1e15
    mean_um3 : mean of the volumes of those measured, not the volume of their mean size. [um3], 0.001 to 1e6

    Returns
    -------
    same shape. [mm3], per gram or millilitre where the number is

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    1 um3 is 1e-9 mm3.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> round(float(cells_volume_mm3(1e9, 0.2)), 6)
    0.2
    """
    return np.asarray(within("number", number, 0.0, 1e15, "") * within("mean_um3", mean_um3, 1e-3, 1e6, "um3") * 1e-9)


def hypha_volume_mm3(length_m: Numbers, diameter_um: Numbers) -> Lanes:
    """How much room do hyphae take?

    Parameters
    ----------
    length_m : all of them, or per gram or millilitre; scalar or one per lane. [m], 0 to 1e9
    diameter_um : whose square is the mean square of the diameters read. [um], 0.1 to 100

    Returns
    -------
    same shape. [mm3], per gram or millilitre where the length is

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    It goes with the square: 3.0 um read for 2.5 is 44 % more.

    References
    ----------
    Geometry (computed).

    Examples
    --------
    >>> round(float(hypha_volume_mm3(1000, 2.5)), 4)
    4.9087
    """
    return np.asarray(circle_area(within("diameter_um", diameter_um, 0.1, 100.0, "um"))
                      * within("length_m", length_m, 0.0, 1e9, "m") / 1000.0)


def mass_ug(volume_mm3: Numbers, organism: Organism, constant: str, quantity: Quantity) -> Lanes:
    """What would that volume weigh, by one source's constant?

    Parameters
    ----------
    volume_mm3 : of the cells or hyphae, or per gram or millilitre; scalar or one per lane. [mm3], 0 to 1,000,000
    organism : "bacteria" or "hyphae"
    constant : the source, as the table names it
    quantity : "dry" for dry mass, "carbon" for its carbon

    Returns
    -------
    same shape. [ug], per gram or millilitre where the volume is

    Raises
    ------
    OutOfRange : the volume leaves its range.
    Missing : no such constant, or it says nothing of that quantity.

    Notes
    -----
    Keep the constant's name with the number, and never set two numbers of different constants side by side as if they
    were measured alike: the choice alone is worth a factor of 2.5 for bacteria. 1 um3 is 1e-9 mm3.

    References
    ----------
    Table microscope/biomass_constants, a source each row.

    Examples
    --------
    >>> round(float(mass_ug(1e9 * 0.2 * 1e-9, "bacteria", "fry_1990", "carbon")), 6)
    62.0
    """
    per_cm3 = table("microscope/biomass_constants").row(organism=organism, constant=constant)[f"{quantity}_g_cm3"]
    if per_cm3 is None:
        raise Missing(f"the constant says nothing of {quantity}", where="tables/microscope/biomass_constants",
                      value=constant, right="name a constant that does")
    return float(1000.0 * per_cm3) * within("volume_mm3", volume_mm3, 0.0, MOST_VOLUME_MM3, "mm3")


def mass_by_constant_ug(volume_mm3: Numbers, organism: Organism, quantity: Quantity) -> dict[str, Lanes]:
    """What would that volume weigh by each source, so that the spread of the sources is seen?

    Parameters
    ----------
    volume_mm3 : of the cells or hyphae, or per gram or millilitre; scalar or one per lane. [mm3], 0 to 1,000,000
    organism : "bacteria" or "hyphae"
    quantity : "dry" for dry mass, "carbon" for its carbon

    Returns
    -------
    by constant, in the table's order, those that speak of the quantity. [ug]

    Raises
    ------
    OutOfRange : the volume leaves its range.

    Notes
    -----
    The sources are not averaged: nobody has shown which fits a soil at hand.

    References
    ----------
    Table microscope/biomass_constants, a source each row.

    Examples
    --------
    >>> {name: round(float(ug)) for name, ug in mass_by_constant_ug(0.2, "bacteria", "carbon").items()}
    {'bratbak_dundas_1984': 44, 'fry_1990': 62, 'bratbak_1985': 112}
    """
    return {row["constant"]: mass_ug(volume_mm3, organism, row["constant"], quantity)
            for row in table("microscope/biomass_constants").rows
            if row["organism"] == organism and row[f"{quantity}_g_cm3"] is not None}
