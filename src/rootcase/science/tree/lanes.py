"""What the day needs of a ground: the inputs of its limits joined."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from rootcase.science.tree.effects import root_spread_ratio
from rootcase.science.tree.fixed import LAYERS, Array, Lane, fixed
from rootcase.science.tree.ground import Ground, Nutrition, air_with_mottles, ground_of
from rootcase.science.tree.layers import Soil, Strength, root_shares, soil_layers, strength_layers
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


def lanes_from(ground: Ground, parameters: Parameters) -> Lanes:
    """What the day needs, from each limit's own inputs.

    Parameters
    ----------
    ground : inputs sorted by limit, of one site or mixed from two
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
    >>> lanes = lanes_from(ground_of(forest_floor(site), central), central)
    >>> round(float(lanes.root_capacity[0]), 4)
    0.8549
    """
    paved, rest = ground.sealing.paved, ground.rest
    turf, bare, covered = _covers(ground)
    open_ground = 1.0 - paved * (1.0 - parameters.rootable_under_paving)
    rooting = _rooting(ground.strength.factor * ground.air.factor, turf / open_ground, parameters)
    shares = root_shares(parameters.root_depth_curve)
    topsoil = (shares * rooting)[:2].sum(axis=0) / shares[:2].sum(axis=0)
    free_ratio = parameters.free_root_spread_ratio
    spread = root_spread_ratio(ground.establishment.years, ground.crown.trunk_diameter_m,
                               ground.crown.crown_radius_m, parameters.root_advance_m_year, topsoil, free_ratio)
    rooted = spread * open_ground
    reach = np.minimum(rooted / free_ratio, 1.0)
    made_up = 1.0 - parameters.plasticity
    weight = shares * rooting**made_up
    crown = 1.0 / rooted
    others = np.asarray(ground.crown.neighbours * np.maximum(0.0, 1.0 - crown))

    pervious = (1.0 - paved) / open_ground
    supply = _nitrogen_supply(ground.nutrition, rooting, reach)
    return Lanes(
        available_water_mm=rest.available_water_mm,
        perched_capacity_mm=1000.0 * ground.air.air_filled * LAYERS.thickness_m * ground.strength.above_refusal,
        root_weight=weight / weight.sum(axis=0),
        root_capacity=np.minimum(reach**made_up * weight.sum(axis=0), 1.0),
        crown_per_ground=crown,
        neighbours_per_ground=others,
        salt_factor=ground.salt.factor,
        crown_coefficient=parameters.basal_crop_coefficient * ground.crown.leaf,
        turf_demand=parameters.turf_coefficient * turf / open_ground,
        turf_topsoil_share=parameters.turf_topsoil_share,
        evaporating_cover=(bare + covered * (1.0 - parameters.mulch_evaporation_cut)) / open_ground,
        pervious=pervious * ground.air.run_on,
        joints=parameters.joint_rain_share * paved / open_ground,
        infiltration_capacity_mm=(fixed("storm_hours") * ground.sealing.infiltration_mm_h
                                  + fixed("surface_store_mm")) * pervious,
        drainage_mm_day=ground.air.drainage_mm_day,
        root_reserve=parameters.root_reserve,
        irrigation_mm=rest.irrigation_mm,
        irrigation_every_days=rest.irrigation_every_days,
        irrigation_first_day=rest.irrigation_first_day,
        irrigation_last_day=rest.irrigation_last_day,
        nitrogen_ratio=supply * rooted * (1.0 - others) / parameters.nitrogen_demand_kg_ha,
        lock_up=ground.nutrition.lock_up,
        spring_window_days=ground.spring_window_days,
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
    return lanes_from(ground_of(site, parameters), parameters)


def lanes_of_each(states: Sequence[tuple[Site, Parameters]]) -> list[Lanes]:
    """What the day needs of several sites of as many draws each, reckoned together.

    Parameters
    ----------
    states : the sites with their draws, at least one; of one window, with cone readings at the same depths

    Returns
    -------
    Lanes of each, in the order given.

    Raises
    ------
    OutOfRange : an input leaves the range of a formula.
    ValueError : the windows, the cone's depths or the numbers of draws differ.

    Notes
    -----
    The same as `lanes_of` site by site, many times as fast where there are many with few draws.

    References
    ----------
    The formulas' own.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, paved=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2,
    ...             trunk_diameter_m=0.4, crown_radius_m=5.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03)
    >>> [float(lanes.root_capacity[0]) for lanes in lanes_of_each([(site, central_parameters())] * 2)] == [
    ...     float(lanes_of(site, central_parameters()).root_capacity[0])] * 2
    True
    """
    sites, drawn = [site for site, _ in states], [parameters for _, parameters in states]
    draws = drawn[0].draws
    kinds = {(site.spring_window_days, site.cone_depth_m, parameters.draws) for site, parameters in states}
    if len(kinds) != 1:
        raise ValueError("sites can be joined that have one window, one set of cone depths and one number of draws, "
                         f"not {sorted(kinds)}")
    window, cone_depth_m, _ = kinds.pop()

    def side_by_side(values: Iterable[Lane]) -> Array:
        first, *others = values
        if all(other is first for other in others):
            return np.tile(np.broadcast_to(np.asarray(first, dtype=np.float64), draws), len(states))
        return np.concatenate([np.broadcast_to(np.asarray(value, dtype=np.float64), draws)
                               for value in (first, *others)])

    joined: dict[str, Any] = {field.name: side_by_side(getattr(site, field.name) for site in sites)
                              for field in fields(Site) if field.name not in ("spring_window_days", "cone_depth_m",
                                                                              "cone_resistance_mpa")}
    cone = tuple(side_by_side(at_depth) for at_depth in zip(*(site.cone_resistance_mpa for site in sites), strict=True))
    together = lanes_of(
        Site(**joined, spring_window_days=window, cone_depth_m=cone_depth_m, cone_resistance_mpa=cone),
        Parameters(**{field.name: side_by_side(getattr(each, field.name) for each in drawn)
                      for field in fields(Parameters)}))
    names = [field.name for field in fields(Lanes) if field.name != "spring_window_days"]
    return [Lanes(**{name: getattr(together, name)[..., first:first + draws] for name in names},
                  spring_window_days=window) for first in range(0, together.count, draws)]


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
    air = air_with_mottles(site, soil, parameters)
    open_ground = 1.0 - np.asarray(site.paved) * (1.0 - parameters.rootable_under_paving)
    rooting = _rooting(strength.factor * air, np.asarray(site.turf) / open_ground, parameters)
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


def _rooting(soil_factor: Array, turf: Array, parameters: Parameters) -> Array:
    """How far the tree's roots fill each layer: as the soil lets them, less the room that turf takes in the top two."""
    shares = np.array([1.0, fixed("turf_root_cut_second_layer"), 0.0, 0.0])[:, None]
    return np.maximum(soil_factor * (1.0 - shares * parameters.turf_root_cut * turf), fixed("least_root_factor"))


def _covers(ground: Ground) -> tuple[Array, Array, Array]:
    """Shares of turf, of bare ground, and of mulch and litter together, made to fit beside the paving."""
    open_share = 1.0 - ground.sealing.paved
    turf = np.minimum(ground.turf.turf, open_share)
    other = ground.rest.mulch + ground.rest.bare
    fits = np.minimum(1.0, (open_share - turf) / np.maximum(other, 1e-12))
    mulch, bare = ground.rest.mulch * fits, ground.rest.bare * fits
    return turf, bare, mulch + np.maximum(open_share - turf - mulch - bare, 0.0)


def _nitrogen_supply(nutrition: Nutrition, rooting: Array, reach: Array) -> Array:
    """Nitrogen the rooted ground gives in a year. [kg ha-1]"""
    released = (nutrition.organic_nitrogen_kg_ha * rooting[:2]).sum(axis=0) + fixed("deposition_kg_ha") * reach
    kept = released * (1.0 - fixed("turf_nitrogen_cut") * nutrition.turf)
    return np.asarray(kept + nutrition.litter_nitrogen_kg_ha * rooting[0] + nutrition.added_kg_ha)
