"""A site's inputs sorted by the limit they belong to, so that each limit can come from the tree or the yardstick."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any, NamedTuple

import numpy as np

from rootcase.science.tree.effects import (
    compaction_index,
    infiltration_from_compaction_mm_h,
    lock_up_factor,
    salt_factor,
)
from rootcase.science.tree.fixed import LAYERS, Array, fixed
from rootcase.science.tree.layers import (
    Soil,
    air_factor,
    sodicity,
    soil_layers,
    strength_layers,
)
from rootcase.science.tree.parameters import Parameters
from rootcase.science.tree.site import Site


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


class Crown(NamedTuple):
    """What no limit owns: the tree itself and its neighbours."""

    neighbours: Array
    leaf: Array
    trunk_diameter_m: Array
    crown_radius_m: Array


@dataclass(frozen=True, slots=True)
class Ground:
    """A site's inputs sorted by the limit they belong to; water's three parts apart."""

    crown: Crown
    spring_window_days: int

    strength: Rooting
    air: Air
    turf: Turf
    sealing: Sealing
    rest: Rest
    salt: Salt
    nutrition: Nutrition
    establishment: Establishment

    def first(self, draws: int) -> Ground:
        """The first few draws."""
        cut: dict[str, Any] = {field.name: _first(getattr(self, field.name), draws) for field in fields(self)
                               if field.name != "spring_window_days"}
        return replace(self, **cut)


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
        crown=Crown(lane(site.neighbours), lane(site.leaf), lane(site.trunk_diameter_m), lane(site.crown_radius_m)),
        spring_window_days=site.spring_window_days,
        strength=Rooting(strength.factor, strength.above_refusal),
        air=Air(air_with_mottles(site, soil, parameters), soil.air_filled, lane(_drainage(site, soil, parameters)),
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


def _first(group: tuple[Array, ...], draws: int) -> tuple[Array, ...]:
    return type(group)(*(values[..., :draws] for values in group))


def air_with_mottles(site: Site, soil: Soil, parameters: Parameters) -> Array:
    """How much of free rooting air leaves in each layer, grey mottles counted.

    Parameters
    ----------
    site : its sodium and the depth of mottles
    soil : the layers' air-filled pores
    parameters : what mottles leave

    Returns
    -------
    share (4, draws). 0 to 1

    Raises
    ------
    Nothing.

    Notes
    -----
    The part of a layer below the mottles keeps the drawn share of its rooting. Section 1.3 of docs/model.md.

    References
    ----------
    Grey mottles as a sign of standing water: soil surveys' common use (memory); the share JUDGEMENT.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2,
    ...             mottle_depth_m=0.2, trunk_diameter_m=0.4, crown_radius_m=5.0, salt_threshold_ds_m=2.0,
    ...             salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> central = central_parameters()
    >>> [float(share) for share in air_with_mottles(site, soil_layers(site, central), central)[:, 0]]
    [1.0, 0.625, 0.25, 0.25]
    """
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
