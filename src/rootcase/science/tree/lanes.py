"""From a site to what the day needs, limit by limit, so that each limit can come from the tree or the yardstick."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import NamedTuple

import numpy as np

from rootcase.science.tree.effects import (
    compaction_index,
    infiltration_from_compaction_mm_h,
    lock_up_factor,
    root_spread_ratio,
    salt_factor,
)
from rootcase.science.tree.fixed import LAYERS, Array, fixed
from rootcase.science.tree.layers import (
    Soil,
    Strength,
    air_factor,
    root_shares,
    sodicity,
    soil_layers,
    strength_layers,
)
from rootcase.science.tree.parameters import Parameters
from rootcase.science.tree.site import Site


@dataclass(frozen=True, slots=True, kw_only=True)
class Lanes:
    """What the day and growth need: arrays (4, lanes) or (lanes,)."""

    available_water_mm: Array
    perched_capacity_mm: Array
    """Air-filled pores above the refusal (e), that perched water can fill."""
    root_weight: Array
    """Share of the root system's uptake in each layer (omega), summing to 1."""
    root_capacity: Array
    """Working share of a free root system (C)."""
    crown_per_ground: Array
    """Crown area over rooted ground (d)."""
    neighbours_per_ground: Array
    """Other crowns over rooted ground (d_n)."""
    salt_factor: Array
    crown_coefficient: Array
    turf_demand: Array
    """Turf's coefficient on the rooted ground."""
    turf_topsoil_share: Array
    evaporating_cover: Array
    pervious: Array
    """Rain that reaches open ground over rain fallen, run-on included, on the rooted ground."""
    joints: Array
    """Rain that reaches soil through paving."""
    infiltration_capacity_mm: Array
    """Of a day."""
    drainage_mm_day: Array
    root_reserve: Array
    irrigation_mm: Array
    irrigation_every_days: Array
    irrigation_first_day: Array
    irrigation_last_day: Array
    nitrogen_ratio: Array
    """Supply over demand (s_N)."""
    lock_up: Array
    spring_window_days: int

    @property
    def count(self) -> int:
        return len(self.root_capacity)


class Air(NamedTuple):
    factor: Array
    air_filled: Array
    drainage_mm_day: Array
    run_on: Array


class Turf(NamedTuple):
    turf: Array


class Sealing(NamedTuple):
    paved: Array
    infiltration_mm_h: Array


class Rest(NamedTuple):
    """Of water: the store, what evaporates, irrigation."""

    available_water_mm: Array
    mulch: Array
    bare: Array
    irrigation_mm: Array
    irrigation_every_days: Array
    irrigation_first_day: Array
    irrigation_last_day: Array


class Salt(NamedTuple):
    factor: Array


class Nutrition(NamedTuple):
    organic_nitrogen_kg_ha: Array
    """Released in a year by the top two layers where roots fill them (2, draws)."""
    turf: Array
    litter_nitrogen_kg_ha: Array
    added_kg_ha: Array
    lock_up: Array


class Establishment(NamedTuple):
    years: Array


class Rooting(NamedTuple):
    """Strength's part for the lanes; the resistance itself is only drawn."""

    factor: Array
    above_refusal: Array


@dataclass(frozen=True, slots=True)
class Ground:
    """A site's inputs sorted by the limit they belong to; water's three parts apart."""

    strength: Rooting
    air: Air
    turf: Turf
    sealing: Sealing
    rest: Rest
    salt: Salt
    nutrition: Nutrition
    establishment: Establishment


@dataclass(frozen=True, slots=True)
class Column:
    """A soil as the model sees it, to be drawn: arrays (4, draws)."""

    soil: Soil
    strength: Strength
    air_factor: Array
    root_share: Array
    """Share of the tree's roots in each layer, summing to 1."""
    rooting: Array
    """How far roots can fill each layer, 0 to 1."""


def ground_of(site: Site, parameters: Parameters) -> Ground:
    """What a site gives each limit.

    Parameters
    ----------
    site : the ground
    parameters : the draws

    Returns
    -------
    Ground, arrays (4, draws) or (draws,).

    Raises
    ------
    OutOfRange : an input leaves the range of a formula.

    Notes
    -----
    Sections 1.1 to 1.5, 1.8 and 1.9 of docs/model.md as far as one limit goes; `lanes_from` joins them. Sodium acts on
    infiltration under water and on air and drainage under air.

    References
    ----------
    The formulas' own.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, litter=1.0, ece_ds_m=5.0, sar=1.0, ph=6.2,
    ...             trunk_diameter_m=0.4, crown_radius_m=5.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03)
    >>> round(float(ground_of(site, central_parameters()).salt.factor[0]), 6)
    0.58
    """
    draws = parameters.draws
    soil = soil_layers(site, parameters)
    strength = strength_layers(site, soil, parameters)

    def lane(value: object) -> Array:
        return np.array(np.broadcast_to(np.asarray(value, dtype=np.float64), draws))

    sodium = sodicity(site)
    nitrogen = (parameters.nitrogen_release_per_year * fixed("organic_nitrogen") * 1e4
                * soil.organic_matter_pct / 100.0 * soil.density_mg_m3 * 1000.0 * LAYERS.thickness_m)[:2]
    return Ground(
        strength=Rooting(strength.factor, strength.above_refusal),
        air=Air(_air_with_mottles(site, soil, parameters), soil.air_filled, lane(_drainage(site, soil, parameters)),
                lane(site.run_on)),
        turf=Turf(lane(site.turf)),
        sealing=Sealing(lane(site.paved), lane(_infiltration(site, soil, sodium, parameters))),
        rest=Rest(soil.available_water_mm, lane(site.mulch), lane(site.bare), lane(site.irrigation_mm),
                  lane(site.irrigation_every_days), lane(site.irrigation_first_day), lane(site.irrigation_last_day)),
        salt=Salt(lane(salt_factor(site.ece_ds_m, site.salt_threshold_ds_m, site.salt_slope_pct,
                                   parameters.salt_threshold_error_ds_m, parameters.salt_slope_error))),
        nutrition=Nutrition(
            nitrogen, lane(site.turf),
            lane(fixed("litter_nitrogen_kg_ha") * (site.litter + fixed("mulch_nitrogen_share") * site.mulch)),
            lane(site.nitrogen_added_kg_ha),
            lane(lock_up_factor(site.ph, site.lock_up_per_ph, parameters.lock_up_error))),
        establishment=Establishment(lane(site.years_since_planting)),
    )


def lanes_from(ground: Ground, site: Site, parameters: Parameters) -> Lanes:
    """What the day needs, from each limit's own inputs.

    Parameters
    ----------
    ground : inputs sorted by limit, of one site or mixed from two
    site : whose crown, neighbours and kind it is: what no limit owns
    parameters : the draws

    Returns
    -------
    Lanes, one lane a draw.

    Raises
    ------
    OutOfRange : an input leaves the range of a formula.

    Notes
    -----
    Sections 1.4, 1.5 and 1.9 of docs/model.md. What turf, paving, mulch and bare ground leave is litter; where two
    sites' covers do not fit together paving comes first, then turf, then mulch and bare ground.

    References
    ----------
    The formulas' own.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import forest_floor
    >>> site = Site(sand=0.25, clay=0.5, organic_matter_pct=5.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2,
    ...             neighbours=1.0, trunk_diameter_m=0.4, crown_radius_m=5.0, salt_threshold_ds_m=2.0,
    ...             salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> central = central_parameters()
    >>> lanes = lanes_from(ground_of(forest_floor(site), central), site, central)
    >>> round(float(lanes.root_capacity[0]), 4)
    0.8549
    """
    paved = ground.sealing.paved
    turf = np.minimum(ground.turf.turf, 1.0 - paved)
    other = ground.rest.mulch + ground.rest.bare
    fits = np.minimum(1.0, (1.0 - paved - turf) / np.maximum(other, 1e-12))
    mulch, bare = ground.rest.mulch * fits, ground.rest.bare * fits
    litter = np.maximum(1.0 - paved - turf - mulch - bare, 0.0)

    rooting = np.maximum(ground.strength.factor * ground.air.factor, fixed("least_root_factor"))
    shares = root_shares(parameters.root_depth_curve)
    topsoil = (shares * rooting)[:2].sum(axis=0) / shares[:2].sum(axis=0)
    free_ratio = parameters.free_root_spread_ratio
    spread = root_spread_ratio(ground.establishment.years, site.trunk_diameter_m, site.crown_radius_m,
                               parameters.root_advance_m_year, topsoil, free_ratio)
    open_ground = 1.0 - paved * (1.0 - parameters.rootable_under_paving)
    rooted = spread * open_ground
    reach = np.minimum(rooted / free_ratio, 1.0)
    made_up = 1.0 - parameters.plasticity
    weight = shares * rooting**made_up
    crown = 1.0 / rooted
    others = np.asarray(site.neighbours * np.maximum(0.0, 1.0 - crown))

    saved = 1.0 - parameters.mulch_evaporation_cut
    pervious = (1.0 - paved) / open_ground
    supply = _nitrogen_supply(ground.nutrition, rooting, reach)
    return Lanes(
        available_water_mm=ground.rest.available_water_mm,
        perched_capacity_mm=1000.0 * ground.air.air_filled * LAYERS.thickness_m * ground.strength.above_refusal,
        root_weight=weight / weight.sum(axis=0),
        root_capacity=np.minimum(reach**made_up * weight.sum(axis=0), 1.0),
        crown_per_ground=crown,
        neighbours_per_ground=others,
        salt_factor=ground.salt.factor,
        crown_coefficient=parameters.basal_crop_coefficient * site.leaf,
        turf_demand=parameters.turf_coefficient * turf / open_ground,
        turf_topsoil_share=parameters.turf_topsoil_share,
        evaporating_cover=(bare + (mulch + litter) * saved) / open_ground,
        pervious=pervious * ground.air.run_on,
        joints=parameters.joint_rain_share * paved / open_ground,
        infiltration_capacity_mm=(fixed("storm_hours") * ground.sealing.infiltration_mm_h
                                  + fixed("surface_store_mm")) * pervious,
        drainage_mm_day=ground.air.drainage_mm_day,
        root_reserve=parameters.root_reserve,
        irrigation_mm=ground.rest.irrigation_mm,
        irrigation_every_days=ground.rest.irrigation_every_days,
        irrigation_first_day=ground.rest.irrigation_first_day,
        irrigation_last_day=ground.rest.irrigation_last_day,
        nitrogen_ratio=supply * rooted * (1.0 - others) / parameters.nitrogen_demand_kg_ha,
        lock_up=ground.nutrition.lock_up,
        spring_window_days=site.spring_window_days,
    )


def lanes_of(site: Site, parameters: Parameters) -> Lanes:
    """What the day needs, of one site.

    Parameters
    ----------
    site : the ground and the tree
    parameters : the draws

    Returns
    -------
    Lanes, one lane a draw.

    Raises
    ------
    OutOfRange : an input leaves the range of a formula.

    Notes
    -----
    `ground_of` and `lanes_from` in one.

    References
    ----------
    The formulas' own.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, paved=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2,
    ...             trunk_diameter_m=0.4, crown_radius_m=5.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03)
    >>> float(lanes_of(site, central_parameters()).pervious[0])
    0.0
    """
    return lanes_from(ground_of(site, parameters), site, parameters)


def soil_column(site: Site, parameters: Parameters) -> Column:
    """The soil under one tree as the model sees it, to be drawn.

    Parameters
    ----------
    site : the ground
    parameters : the draws

    Returns
    -------
    Column, arrays (4, draws).

    Raises
    ------
    OutOfRange : an input leaves the range of a formula.

    Notes
    -----
    Root shares are the weights the day uses (omega).

    References
    ----------
    The formulas' own.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2,
    ...             trunk_diameter_m=0.4, crown_radius_m=5.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03)
    >>> round(float(soil_column(site, central_parameters()).root_share.sum()), 9)
    1.0
    """
    soil = soil_layers(site, parameters)
    strength = strength_layers(site, soil, parameters)
    air = _air_with_mottles(site, soil, parameters)
    rooting = np.maximum(strength.factor * air, fixed("least_root_factor"))
    weight = root_shares(parameters.root_depth_curve) * rooting ** (1.0 - parameters.plasticity)
    return Column(soil, strength, air, weight / weight.sum(axis=0), rooting)


def stack(parts: list[Lanes]) -> Lanes:
    """Many sets of lanes side by side, to be run as one.

    Parameters
    ----------
    parts : lanes of one window, at least one set

    Returns
    -------
    Lanes, in the order given.

    Raises
    ------
    ValueError : the windows differ, or there is nothing to stack.

    Notes
    -----
    None.

    References
    ----------
    None; bookkeeping.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2,
    ...             trunk_diameter_m=0.4, crown_radius_m=5.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03)
    >>> one = lanes_of(site, central_parameters())
    >>> stack([one, one]).count
    2
    """
    windows = {part.spring_window_days for part in parts}
    if len(windows) != 1:
        raise ValueError(f"lanes of one window can be stacked, not of {sorted(windows)}")
    joined = {field.name: np.concatenate([getattr(part, field.name) for part in parts], axis=-1)
              for field in fields(Lanes) if field.name != "spring_window_days"}
    return Lanes(**joined, spring_window_days=windows.pop())


def _air_with_mottles(site: Site, soil: Soil, parameters: Parameters) -> Array:
    mottles = np.where(np.isnan(site.mottle_depth_m), np.inf, site.mottle_depth_m)
    below = LAYERS.share_below(np.broadcast_to(mottles, parameters.draws))
    factor = air_factor(soil.air_filled, np.broadcast_to(LAYERS.middle_m, soil.air_filled.shape), sodicity(site))
    return np.asarray(factor * (1.0 - below * (1.0 - parameters.mottled_root_share)))


def _drainage(site: Site, soil: Soil, parameters: Parameters) -> Array:
    conductivity = np.sqrt(soil.conductivity_mm_h[1] * soil.conductivity_mm_h[2])
    own = np.maximum(24.0 * conductivity * (1.0 - parameters.sodic_loss * sodicity(site)),
                     fixed("least_drainage_mm_day"))
    return np.asarray(np.where(np.isnan(site.drainage_mm_day), own, site.drainage_mm_day))


def _infiltration(site: Site, soil: Soil, sodium: Array, parameters: Parameters) -> Array:
    sand, clay = (np.broadcast_to(share, parameters.draws) for share in (site.sand, site.clay))
    compaction = compaction_index(sand, clay, soil.density_mg_m3[0])
    own = infiltration_from_compaction_mm_h(clay, compaction) * (1.0 - parameters.sodic_loss * sodium)
    read = np.where(np.isnan(site.infiltration_ring_mm_h), own, site.infiltration_ring_mm_h)
    return np.asarray(read * parameters.infiltration_error)


def _nitrogen_supply(nutrition: Nutrition, rooting: Array, reach: Array) -> Array:
    """Nitrogen the rooted ground gives in a year. [kg ha-1]"""
    released = (nutrition.organic_nitrogen_kg_ha * rooting[:2]).sum(axis=0) + fixed("deposition_kg_ha") * reach
    kept = released * (1.0 - fixed("turf_nitrogen_cut") * nutrition.turf)
    return np.asarray(kept + nutrition.litter_nitrogen_kg_ha * rooting[0] + nutrition.added_kg_ha)
