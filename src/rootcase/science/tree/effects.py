"""Small laws of the model: roots in reserve, root spread, infiltration, salt, lock-up, nitrogen."""

from __future__ import annotations

import numpy as np

from rootcase.ground.errors import require_range
from rootcase.science.soil.density import density_limits
from rootcase.science.tree.fixed import Array, Lane, fixed


def reserve(root_supply: Lane, root_reserve: Lane) -> Array:
    """How much of full supply a root system gives when this share of it works.

    Parameters
    ----------
    root_supply : scalar or one per lane. 0 to 1
    root_reserve : same shape; small means much spare root. 0.01 to 100

    Returns
    -------
    share, same shape. 0 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    g(y) = y (1 + k_C) / (y + k_C) in docs/model.md.

    References
    ----------
    Compensated uptake: Jarvis 2011, Hydrol. Earth Syst. Sci. 15:3431-3446 (abstract seen); form JUDGEMENT.

    Examples
    --------
    >>> round(float(reserve(0.7, 0.5)), 6)
    0.875
    """
    require_range("root_supply", root_supply, 0.0, 1.0 + 1e-9, "")
    require_range("root_reserve", root_reserve, 0.01, 100.0, "")
    supply = np.asarray(root_supply, dtype=np.float64)
    return np.asarray(supply * (1.0 + root_reserve) / (supply + root_reserve))


def root_spread_ratio(years: Lane, trunk_diameter_m: Lane, crown_radius_m: Lane, advance_m_year: Lane,
                      rooting: Lane, free_ratio: Lane) -> Array:
    """How much ground a planted tree's roots have reached, over its crown area.

    Parameters
    ----------
    years : scalar or one per lane, since planting; infinite where established. [yr], from 0
    trunk_diameter_m : same shape. [m], 0 to 10
    crown_radius_m : same shape. [m], 0.05 to 40
    advance_m_year : same shape, of the root front in free soil. [m yr-1], 0 to 10
    rooting : same shape, how far roots fill the top 0.30 m. 0 to 1
    free_ratio : same shape, the ratio of an established tree with nothing in the way. 0.1 to 20

    Returns
    -------
    rooted ground over crown area, same shape.

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The root ball's radius is 5.5 trunk diameters. A, cal, v, f-bar, R_c, A_f in docs/model.md.

    References
    ----------
    18 inches a year: common practice, no source; the square root of rooting JUDGEMENT.

    Examples
    --------
    >>> round(float(root_spread_ratio(3.0, 0.06, 1.0, 0.46, 0.25, 2.2)), 4)
    1.0404
    """
    require_range("years", years, 0.0, np.inf, "yr")
    require_range("trunk_diameter_m", trunk_diameter_m, 0.0, 10.0, "m")
    require_range("crown_radius_m", crown_radius_m, 0.05, 40.0, "m")
    require_range("advance_m_year", advance_m_year, 0.0, 10.0, "m/yr")
    require_range("rooting", rooting, 0.0, 1.0 + 1e-9, "")
    require_range("free_ratio", free_ratio, 0.1, 20.0, "")
    ball = fixed("root_ball_per_trunk") * np.asarray(trunk_diameter_m)
    # A front that stands still never gets anywhere, however many years it has.
    advance = np.maximum(np.asarray(advance_m_year) * np.sqrt(rooting), 1e-9)
    reached = ((ball + advance * np.asarray(years)) / np.asarray(crown_radius_m)) ** 2
    return np.asarray(np.minimum(reached, free_ratio))


def compaction_index(sand: Lane, clay: Lane, density_mg_m3: Lane) -> Array:
    """Where a density stands between ideal for roots (0) and restricting them (1).

    Parameters
    ----------
    sand : scalar or one per lane. [kg kg-1], 0 to 1
    clay : same shape. [kg kg-1], 0 to 1
    density_mg_m3 : same shape. [Mg m-3], 0.1 to 2.65

    Returns
    -------
    same shape. 0 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    ci in docs/model.md.

    References
    ----------
    Limits: see `density_limits`.

    Examples
    --------
    >>> round(float(compaction_index(0.25, 0.5, 1.285)), 6)
    0.5
    """
    require_range("density_mg_m3", density_mg_m3, 0.1, 2.65, "Mg/m3")
    limits = density_limits(sand, clay)
    return np.asarray(np.clip((density_mg_m3 - limits.ideal) / (limits.restricts - limits.ideal), 0.0, 1.0))


def infiltration_from_compaction_mm_h(clay: Lane, compaction: Lane) -> Array:
    """How much water an hour a ground takes in, from its clay and how dense it is.

    Parameters
    ----------
    clay : scalar or one per lane. [kg kg-1], 0 to 1
    compaction : same shape, see `compaction_index`. 0 to 1

    Returns
    -------
    same shape. [mm h-1]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Geometric between four corners: sand and clay, loose and compacted. i_0, i_1, wc, ci in docs/model.md. Sodium and
    the error of the reading come after.

    References
    ----------
    Pitt et al. 2008, Compaction's impacts on urban storm-water infiltration, J. Irrig. Drain. Eng. 134:652-658
    (figures memory).

    Examples
    --------
    >>> round(float(infiltration_from_compaction_mm_h(0.5, 1.0)), 6)
    5.0
    """
    require_range("clay", clay, 0.0, 1.0, "")
    require_range("compaction", compaction, 0.0, 1.0, "")
    clayey = np.clip((np.asarray(clay) - fixed("clay_low")) / fixed("clay_span"), 0.0, 1.0)
    loose = fixed("infiltration_sand_loose_mm_h") ** (1.0 - clayey) * fixed("infiltration_clay_loose_mm_h") ** clayey
    dense = fixed("infiltration_sand_dense_mm_h") ** (1.0 - clayey) * fixed("infiltration_clay_dense_mm_h") ** clayey
    return np.asarray(loose ** (1.0 - np.asarray(compaction)) * dense ** np.asarray(compaction))


def infiltration_mm(water_mm: Lane, capacity_mm: Lane) -> Array:
    """How much of a day's water soaks in.

    Parameters
    ----------
    water_mm : scalar or one per lane, reaching the ground. [mm], from 0
    capacity_mm : same shape, the day's capacity. [mm], from 0

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value is negative.

    Notes
    -----
    F (1 - exp(-i/F)): the capacity differs from spot to spot, exponentially. Nothing where the capacity is 0.

    References
    ----------
    Yu, Rose, Ciesiolka, Coughlan and Fentie 1997, Toward a framework for runoff and soil loss prediction using GUEST
    technology, Aust. J. Soil Res. 35:1191-1212 (memory).

    Examples
    --------
    >>> round(float(infiltration_mm(10.0, 12.0)), 6)
    6.784821
    """
    require_range("water_mm", water_mm, 0.0, np.inf, "mm")
    require_range("capacity_mm", capacity_mm, 0.0, np.inf, "mm")
    capacity = np.asarray(capacity_mm, dtype=np.float64)
    return np.asarray(capacity * (1.0 - np.exp(-np.asarray(water_mm) / np.maximum(capacity, 1e-9))))


def salt_factor(ece_ds_m: Lane, threshold_ds_m: Lane, slope_pct: Lane, threshold_error_ds_m: Lane = 0.0,
                slope_error: Lane = 1.0) -> Array:
    """What salt in the root zone leaves of growth.

    Parameters
    ----------
    ece_ds_m : scalar or one per lane, saturation extract. [dS m-1], 0 to 60
    threshold_ds_m : same shape. [dS m-1], 0 to 30
    slope_pct : same shape. [% per dS m-1], 0 to 100
    threshold_error_ds_m : same shape, added. [dS m-1]
    slope_error : same shape, multiplied. 0 to 20

    Returns
    -------
    share, same shape. 0.05 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source's relative yield, 1 - b (ECe - a) / 100; held above .05, the threshold above .5 dS/m.

    References
    ----------
    Maas and Hoffman 1977, J. Irrig. Drain. Div. 103:115-134 (form, memory); limits JUDGEMENT.

    Examples
    --------
    >>> round(float(salt_factor(5.0, 2.0, 14.0)), 6)
    0.58
    """
    require_range("ece_ds_m", ece_ds_m, 0.0, 60.0, "dS/m")
    require_range("threshold_ds_m", threshold_ds_m, 0.0, 30.0, "dS/m")
    require_range("slope_pct", slope_pct, 0.0, 100.0, "% per dS/m")
    require_range("slope_error", slope_error, 0.0, 20.0, "")
    threshold = np.maximum(np.asarray(threshold_ds_m) + threshold_error_ds_m, fixed("salt_least_threshold_ds_m"))
    above = np.maximum(np.asarray(ece_ds_m) - threshold, 0.0)
    left = 1.0 - np.asarray(slope_pct) * slope_error / 100.0 * above
    return np.asarray(np.clip(left, fixed("salt_least_factor"), 1.0))


def lock_up_factor(ph: Lane, loss_per_ph: Lane, error: Lane = 1.0) -> Array:
    """What nutrients locked up in limy soil leave of growth.

    Parameters
    ----------
    ph : scalar or one per lane. 2 to 12
    loss_per_ph : same shape, share lost per unit of pH above 7. 0 to 1
    error : same shape, multiplied. 0 to 20

    Returns
    -------
    share, same shape. 0.3 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The loss is held at .7. lambda and l_epsilon in docs/model.md.

    References
    ----------
    JUDGEMENT.

    Examples
    --------
    >>> round(float(lock_up_factor(8.0, 0.22)), 9)
    0.78
    """
    require_range("ph", ph, 2.0, 12.0, "")
    require_range("loss_per_ph", loss_per_ph, 0.0, 1.0, "per pH")
    require_range("error", error, 0.0, 20.0, "")
    loss = np.asarray(loss_per_ph) * error * np.maximum(np.asarray(ph) - fixed("lock_up_ph"), 0.0)
    return np.asarray(1.0 - np.minimum(loss, fixed("lock_up_most")))


def growth_index(water_growth: Lane, nitrogen_ratio: Lane, lock_up: Lane) -> Array:
    """How much a tree grows, given what water and roots allow, its nitrogen and its lime.

    Parameters
    ----------
    water_growth : scalar or one per lane, growth that water and roots allow (W). 0 to 1.5
    nitrogen_ratio : same shape, nitrogen supplied over that of a healthy tree (s_N). From 0
    lock_up : same shape, see `lock_up_factor`. 0 to 1

    Returns
    -------
    growth index, same shape.

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The demand shrinks with growth, so that a dry or root-poor tree is not hungry as well. G, W, s_N in docs/model.md.

    References
    ----------
    JUDGEMENT.

    Examples
    --------
    >>> round(float(growth_index(1.0, 0.5, 1.0)), 6)
    0.615572
    """
    require_range("water_growth", water_growth, 0.0, 1.5, "")
    require_range("nitrogen_ratio", nitrogen_ratio, 0.0, np.inf, "")
    require_range("lock_up", lock_up, 0.0, 1.0, "")
    growth = np.asarray(water_growth, dtype=np.float64)
    wanted = fixed("nitrogen_base") + fixed("nitrogen_per_growth") * growth
    hunger = np.minimum(1.0, np.asarray(nitrogen_ratio) / wanted) ** fixed("nitrogen_power")
    return np.asarray(growth * hunger * lock_up)
