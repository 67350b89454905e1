"""One material of a heap: its moisture, carbon and nitrogen, measured or reckoned."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from rootcase.science.lanes import Lanes, Numbers, within

MOST_CARBON_PCT, MOST_NITROGEN_PCT = 120.0, 20.0
"""Carbon of the dry matter is at most about 60; the product of a printed nitrogen and a printed carbon to nitrogen,
each the mean of other samples, may pass 100 (sawdust 106)."""
CARBON_SHARE = 1.8
"""Times its carbon organic matter weighs, by the rule of the handbook for compost (memory)."""


class Material(NamedTuple):
    """One material, or several in arrays."""

    moisture_pct: Numbers
    """Of the wet weight. [%], 0 to 100"""
    carbon_pct: Numbers
    """Of the dry matter. [%], 0 to 120"""
    nitrogen_pct: Numbers
    """Of the dry matter. [%], 0 to 20"""


WATER = Material(100.0, 0.0, 0.0)


def checked(material: Material) -> tuple[Lanes, Lanes, Lanes]:
    """Are a material's figures inside what matter can be? Gives them back as floats.

    Parameters
    ----------
    material : scalars or arrays. [%]

    Returns
    -------
    moisture, carbon and nitrogen as floats. [%]

    Raises
    ------
    OutOfRange : moisture outside 0 to 100, carbon outside 0 to 120, nitrogen outside 0 to 20.

    Notes
    -----
    The bound of carbon lets averages multiplied pass; see `carbon_from_ratio_pct`.

    References
    ----------
    JUDGEMENT: bounds of this house.

    Examples
    --------
    >>> [each.item() for each in checked(Material(38, 48.6, 0.9))]
    [38.0, 48.6, 0.9]
    """
    return (within("moisture_pct", material.moisture_pct, 0.0, 100.0, "%"),
            within("carbon_pct", material.carbon_pct, 0.0, MOST_CARBON_PCT, "%"),
            within("nitrogen_pct", material.nitrogen_pct, 0.0, MOST_NITROGEN_PCT, "%"))


def dry_mass_kg(mass_kg: Numbers, moisture_pct: Numbers) -> Lanes:
    """What of a wet mass is dry matter?

    Parameters
    ----------
    mass_kg : scalar or one per lane, as it lies. [kg], 0 to 1e9
    moisture_pct : same shape, of the wet weight. [%], 0 to 100

    Returns
    -------
    same shape. [kg]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Moisture on the dry weight, as some soil laboratories print it, is another number.

    References
    ----------
    A definition (computed).

    Examples
    --------
    >>> float(dry_mass_kg(100.0, 60.0))
    40.0
    """
    mass = within("mass_kg", mass_kg, 0.0, 1e9, "kg")
    return mass * (100.0 - within("moisture_pct", moisture_pct, 0.0, 100.0, "%")) / 100.0


def sample_moisture_pct(wet_g: Numbers, dry_g: Numbers) -> Lanes:
    """How wet is a sample, by the oven?

    Parameters
    ----------
    wet_g : scalar or one per lane, weighed as taken. [g], above 0
    dry_g : same shape, after 24 h at 105 to 110 degC. [g], 0 to the wet weight

    Returns
    -------
    same shape, of the wet weight. [%]

    Raises
    ------
    OutOfRange : a weight is not above zero, or the dry one is the larger.

    Notes
    -----
    Without the dish. The wet basis is that of recipes; soil is told by the dry one.

    References
    ----------
    Richard and Trautmann 1996, Compost calculations, Cornell Waste Management Institute, moisture page (seen in a
    copy).

    Examples
    --------
    >>> round(float(sample_moisture_pct(10.0, 2.3)), 1)
    77.0
    """
    wet = within("wet_g", wet_g, 1e-9, 1e6, "g")
    dry = within("dry_g", dry_g, 0.0, 1e6, "g")
    within("water lost by the sample", wet - dry, 0.0, 1e6, "g")
    return np.asarray(100.0 * (wet - dry) / wet)


def carbon_from_ash_pct(ash_pct: Numbers) -> Lanes:
    """Carbon of a material whose ash was weighed.

    Parameters
    ----------
    ash_pct : scalar or one per lane, of the dry matter. [%], 0 to 100

    Returns
    -------
    same shape, of the dry matter. [%]

    Raises
    ------
    OutOfRange : outside 0 to 100.

    Notes
    -----
    Organic matter over 1.8. Rules for soil and finished compost take 1.724 to 2, so the answer is good to a tenth.

    References
    ----------
    On-Farm Composting Handbook NRAES-54, rule for carbon from ash (memory).

    Examples
    --------
    >>> round(float(carbon_from_ash_pct(15.0)), 2)
    47.22
    """
    return (100.0 - within("ash_pct", ash_pct, 0.0, 100.0, "%")) / CARBON_SHARE


def organic_from_carbon_pct(carbon_pct: Numbers) -> Lanes:
    """Organic matter of a material whose carbon is known.

    Parameters
    ----------
    carbon_pct : scalar or one per lane, of the dry matter. [%], 0 to 120

    Returns
    -------
    same shape, of the dry matter, 100 at most. [%]

    Raises
    ------
    OutOfRange : outside 0 to 120.

    Notes
    -----
    The rule of `carbon_from_ash_pct` the other way; good to a tenth.

    References
    ----------
    On-Farm Composting Handbook NRAES-54, rule for carbon from ash (memory).

    Examples
    --------
    >>> organic_from_carbon_pct([47.22, 60.0]).round(1).tolist()
    [85.0, 100.0]
    """
    return np.minimum(CARBON_SHARE * within("carbon_pct", carbon_pct, 0.0, MOST_CARBON_PCT, "%"), 100.0)


def carbon_from_ratio_pct(nitrogen_pct: Numbers, carbon_nitrogen: Numbers) -> Lanes:
    """Carbon of a material whose nitrogen and carbon to nitrogen are printed.

    Parameters
    ----------
    nitrogen_pct : scalar or one per lane, of the dry matter. [%], 0 to 20
    carbon_nitrogen : same shape. [-], 0 to 2000

    Returns
    -------
    same shape, of the dry matter. [%]

    Raises
    ------
    OutOfRange : a value leaves its range, or the carbon passes 120 %.

    Notes
    -----
    Two averages of different samples multiplied may pass what matter can hold; 120 % is let through.

    References
    ----------
    Richard and Trautmann 1996, Compost calculations, Cornell Waste Management Institute, C/N page (seen).

    Examples
    --------
    >>> round(float(carbon_from_ratio_pct(3.4, 17.0)), 1)
    57.8
    """
    nitrogen = within("nitrogen_pct", nitrogen_pct, 0.0, MOST_NITROGEN_PCT, "%")
    carbon = nitrogen * within("carbon_nitrogen", carbon_nitrogen, 0.0, 2000.0, "")
    return within("carbon_pct", carbon, 0.0, MOST_CARBON_PCT, "%")


def stacked(materials: tuple[Material, ...]) -> Material:
    """Several materials as one of arrays.

    Parameters
    ----------
    materials : scalars each. [%]

    Returns
    -------
    Material : (materials,) in each field. [%]

    Raises
    ------
    OutOfRange : a figure leaves its range.

    Notes
    -----
    In their order.

    References
    ----------
    None: arrangement only.

    Examples
    --------
    >>> stacked((Material(77.0, 45.0, 2.4), WATER)).moisture_pct.tolist()
    [77.0, 100.0]
    """
    return Material(*checked(Material(*zip(*materials, strict=True))))
