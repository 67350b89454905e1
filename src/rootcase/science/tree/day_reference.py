"""The four-layer day, step by step, for any reader to follow; the compiled engine must agree with it to 1e-9."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from rootcase.science.tree.effects import infiltration_mm, reserve
from rootcase.science.tree.fixed import Array, DayConstants, Lane, day_constants
from rootcase.science.tree.lanes import Lanes
from rootcase.science.tree.season import Season, is_watered


class Water(NamedTuple):
    """What the soil holds at the end of a day."""

    layers_mm: Array
    """Above wilting point (4, lanes)."""
    perched_mm: Array


class Day(NamedTuple):
    """One day of all lanes."""

    water: Water
    infiltration_mm: Array
    runoff_mm: Array
    """Rain the ground did not take in."""
    drainage_mm: Array
    overflow_mm: Array
    """Perched water that did not fit."""
    uptake_mm: Array
    turf_mm: Array
    evaporation_mm: Array
    transpiration: Array
    """The tree's, over its demand (q counted), 0 to 1."""
    elongation: Array
    """Expansion of shoots, over that of a free root system in moist soil (e), 0 to 1."""


@dataclass(frozen=True, slots=True)
class Days:
    """A whole run of the reference day."""

    spring: Array
    """Mean elongation in the spring window (S), one a lane."""
    bud_set: Array
    """Mean transpiration in the bud-set window (B)."""
    end: Water
    balance_error_mm: Array
    """Start and infiltration less end and all that left."""
    days: tuple[Day, ...]
    """Every day where asked for, else empty."""


def full(lanes: Lanes) -> Water:
    """The soil at field capacity, nothing perched: how a run starts.

    Parameters
    ----------
    lanes : the lanes

    Returns
    -------
    Water. [mm]

    Raises
    ------
    Nothing.

    Notes
    -----
    Section 1.7 of docs/model.md.

    References
    ----------
    JUDGEMENT.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, surface_resistance_mpa=1.0, refusal_depth_m=0.4,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> from rootcase.science.tree.lanes import lanes_of
    >>> float(full(lanes_of(lawn, central_parameters())).perched_mm[0])
    0.0
    """
    return Water(lanes.available_water_mm, np.zeros(lanes.count))


def expansion_factor(water_share: Lane, supply: Lane, constants: DayConstants | None = None) -> Array:
    """How far cells can stretch in a layer this moist.

    Parameters
    ----------
    water_share : scalar or one per lane, available water left over what field capacity holds. 0 to 1
    supply : same shape, what the layer can supply, which it never exceeds. 0 to 1
    constants : of the day; None: those of the table

    Returns
    -------
    share, same shape. 0 to 1

    Raises
    ------
    Nothing.

    Notes
    -----
    m in docs/model.md: none under .30 of available water, full from .75.

    References
    ----------
    Range of the thresholds: FAO crop tables (memory).

    Examples
    --------
    >>> round(float(expansion_factor(0.6, 1.0)), 6)
    0.666667
    """
    use = constants or day_constants()
    stretch = np.clip((np.asarray(water_share) - use.expansion_none) / use.expansion_span, 0.0, 1.0)
    return np.asarray(np.minimum(supply, stretch))


def day(lanes: Lanes, water: Water, rain_mm: float, et0_mm: float, leaf: float, irrigation_mm: Array) -> Day:
    """What does one day do to the water of every lane, and how well do the trees live on it?

    Parameters
    ----------
    lanes : the lanes
    water : at the end of the day before. [mm]
    rain_mm : [mm], from 0
    et0_mm : reference evapotranspiration. [mm], from 0
    leaf : 0 bare to 1 full
    irrigation_mm : one per lane. [mm], from 0

    Returns
    -------
    Day, one value a lane. [mm, shares]

    Raises
    ------
    OutOfRange : more water than none is asked of the ground, or a share leaves 0 to 1.

    Notes
    -----
    Section 1.6 of docs/model.md, its six steps in their order.

    References
    ----------
    FAO Irrigation and Drainage Paper 56 for depletion and its dependence on demand (p = .50, Table 22, seen); the
    rest as the table tree/fixed says.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, surface_resistance_mpa=1.0, refusal_depth_m=0.4,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> from rootcase.science.tree.lanes import lanes_of
    >>> lanes = lanes_of(lawn, central_parameters())
    >>> today = day(lanes, full(lanes), rain_mm=0.0, et0_mm=5.0, leaf=1.0, irrigation_mm=np.zeros(1))
    >>> gone = today.uptake_mm + today.turf_mm + today.evaporation_mm
    >>> bool(abs(full(lanes).layers_mm.sum() - today.water.layers_mm.sum() - gone[0]) < 1e-9)
    True
    """
    c = day_constants()
    cover = np.minimum(1.0, lanes.crown_per_ground + lanes.neighbours_per_ground)
    infiltration, runoff = _take_in(lanes, c, cover, rain_mm, leaf, irrigation_mm)
    filled, drainage, overflow = _fill(lanes, water, infiltration)
    saturated = _stand(lanes, filled.perched_mm)
    share = filled.layers_mm / lanes.available_water_mm
    demand = lanes.crown_coefficient * et0_mm * (c.leafless_water_share + (1.0 - c.leafless_water_share) * leaf)
    supply = _supply(lanes, c, share, saturated, demand, et0_mm)
    expansion = expansion_factor(share, supply, c)

    rooted_supply = (lanes.root_weight * supply).sum(axis=0)
    tree = reserve(lanes.root_capacity * rooted_supply, lanes.root_reserve) * lanes.salt_factor
    elongation = reserve(lanes.root_capacity * (lanes.root_weight * expansion).sum(axis=0),
                         lanes.root_reserve) * lanes.salt_factor
    neighbours = reserve(rooted_supply, lanes.root_reserve)
    uptake = demand * (lanes.crown_per_ground * tree + lanes.neighbours_per_ground * neighbours)
    by_layer = lanes.root_weight * supply
    uptake_by_layer = uptake * by_layer / np.where(rooted_supply > 0.0, rooted_supply, 1.0)
    turf_by_layer = _turf(lanes, c, share, et0_mm, leaf)
    evaporation = (c.evaporation_most * et0_mm * lanes.evaporating_cover
                   * (1.0 - c.evaporation_shade_cut * cover * leaf) * np.minimum(1.0, share[0] / c.evaporation_wetness))

    drawn = uptake_by_layer + turf_by_layer
    drawn[0] += evaporation
    met = np.where(drawn > filled.layers_mm, filled.layers_mm / np.where(drawn > 0.0, drawn, 1.0), 1.0)
    taken = (uptake_by_layer * met).sum(axis=0)
    return Day(
        water=Water(np.maximum(filled.layers_mm - drawn * met, 0.0), filled.perched_mm),
        infiltration_mm=infiltration, runoff_mm=runoff, drainage_mm=drainage, overflow_mm=overflow,
        uptake_mm=taken, turf_mm=(turf_by_layer * met).sum(axis=0), evaporation_mm=evaporation * met[0],
        transpiration=tree * np.where(uptake > 0.0, taken / np.where(uptake > 0.0, uptake, 1.0), 1.0),
        elongation=elongation)


def run_reference(lanes: Lanes, season: Season, keep_days: bool = False) -> Days:
    """How did the water of a year and a spring serve the trees? Day after day, for any reader to follow.

    Parameters
    ----------
    lanes : the lanes
    season : the days
    keep_days : keep every day's states and flows

    Returns
    -------
    Days : S and B of every lane, the end, and what the balance leaves open. [shares, mm]

    Raises
    ------
    OutOfRange : as `day`.

    Notes
    -----
    Starts at field capacity on the first day. Section 1.7 of docs/model.md.

    References
    ----------
    As `day`.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site
    >>> lawn = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, surface_resistance_mpa=1.0, refusal_depth_m=0.4,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> from rootcase.science.tree.lanes import lanes_of
    >>> from rootcase.science.tree.season import DailyWeather, season_of
    >>> days = np.arange(np.datetime64("2013-01-01"), np.datetime64("2014-07-01"))
    >>> doy = (days - days.astype("datetime64[Y]")).astype(int) + 1
    >>> warm = 12.0 - 12.0 * np.cos(2.0 * np.pi * doy / 365.0)
    >>> weather = DailyWeather(year=days.astype("datetime64[Y]").astype(int) + 1970, day_of_year=doy, t_min_c=warm,
    ...                        t_max_c=warm, rain_mm=np.where(doy % 7 == 0, 14.0, 0.0), et0_mm=warm / 5.0)
    >>> result = run_reference(lanes_of(lawn, central_parameters()), season_of(weather, 45))
    >>> bool(abs(result.balance_error_mm[0]) < 1e-9)
    True
    """
    water = full(lanes)
    started = water.layers_mm.sum(axis=0)
    spring, bud_set, open_mm = np.zeros(lanes.count), np.zeros(lanes.count), started.copy()
    kept: list[Day] = []
    for index in range(len(season.rain_mm)):
        irrigation = lanes.irrigation_mm * is_watered(lanes.irrigation_every_days, lanes.irrigation_first_day,
                                                      lanes.irrigation_last_day, season.day_of_year[index])
        today = day(lanes, water, float(season.rain_mm[index]), float(season.et0_mm[index]),
                    float(season.leaf[index]), irrigation)
        water = today.water
        open_mm += today.infiltration_mm - (today.drainage_mm + today.overflow_mm + today.uptake_mm + today.turf_mm
                                            + today.evaporation_mm)
        if season.spring[0] <= index < season.spring[1]:
            spring += today.elongation
        if season.bud_set[0] <= index < season.bud_set[1]:
            bud_set += today.transpiration
        if keep_days:
            kept.append(today)
    return Days(spring=spring / (season.spring[1] - season.spring[0]),
                bud_set=bud_set / (season.bud_set[1] - season.bud_set[0]), end=water,
                balance_error_mm=open_mm - water.layers_mm.sum(axis=0) - water.perched_mm, days=tuple(kept))


def _take_in(lanes: Lanes, c: DayConstants, cover: Array, rain_mm: float, leaf: float,
             irrigation_mm: Array) -> tuple[Array, Array]:
    """Step 1: what the crowns let through, what soaks in, what runs off."""
    through = rain_mm - min(rain_mm, c.interception_mm * leaf) * cover
    arriving = through * lanes.pervious + irrigation_mm
    soaked = infiltration_mm(arriving, lanes.infiltration_capacity_mm)
    return soaked + rain_mm * lanes.joints, arriving - soaked


def _fill(lanes: Lanes, water: Water, infiltration: Array) -> tuple[Water, Array, Array]:
    """Step 2: layers fill from the top, then drainage, then what perches and what does not fit."""
    free = infiltration + water.perched_mm
    layers = water.layers_mm.copy()
    for layer in range(4):
        into = np.minimum(free, lanes.available_water_mm[layer] - layers[layer])
        layers[layer] += into
        free = free - into
    drainage = np.minimum(free, lanes.drainage_mm_day)
    free = free - drainage
    perched = np.minimum(free, lanes.perched_capacity_mm.sum(axis=0))
    return Water(layers, perched), drainage, free - perched


def _stand(lanes: Lanes, perched: Array) -> Array:
    """Step 2: the share of each layer's air-filled pores that perched water fills, from the lowest layer up."""
    saturated = np.zeros_like(lanes.perched_capacity_mm)
    left = perched
    for layer in (3, 2, 1, 0):
        capacity = lanes.perched_capacity_mm[layer]
        here = np.minimum(left, capacity)
        saturated[layer] = np.where(capacity > 0.0, here / np.where(capacity > 0.0, capacity, 1.0), 0.0)
        left = left - here
    return saturated


def _supply(lanes: Lanes, c: DayConstants, share: Array, saturated: Array, demand: Array, et0_mm: float) -> Array:
    """Step 3: what each layer can give roots, 0 to 1."""
    all_demand = demand * (lanes.crown_per_ground + lanes.neighbours_per_ground) + lanes.turf_demand * et0_mm
    ready = np.clip(c.ready_share + c.ready_share_per_mm * (c.ready_reference_mm - all_demand), c.ready_least,
                    c.ready_most)
    return np.asarray(np.minimum(1.0, share / (1.0 - ready)) * (1.0 - saturated))


def _turf(lanes: Lanes, c: DayConstants, share: Array, et0_mm: float, leaf: float) -> Array:
    """Step 5: what turf asks of each layer."""
    shaded = 1.0 - c.turf_shade_cut * np.minimum(1.0, lanes.crown_per_ground) * leaf
    demand = lanes.turf_demand * et0_mm * shaded
    asked = np.zeros_like(share)
    asked[0] = demand * lanes.turf_topsoil_share * np.minimum(1.0, share[0] / c.turf_wetness)
    asked[1] = demand * (1.0 - lanes.turf_topsoil_share) * np.minimum(1.0, share[1] / c.turf_wetness)
    return asked
