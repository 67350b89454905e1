"""From compost and water to a liquid: how much of each, through which screen, and how much of it came across."""

from __future__ import annotations

import numpy as np

from rootcase.ground.errors import require_order
from rootcase.ground.units import convert
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

WATER_KG_L = convert(8.34, "lb/gal", "kg/L")
"""What tables of spraying take for water, 8.34 lb in a US gallon (seen); extract is up to 1.01 of it (memory)."""

MOST_VOLUME_L = 1e6


def water_weight_kg(volume_l: Numbers) -> Lanes:
    """What water or extract in a tank weighs.

    Parameters
    ----------
    volume_l : scalar or one per tank. [L], 0 to 1,000,000

    Returns
    -------
    same shape. [kg]

    Raises
    ------
    OutOfRange : the volume leaves its range.

    Notes
    -----
    An extract full of fines is up to 1 % heavier.

    References
    ----------
    8.34 lb in a US gallon, pages on spraying (seen).

    Examples
    --------
    >>> round(float(water_weight_kg(1000.0)), 1)
    999.4
    """
    return within("volume_l", volume_l, 0.0, MOST_VOLUME_L, "L") * WATER_KG_L


def compost_by_weight_kg(volume_l: Numbers, compost_per_water: Numbers) -> Lanes:
    """How much compost a vat takes, where the ratio is by weight.

    Parameters
    ----------
    volume_l : of water. [L], 0 to 1,000,000
    compost_per_water : same shape; 0.1 for 1 to 10. [kg kg-1], 0.0001 to 1

    Returns
    -------
    broadcast shape. [kg], compost as it is, moist

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Ratios by weight and by volume differ by the compost's density, near twofold: the batch says which it was.

    References
    ----------
    Arithmetic (computed); 1 to 10 by weight is common practice, no source.

    Examples
    --------
    >>> round(float(compost_by_weight_kg(1000.0, 0.1)), 2)
    99.94
    """
    return water_weight_kg(volume_l) * within("compost_per_water", compost_per_water, 1e-4, 1.0, "kg/kg")


def compost_by_volume_kg(volume_l: Numbers, compost_per_water: Numbers, density_kg_l: Numbers) -> Lanes:
    """How much compost a vat takes, where the ratio is by volume.

    Parameters
    ----------
    volume_l : of water. [L], 0 to 1,000,000
    compost_per_water : same shape; 0.1 for 1 to 10. [L L-1], 0.0001 to 1
    density_kg_l : same shape, of the compost as it is, by a bucket. [kg/L], 0.1 to 1.5

    Returns
    -------
    broadcast shape. [kg], compost as it is, moist

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Weigh it: a bucket filled loosely and one knocked down hold a third apart.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> float(compost_by_volume_kg(1000.0, 0.1, 0.6))
    60.0
    """
    return np.asarray(within("volume_l", volume_l, 0.0, MOST_VOLUME_L, "L")
                      * within("compost_per_water", compost_per_water, 1e-4, 1.0, "L/L")
                      * within("density_kg_l", density_kg_l, 0.1, 1.5, "kg/L"))


def usual_opening_um(place: str) -> float:
    """How wide the screen is that usually stands at a place in the line.

    Parameters
    ----------
    place : of the table tank/screens: "bag", "strainer_coarse" or "strainer_fine"

    Returns
    -------
    [um]

    Raises
    ------
    Missing : the table has no such place.

    Notes
    -----
    A screen holds back what clings to particles: count after the screen and the pump, not in the vat. Any other mesh
    becomes micrometres by ground.units.

    References
    ----------
    Table tank/screens (memory); mesh by ASTM E11, see `rootcase.ground.units`.

    Examples
    --------
    >>> usual_opening_um("strainer_coarse")
    300.0
    """
    return convert(table("tank/screens").row(place=place)["mesh"], "mesh", "um")


def expected_per_ml(per_g: Numbers, compost_g: Numbers, volume_ml: Numbers) -> Lanes:
    """What a count in the extract would be, had everything counted in the compost come across.

    Parameters
    ----------
    per_g : in the compost, moist as weighed. [g-1], 0 to 1e13
    compost_g : same shape, moist as weighed. [g], 0 to 1e9
    volume_ml : same shape, of extract. [mL], 1 to 1e9

    Returns
    -------
    broadcast shape. [mL-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    A count per gram of dry compost is first turned back by its moisture.

    References
    ----------
    Mass balance (computed).

    Examples
    --------
    >>> float(expected_per_ml(1e9, 100.0, 1000.0))
    100000000.0
    """
    return np.asarray(within("per_g", per_g, 0.0, 1e13, "1/g") * within("compost_g", compost_g, 0.0, 1e9, "g")
                      / within("volume_ml", volume_ml, 1.0, 1e9, "mL"))


def recovery(measured_per_ml: Numbers, expected_per_ml: Numbers) -> Lanes:
    """Which part of what was in the compost is in the extract.

    Parameters
    ----------
    measured_per_ml : counted in the extract. [mL-1], 0 to 1e13
    expected_per_ml : same shape, see `expected_per_ml`. [mL-1], 1e-9 to 1e13

    Returns
    -------
    broadcast shape. [-]; above 1 where the counts disagree or something grew

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Both counts have their own interval, and the ratio a wider one than either.

    References
    ----------
    Mass balance (computed).

    Examples
    --------
    >>> float(recovery(2.5e7, 1e8))
    0.25
    """
    return np.asarray(within("measured_per_ml", measured_per_ml, 0.0, 1e13, "1/mL")
                      / within("expected_per_ml", expected_per_ml, 1e-9, 1e13, "1/mL"))


def stock_volume_l(stock_per_ml: Numbers, wanted_per_ml: Numbers, volume_l: Numbers) -> Lanes:
    """How much of a strong liquid is thinned to so much of a weaker one.

    Parameters
    ----------
    stock_per_ml : of the strong one. [mL-1], above 0 to 1e13
    wanted_per_ml : same shape, at most that of the strong one. [mL-1], 0 to 1e13
    volume_l : same shape, to be made. [L], 0 to 1,000,000

    Returns
    -------
    broadcast shape. [L]

    Raises
    ------
    OutOfRange : a value leaves its range, or more is wanted than the strong one has.

    Notes
    -----
    From C1 V1 = C2 V2; water makes up the rest.

    References
    ----------
    Mass balance (computed).

    Examples
    --------
    >>> float(stock_volume_l(5e8, 1e8, 100.0))
    20.0
    """
    stock = within("stock_per_ml", stock_per_ml, 1e-9, 1e13, "1/mL")
    wanted = within("wanted_per_ml", wanted_per_ml, 0.0, 1e13, "1/mL")
    require_order("wanted_per_ml", wanted, "stock_per_ml", np.nextafter(stock, np.inf), "1/mL")
    return np.asarray(within("volume_l", volume_l, 0.0, MOST_VOLUME_L, "L") * wanted / stock)
