"""How hard the soil pushes back, brought to one moisture so that readings can be compared."""

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
