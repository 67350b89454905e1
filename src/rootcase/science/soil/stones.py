"""What stones in a soil take from its water and its passage, and add to its weight."""

from __future__ import annotations

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.soil.porosity import PARTICLE_DENSITY_MG_M3


def stone_volume(stones_by_weight: Numbers, fine_density_mg_m3: Numbers) -> Lanes:
    """The share of a soil's volume that is stone, from its share of the weight.

    Parameters
    ----------
    stones_by_weight : scalar or one per lane, over 2 mm. [kg kg-1], 0 to 1
    fine_density_mg_m3 : same shape, bulk density of the earth between the stones. [Mg m-3], 0.3 to 2.65

    Returns
    -------
    same shape. [m3 m-3], 0 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes R_v = alpha R_w / (1 - R_w (1 - alpha)), alpha = rho / 2.65; the same with its terms in another
    order, so that rounding never makes more than the whole.

    References
    ----------
    Saxton and Rawls 2006, Soil Sci. Soc. Am. J. 70:1569-1578, Eq. 19 (seen in public code; the paper not read).

    Examples
    --------
    >>> round(float(stone_volume(0.20, 1.432)), 3)
    0.119
    """
    weight = within("stones_by_weight", stones_by_weight, 0.0, 1.0, "kg/kg")
    stone = _density_ratio(fine_density_mg_m3) * weight
    return stone / (stone + (1.0 - weight))


def density_with_stones_mg_m3(stones_by_volume: Numbers, fine_density_mg_m3: Numbers) -> Lanes:
    """What a soil weighs with its stones.

    Parameters
    ----------
    stones_by_volume : scalar or one per lane. [m3 m-3], 0 to 1
    fine_density_mg_m3 : same shape, bulk density of the earth between the stones. [Mg m-3], 0.3 to 2.65

    Returns
    -------
    same shape. [Mg m-3]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes rho_B. Stones are taken as solid, 2.65 Mg m-3; brick and weathered stone are lighter.
    Density limits for roots hold for the earth between the stones, not for this figure.

    References
    ----------
    Saxton and Rawls 2006, Soil Sci. Soc. Am. J. 70:1569-1578, Eq. 20 (seen in public code; the paper not read).

    Examples
    --------
    >>> round(float(density_with_stones_mg_m3(0.119, 1.432)), 3)
    1.577
    """
    stones = within("stones_by_volume", stones_by_volume, 0.0, 1.0, "m3/m3")
    fine = PARTICLE_DENSITY_MG_M3 * _density_ratio(fine_density_mg_m3)
    return fine * (1.0 - stones) + PARTICLE_DENSITY_MG_M3 * stones


def water_with_stones(fine_water: Numbers, stones_by_volume: Numbers) -> Lanes:
    """What is left of a soil's water when part of its room is stone.

    Parameters
    ----------
    fine_water : scalar or one per lane, available water of the earth between the stones. [m3 m-3], 0 to 1
    stones_by_volume : same shape. [m3 m-3], 0 to 1

    Returns
    -------
    same shape, in the whole soil. [m3 m-3]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes PAW_B. Stones hold no water in it; porous ones do.

    References
    ----------
    Saxton and Rawls 2006, Soil Sci. Soc. Am. J. 70:1569-1578, Eq. 21 (seen in public code; the paper not read).

    Examples
    --------
    >>> round(float(water_with_stones(0.1426, 0.119)), 4)
    0.1256
    """
    stones = within("stones_by_volume", stones_by_volume, 0.0, 1.0, "m3/m3")
    return within("fine_water", fine_water, 0.0, 1.0, "m3/m3") * (1.0 - stones)


def conductivity_with_stones_mm_h(
    fine_conductivity_mm_h: Numbers, stones_by_weight: Numbers, fine_density_mg_m3: Numbers
) -> Lanes:
    """How fast a full soil lets water through that must go round stones.

    Parameters
    ----------
    fine_conductivity_mm_h : scalar or one per lane, saturated, between the stones. [mm h-1], 0 to 10,000
    stones_by_weight : same shape, over 2 mm. [kg kg-1], 0 to 1
    fine_density_mg_m3 : same shape, bulk density of the earth between the stones. [Mg m-3], 0.3 to 2.65

    Returns
    -------
    same shape, of the whole soil. [mm h-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes K_b / K_s. It holds while fine earth fills the room between the stones; gravel that lies open
    drains faster than any earth.

    References
    ----------
    Saxton and Rawls 2006, Soil Sci. Soc. Am. J. 70:1569-1578, Eq. 22 (seen in public code; the paper not read).

    Examples
    --------
    >>> round(float(conductivity_with_stones_mm_h(15.48, 0.20, 1.432)), 2)
    12.87
    """
    weight = within("stones_by_weight", stones_by_weight, 0.0, 1.0, "kg/kg")
    share = (1.0 - weight) / (1.0 - weight * (1.0 - 1.5 * _density_ratio(fine_density_mg_m3)))
    return within("fine_conductivity_mm_h", fine_conductivity_mm_h, 0.0, 10_000.0, "mm/h") * share


def _density_ratio(fine_density_mg_m3: Numbers) -> Lanes:
    return within("fine_density_mg_m3", fine_density_mg_m3, 0.3, PARTICLE_DENSITY_MG_M3, "Mg/m3"
                  ) / PARTICLE_DENSITY_MG_M3
