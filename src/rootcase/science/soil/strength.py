"""How hard the soil pushes back, brought to one moisture so that readings can be compared."""

from __future__ import annotations

from rootcase.science.lanes import Lanes, Numbers, within


def strength_at_field_capacity_mpa(
    strength_mpa: Numbers, water_content: Numbers, field_capacity: Numbers, exponent: Numbers
) -> Lanes:
    """What a probe would have read on the same soil two days after a soaking rain.

    Parameters
    ----------
    strength_mpa : scalar or one per lane, penetration resistance as read. [MPa], 0 to 20
    water_content : same shape, when it was read. [m3 m-3], 0.01 to 1
    field_capacity : same shape. [m3 m-3], 0.01 to 1
    exponent : same shape. [-], 0 to 10; 0 where moisture is not to count

    Returns
    -------
    same shape. [MPa]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source has PR = b0 theta^b1 rho_b^b2 with b1 below 0; on one soil b0 and the density fall out of the ratio
    and `exponent` is -b1. No coefficients are taken from it: they belong to the soils they were fitted on.

    References
    ----------
    Busscher 1990, Adjustment of flat-tipped penetrometer resistance data to a common water content, Trans. ASAE
    33:519-524 (form seen in the documentation of a public package; the paper not read).

    Examples
    --------
    >>> float(strength_at_field_capacity_mpa(4.0, 0.15, 0.30, 2.0))
    1.0
    """
    water = within("water_content", water_content, 0.01, 1.0, "m3/m3")
    full = within("field_capacity", field_capacity, 0.01, 1.0, "m3/m3")
    power = within("exponent", exponent, 0.0, 10.0, "")
    return within("strength_mpa", strength_mpa, 0.0, 20.0, "MPa") * (water / full) ** power
