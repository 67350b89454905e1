"""How much of a soil is pores."""

from __future__ import annotations

from rootcase.science.lanes import Lanes, Numbers, within

PARTICLE_DENSITY_MG_M3 = 2.65  # of Saxton and Rawls 2006, Eq. 6


def total_porosity(bulk_density_mg_m3: Numbers) -> Lanes:
    """The share of a soil's volume that is not solid.

    Parameters
    ----------
    bulk_density_mg_m3 : scalar or one per lane. [Mg m-3], 0 to 2.65

    Returns
    -------
    same shape. [m3 m-3]

    Raises
    ------
    OutOfRange : the density leaves its range.

    Notes
    -----
    The source writes 1 - rho_b / rho_s; the solids are taken as mineral, 2.65 Mg m-3. Peat has less.

    References
    ----------
    Saxton and Rawls 2006, Soil Sci. Soc. Am. J. 70:1569-1578, Eq. 6 turned round (seen in public code).

    Examples
    --------
    >>> round(float(total_porosity(1.60)), 3)
    0.396
    """
    density = within("bulk_density_mg_m3", bulk_density_mg_m3, 0.0, PARTICLE_DENSITY_MG_M3, "Mg/m3")
    return 1.0 - density / PARTICLE_DENSITY_MG_M3
