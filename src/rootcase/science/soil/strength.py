"""How hard the soil pushes back, at what moisture, and brought to one moisture so that readings can be compared."""

from __future__ import annotations

from typing import NamedTuple

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table


class StrengthLimits(NamedTuple):
    """Penetration resistance [MPa]: roots work well from the first to the second, and stop above the third."""

    works_well_from: float
    hinders_above: float
    stops_above: float


def strength_limits() -> StrengthLimits:
    """From which resistance a soil hinders roots, and from which it stops them.

    Returns
    -------
    StrengthLimits(works_well_from, hinders_above, stops_above). [MPa]

    Raises
    ------
    Nothing.

    Notes
    -----
    The source prints 100, 200 and 300 psi. They hold near field capacity for a 30 degree cone; a dry soil reads
    higher, and a forest soil long undisturbed may read higher and still hold roots.

    References
    ----------
    Duiker 2002, Diagnosing soil compaction using a penetrometer, Penn State Agronomy Facts 63 (seen in two
    summaries in the farm press; the fact sheet not read).

    Examples
    --------
    >>> round(strength_limits().stops_above, 2)
    2.07
    """
    limits = table("soil/penetration_limits")
    return StrengthLimits(*(float(limits.row(limit=limit)["strength_mpa"])
                            for limit in ("works_well_from", "hinders_roots_above", "stops_roots_above")))


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


def strength_mpa(
    water_content: Numbers, bulk_density_mg_m3: Numbers, factor: Numbers, water_power: Numbers, density_power: Numbers
) -> Lanes:
    """How hard a soil of known coefficients pushes back at a moisture and a density.

    Parameters
    ----------
    water_content : scalar or one per lane. [m3 m-3], 0.01 to 1
    bulk_density_mg_m3 : same shape. [Mg m-3], 0.3 to 2.65
    factor : same shape, fitted on this soil. [MPa at 1 m3 m-3 and 1 Mg m-3], 1e-9 to 1,000
    water_power : same shape, fitted on this soil; wetter is softer. [-], -10 to -0.01
    density_power : same shape, fitted on this soil; denser is harder. [-], 0 to 20

    Returns
    -------
    same shape. [MPa]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source writes PR = b0 theta^b1 rho_b^b2. No coefficients come with it, for they belong to the soils they were
    fitted on; those of the example are invented and show the arithmetic alone.

    References
    ----------
    Busscher 1990, Adjustment of flat-tipped penetrometer resistance data to a common water content, Trans. ASAE
    33:519-524 (form seen in the documentation of a public package; the paper not read).

    Examples
    --------
    >>> round(float(strength_mpa(0.25, 1.40, 0.03, -2.0, 6.0)), 2)
    3.61
    """
    dense = _strength_at_whole_water(bulk_density_mg_m3, factor, density_power)
    power = within("water_power", water_power, -10.0, -0.01, "")
    return dense * within("water_content", water_content, 0.01, 1.0, "m3/m3") ** power


def water_at_strength(
    strength_mpa: Numbers, bulk_density_mg_m3: Numbers, factor: Numbers, water_power: Numbers, density_power: Numbers
) -> Lanes:
    """The water content below which a soil of known coefficients pushes back harder than a limit.

    Parameters
    ----------
    strength_mpa : scalar or one per lane, the limit. [MPa], 0.01 to 20
    bulk_density_mg_m3 : same shape. [Mg m-3], 0.3 to 2.65
    factor : same shape, fitted on this soil. [MPa at 1 m3 m-3 and 1 Mg m-3], 1e-9 to 1,000
    water_power : same shape, fitted on this soil. [-], -10 to -0.01
    density_power : same shape, fitted on this soil. [-], 0 to 20

    Returns
    -------
    same shape; more than the pores hold where the soil is too hard at any moisture. [m3 m-3]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    `strength_mpa` turned round: theta = (PR / (b0 rho_b^b2))^(1 / b1). With 2 MPa it is the strength end of
    `least_limiting_water`.

    References
    ----------
    Busscher 1990, Trans. ASAE 33:519-524 (form seen in the documentation of a public package; inverse computed).

    Examples
    --------
    >>> round(float(water_at_strength(2.0, 1.40, 0.03, -2.0, 6.0)), 4)
    0.3361
    """
    dense = _strength_at_whole_water(bulk_density_mg_m3, factor, density_power)
    limit = within("strength_mpa", strength_mpa, 0.01, 20.0, "MPa")
    water: Lanes = (limit / dense) ** (1.0 / within("water_power", water_power, -10.0, -0.01, ""))
    return water


def _strength_at_whole_water(bulk_density_mg_m3: Numbers, factor: Numbers, density_power: Numbers) -> Lanes:
    """What the form gives at 1 m3 m-3 of water, where its water term is 1."""
    density = within("bulk_density_mg_m3", bulk_density_mg_m3, 0.3, 2.65, "Mg/m3")
    power = within("density_power", density_power, 0.0, 20.0, "")
    return within("factor", factor, 1e-9, 1000.0, "MPa") * density**power
