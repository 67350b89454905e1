"""Evaporation from the soil surface: what the top layer holds, how it dries, what mulch keeps in."""

from __future__ import annotations

import numpy as np

from rootcase.ground.errors import require_order
from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.water.available import MM_PER_M
from rootcase.tables.load import table

LEAST_EXPOSED_SHARE = 0.01


def evaporable_water_mm(field_capacity: Numbers, wilting_point: Numbers, layer_m: Numbers) -> Lanes:
    """Water that can evaporate from the top layer before it is air-dry.

    Parameters
    ----------
    field_capacity : scalar or one per lane. [m3 m-3], 0 to 1
    wilting_point : same shape. [m3 m-3], below field_capacity
    layer_m : same shape. [m], 0.05 to 0.20; 0.10 to 0.15 in the source

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range, or the wilting point is not below field capacity.

    Notes
    -----
    The source writes TEW = 1000 (theta_FC - 0.5 theta_WP) Z_e. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 73 (seen in
    the source of pyfao56 1.4.3).

    Examples
    --------
    >>> round(float(evaporable_water_mm(0.28, 0.14, 0.10)), 9)
    21.0
    """
    full = within("field_capacity", field_capacity, 0.0, 1.0, "m3/m3")
    dry = within("wilting_point", wilting_point, 0.0, 1.0, "m3/m3")
    require_order("wilting_point", dry, "field_capacity", full, "m3/m3")
    return MM_PER_M * (full - 0.5 * dry) * within("layer_m", layer_m, 0.05, 0.20, "m")


def drying_factor(evaporable_mm: Numbers, easily_mm: Numbers, surface_depletion_mm: Numbers) -> Lanes:
    """How much a surface that dries still evaporates of what it did wet.

    Parameters
    ----------
    evaporable_mm : scalar or one per lane, see `evaporable_water_mm`. [mm], above easily_mm to 200
    easily_mm : same shape, lost at full speed. [mm], 0 to 50; 2 to 12 by texture in the source
    surface_depletion_mm : same shape, lost since the last wetting. [mm], 0 to 200

    Returns
    -------
    same shape. [-], 1 wet, 0 air-dry

    Raises
    ------
    OutOfRange : a value leaves its range, or easily_mm is not below evaporable_mm.

    Notes
    -----
    The source writes K_r, TEW, REW and D_e. No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 74 (seen in
    the source of pyfao56 1.4.3).

    Examples
    --------
    >>> float(drying_factor(21, 9, 15))
    0.5
    """
    whole = within("evaporable_mm", evaporable_mm, 0.0, 200.0, "mm")
    easy = within("easily_mm", easily_mm, 0.0, 50.0, "mm")
    require_order("easily_mm", easy, "evaporable_mm", whole, "mm")
    lost = within("surface_depletion_mm", surface_depletion_mm, 0.0, 200.0, "mm")
    return np.clip((whole - lost) / (whole - easy), 0.0, 1.0)


def exposed_wet_share(cover_share: Numbers, wetted_share: Numbers) -> Lanes:
    """The share of ground that is both wet and in the sun.

    Parameters
    ----------
    cover_share : scalar or one per lane, shaded by plants. [-], 0 to 1
    wetted_share : same shape, wetted by the last rain (1) or irrigation. [-], 0 to 1

    Returns
    -------
    same shape. [-], 0.01 to 1

    Raises
    ------
    OutOfRange : a share leaves 0 to 1.

    Notes
    -----
    The source writes f_ew = min(1 - f_c, f_w), and f_c of at most 0.99.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 75 (seen in
    the source of pyfao56 1.4.3).

    Examples
    --------
    >>> float(exposed_wet_share(0.6, 1.0))
    0.4
    """
    bare = 1.0 - within("cover_share", cover_share, 0.0, 1.0, "")
    return np.maximum(np.minimum(bare, within("wetted_share", wetted_share, 0.0, 1.0, "")), LEAST_EXPOSED_SHARE)


def evaporation_coefficient(
    drying: Numbers, basal: Numbers, upper: Numbers, exposed_share: Numbers
) -> Lanes:
    """What the bare surface evaporates of the reference.

    Parameters
    ----------
    drying : scalar or one per lane, see `drying_factor`. [-], 0 to 1
    basal : same shape, of the plants. [-], 0 to 1.5
    upper : same shape, see `upper_coefficient`. [-], basal to 2
    exposed_share : same shape, see `exposed_wet_share`. [-], 0 to 1

    Returns
    -------
    same shape. [-]

    Raises
    ------
    OutOfRange : a value leaves its range, or basal is above upper.

    Notes
    -----
    The source writes K_e = min(K_r (K_c,max - K_cb), f_ew K_c,max). No departure from it.

    References
    ----------
    Allen, Pereira, Raes and Smith 1998, Crop evapotranspiration, FAO Irrigation and Drainage Paper 56, Eq. 71 (seen in
    the source of pyfao56 1.4.3).

    Examples
    --------
    >>> round(float(evaporation_coefficient(0.5, 0.9, 1.2, 0.4)), 2)
    0.15
    """
    ceiling = within("upper", upper, 0.0, 2.0, "")
    room = within("upper minus basal", ceiling - within("basal", basal, 0.0, 1.5, ""), 0.0, 2.0, "")
    return np.minimum(within("drying", drying, 0.0, 1.0, "") * room,
                      within("exposed_share", exposed_share, 0.0, 1.0, "") * ceiling)


def evaporation_under_mulch(mulched_share: Numbers, effect: Numbers = 0.5) -> Lanes:
    """What is left of the evaporation from ground that is partly mulched.

    Parameters
    ----------
    mulched_share : scalar or one per lane, of the surface. [-], 0 to 1
    effect : same shape, of the mulch where it lies. [-], 0 to 1; 0.5 organic, 1 sheet

    Returns
    -------
    same shape; times evaporation without mulch. [-]

    Raises
    ------
    OutOfRange : a share leaves 0 to 1.

    Notes
    -----
    The sources write 1 - f_m x cover, and 5 percent less for each 10 percent that organic mulch covers: with the
    default of 0.5 they are the same. Field trials spread widely round it, see `cut_by_tephra_pct`. It touches
    evaporation alone, never what plants transpire.

    References
    ----------
    Raes, Steduto, Hsiao and Fereres 2018, AquaCrop reference manual (formula and default seen in the source of aquacrop
    3.1.0); Allen, Pereira, Raes and Smith 1998, FAO Irrigation and Drainage Paper 56, Chapter 10 (memory).

    Examples
    --------
    >>> evaporation_under_mulch([0.5, 1.0]).tolist()
    [0.75, 0.5]
    """
    covered = within("mulched_share", mulched_share, 0.0, 1.0, "")
    return 1.0 - within("effect", effect, 0.0, 1.0, "") * covered


def cut_by_tephra_pct(depth_m: Numbers) -> Lanes:
    """How much less wet clay evaporated in a month under loose volcanic gravel.

    Parameters
    ----------
    depth_m : scalar or one per lane, of the mulch. [m], 0.02 to 0.10

    Returns
    -------
    same shape. [%] of the evaporation without mulch

    Raises
    ------
    OutOfRange : the depth leaves what was tried.

    Notes
    -----
    Three depths were tried, over 31 days; straight lines between them are JUDGEMENT. It stands here to show how far a
    loose mulch can be from the rule in `evaporation_under_mulch`; nothing else uses it.

    References
    ----------
    Diaz, Jimenez and Tejedor 2005, Influence of the thickness and grain size of tephra mulch on soil water evaporation,
    Agric. Water Manage. 74:47-55 (abstract seen, title memory; in the table water/mulch_trials).

    Examples
    --------
    >>> cut_by_tephra_pct([0.02, 0.05]).tolist()
    [52.0, 83.0]
    """
    rows = table("water/mulch_trials").rows
    tried = [row["depth_m"] for row in rows]
    depth = within("depth_m", depth_m, tried[0], tried[-1], "m")
    return np.asarray(np.interp(depth, tried, [row["cut_pct"] for row in rows]), dtype=np.float64)
