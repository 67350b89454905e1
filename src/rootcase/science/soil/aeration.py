"""How freely oxygen moves through the air a soil holds, against open air."""

from __future__ import annotations

from rootcase.science.lanes import Lanes, Numbers, within


def relative_diffusivity_penman(air_filled: Numbers) -> Lanes:
    """A gas's diffusivity in soil over that in open air, by Penman: the air alone counts.

    Parameters
    ----------
    air_filled : scalar or one per lane, air-filled porosity. [m3 m-3], 0 to 0.95

    Returns
    -------
    same shape. [-]

    Raises
    ------
    OutOfRange : the porosity leaves its range.

    Notes
    -----
    The source writes D / D0 = 0.66 epsilon. Made on dry packings: it says too much of wet or compacted soil, 29 times
    what `relative_diffusivity_millington_quirk` says at 0.10 of air in 0.45 of pores.

    References
    ----------
    Penman 1940, Gas and vapour movements in the soil: I, J. Agric. Sci. 30:437-462 (memory).

    Examples
    --------
    >>> round(float(relative_diffusivity_penman(0.10)), 4)
    0.066
    """
    return 0.66 * within("air_filled", air_filled, 0.0, 0.95, "m3/m3")


def relative_diffusivity_millington_quirk(air_filled: Numbers, porosity: Numbers) -> Lanes:
    """A gas's diffusivity in soil over that in open air, by Millington and Quirk: water bars the way.

    Parameters
    ----------
    air_filled : scalar or one per lane, air-filled porosity. [m3 m-3], 0 to the porosity
    porosity : same shape, total. [m3 m-3], 0.05 to 0.95

    Returns
    -------
    same shape. [-]

    Raises
    ------
    OutOfRange : a value leaves its range, or there is more air than pores.

    Notes
    -----
    The source writes D / D0 = epsilon^(10/3) / phi^2. Of the two forms here this is the one for wet or compacted soil;
    usual values in soil are 0.003 to 0.2 (Glinski and Stepniewski 1985, seen as quoted). It is a share of pores, not a
    rate of supply: show the air-filled porosity beside it.

    References
    ----------
    Millington and Quirk 1961, Permeability of porous solids, Trans. Faraday Soc. 57:1200-1207 (form seen in public
    code; the paper not read).

    Examples
    --------
    >>> round(float(relative_diffusivity_millington_quirk(0.10, 0.45)), 5)
    0.00229
    """
    pores = within("porosity", porosity, 0.05, 0.95, "m3/m3")
    air = within("air_filled", air_filled, 0.0, 0.95, "m3/m3")
    within("air as a share of the pores", air / pores, 0.0, 1.0, "")
    diffusivity: Lanes = air ** (10.0 / 3.0) / pores**2
    return diffusivity
