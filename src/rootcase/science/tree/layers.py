"""The soil of each layer and how far roots can fill it: strength, air, the depth of roots."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import require_range
from rootcase.science.soil.density import density_limits
from rootcase.science.soil.saxton_rawls import soil_water
from rootcase.science.tree.fixed import LAYERS, Array, Lane, fixed
from rootcase.science.tree.parameters import Parameters
from rootcase.science.tree.resistance import rod_as_at_field_capacity
from rootcase.science.tree.site import Site

SLICES = 4


class Soil(NamedTuple):
    """What the soil of each layer is: arrays (4, draws)."""

    organic_matter_pct: Array
    density_mg_m3: Array
    wilting_point: Array
    field_capacity: Array
    porosity: Array
    conductivity_mm_h: Array
    available_water_mm: Array
    air_filled: Array


class Strength(NamedTuple):
    """What penetration resistance leaves of each layer: arrays (4, draws)."""

    factor: Array
    """Share of free rooting."""
    above_refusal: Array
    """Share of the layer above the depth where the rod stopped."""
    resistance_mpa: Array
    """Mean resistance at field capacity."""


def strength_factor(resistance_mpa: Lane, half_rooting_resistance_mpa: Lane, steepness: Lane) -> Array:
    """How much of free rooting a penetration resistance leaves.

    Parameters
    ----------
    resistance_mpa : scalar or one per lane, at field capacity. [MPa], 0 to 100
    half_rooting_resistance_mpa : same shape. [MPa], 0.1 to 20
    steepness : same shape. 0.1 to 20

    Returns
    -------
    share, same shape. 0 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    The source of the priors gives shares of roots under 2 and 3 MPa; the form is ours. F_s, P, P50, n in docs/model.md.

    References
    ----------
    Form JUDGEMENT; figures: table tree/priors, half_rooting_resistance_mpa.

    Examples
    --------
    >>> float(strength_factor(2.2, 2.2, 4.0))
    0.5
    """
    require_range("resistance_mpa", resistance_mpa, 0.0, 100.0, "MPa")
    require_range("half_rooting_resistance_mpa", half_rooting_resistance_mpa, 0.1, 20.0, "MPa")
    require_range("steepness", steepness, 0.1, 20.0, "")
    ratio = np.asarray(resistance_mpa, dtype=np.float64) / half_rooting_resistance_mpa
    return np.asarray(1.0 / (1.0 + ratio**steepness))


def air_factor(air_filled: Lane, depth_m: Lane, sodicity: Lane) -> Array:
    """How much of free rooting the air in the soil leaves.

    Parameters
    ----------
    air_filled : scalar or one per lane, pores filled with air at field capacity. [m3 m-3], 0 to 1
    depth_m : same shape. [m], 0 to 5
    sodicity : same shape, 0 none to 1 full

    Returns
    -------
    share, same shape. 0 to 1

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    Oxygen comes from the surface, so that poor pores cost little in the top few centimetres. fa, epsilon, z, sod in
    docs/model.md.

    References
    ----------
    Grable and Siemer 1968, Soil Sci. Soc. Am. Proc. 32:180-186, the limit of 10 % (memory); the ramp and its depth
    JUDGEMENT.

    Examples
    --------
    >>> round(float(air_factor(0.03, 0.05, 0.0)), 6)
    0.790155
    """
    require_range("air_filled", air_filled, 0.0, 1.0, "m3/m3")
    require_range("depth_m", depth_m, 0.0, 5.0, "m")
    require_range("sodicity", sodicity, 0.0, 1.0, "")
    span = fixed("air_enough") - fixed("air_none")
    ramp = np.clip((np.asarray(air_filled) - fixed("air_none")) / span, 0.0, 1.0)
    ramp = ramp * (1.0 - fixed("sodic_air_cut") * np.asarray(sodicity))
    return np.asarray(1.0 - (1.0 - ramp) * (1.0 - np.exp(-np.asarray(depth_m) / fixed("air_depth_m"))))


def root_shares(root_depth_curve: Lane) -> Array:
    """Which share of the roots stands in each of the four layers where nothing hinders them.

    Parameters
    ----------
    root_depth_curve : scalar or one per lane. 0.5 to 0.999

    Returns
    -------
    shares (4, lanes), summing to 1 over the layers.

    Raises
    ------
    OutOfRange : the curve leaves its range.

    Notes
    -----
    The source's Y = 1 - beta^d with d in cm, cut at 1 m and scaled to 1.

    References
    ----------
    Jackson et al. 1996, Oecologia 108:389-411, Eq. 1; after Gale and Grigal 1987 (memory).

    Examples
    --------
    >>> [round(float(share), 6) for share in root_shares(0.96)[:, 0]]
    [0.340919, 0.377341, 0.211066, 0.070674]
    """
    require_range("root_depth_curve", root_depth_curve, 0.5, 0.999, "")
    curve = np.atleast_1d(np.asarray(root_depth_curve, dtype=np.float64))
    share = curve ** (100.0 * LAYERS.top_m) - curve ** (100.0 * LAYERS.bottom_m)
    return np.asarray(share / share.sum(axis=0))


def soil_layers(site: Site, parameters: Parameters) -> Soil:
    """What the soil of the four layers holds of water, air and organic matter.

    Parameters
    ----------
    site : texture, organic matter and density of the ground
    parameters : their field capacity error enters

    Returns
    -------
    Soil, arrays (4, draws). [units in the names; m3 m-3]

    Raises
    ------
    OutOfRange : texture outside what the water formulas know.

    Notes
    -----
    The density read counts for the top two layers; below, density is the texture's own. Section 1.1 of docs/model.md.

    References
    ----------
    Saxton and Rawls 2006 (see `soil_water`); organic matter by layer: table tree/layers, JUDGEMENT.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site
    >>> site = Site(sand=0.25, clay=0.5, organic_matter_pct=5.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2,
    ...             trunk_diameter_m=0.4, crown_radius_m=5.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03)
    >>> soil = soil_layers(site, central_parameters())
    >>> round(float(soil.available_water_mm[0, 0]), 3)
    11.653
    """
    draws = parameters.draws
    organic = np.minimum(
        LAYERS.organic_matter_share * np.broadcast_to(site.organic_matter_pct, draws),
        fixed("largest_organic_matter_pct"))
    sand, clay = np.broadcast_to(site.sand, draws), np.broadcast_to(site.clay, draws)
    normal = soil_water(sand, clay, organic)
    read = np.broadcast_to(site.bulk_density_mg_m3, draws)
    density = np.where(np.isnan(read) | (LAYERS.top_m >= 0.3), normal.normal_density_mg_m3, read)
    pressed = soil_water(sand, clay, organic, density)
    free = fixed("least_free_pores")
    field_capacity = np.minimum(pressed.field_capacity + parameters.field_capacity_error, pressed.saturation - free)
    holding = np.maximum(field_capacity - pressed.wilting_point, fixed("least_water_holding"))
    return Soil(
        organic_matter_pct=organic,
        density_mg_m3=density,
        wilting_point=pressed.wilting_point,
        field_capacity=field_capacity,
        porosity=pressed.saturation,
        conductivity_mm_h=pressed.conductivity_mm_h,
        available_water_mm=1000.0 * holding * LAYERS.thickness_m,
        air_filled=np.maximum(pressed.saturation - field_capacity, fixed("least_air_filled")),
    )


def strength_layers(site: Site, soil: Soil, parameters: Parameters) -> Strength:
    """What penetration resistance leaves of rooting in each layer.

    Parameters
    ----------
    site : resistance, rod depth or cone readings
    soil : the layers' density, which stands in where nothing was pushed in
    parameters : roots' response and the rod's resistance

    Returns
    -------
    Strength, arrays (4, draws). [MPa, shares]

    Raises
    ------
    Nothing.

    Notes
    -----
    Cone readings stand before the rod, the rod before density. Between cone readings resistance is linear in depth.
    Below the deepest of them the rod speaks where it went deeper; else resistance stays. From the rod: linear from
    the surface, or from the deepest cone reading, to the refusal, and below it the drawn ratio, never
    easier than just above. A layer's factor is the mean over four slices, a slice the refusal cuts counting by its
    share above; no slice counts as easier than the hardest above it, the top 5 cm left out. What was not read at field
    capacity is brought there by (theta/theta_FC)^b. Section 1.2 of docs/model.md.

    References
    ----------
    Busscher 1990, Trans. ASAE 33:519-524 (form, seen); resistance from density JUDGEMENT.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> from rootcase.science.tree.site import Site
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, surface_resistance_mpa=1.0, refusal_depth_m=0.3,
    ...             litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> central = central_parameters()
    >>> strength = strength_layers(site, soil_layers(site, central), central)
    >>> [float(share) for share in strength.above_refusal[:, 0]]
    [1.0, 1.0, 0.0, 0.0]
    """
    drying, stop, ratio = rod_as_at_field_capacity(site, parameters)
    roots = parameters.half_rooting_resistance_mpa, parameters.resistance_steepness
    surface = np.broadcast_to(site.surface_resistance_mpa, parameters.draws) * drying
    depth = np.broadcast_to(site.refusal_depth_m, parameters.draws)
    if site.cone_depth_m:
        cone = np.stack([_between(site, middle) * drying for middle in _slice_middles()])
        plain = Strength(_layer_mean(_under_pans(strength_factor(np.minimum(cone, 100.0), *roots))),
                         np.ones((4, parameters.draws)), _layer_mean(cone))
        last = np.broadcast_to(site.cone_resistance_mpa[-1], parameters.draws) * drying
        rod = _rod(last, depth, stop, ratio, roots, from_m=site.cone_depth_m[-1], above_it=cone)
        return _where(depth > site.cone_depth_m[-1], rod, plain)
    if not (np.isnan(surface).any() or np.isnan(depth).any()):
        return _rod(surface, depth, stop, ratio, roots)
    from_density = _resistance_of_density(site, soil)
    surface = np.where(np.isnan(surface), from_density[0], surface)
    by_density = np.concatenate([surface[None], from_density[1:]])
    plain = Strength(strength_factor(by_density, *roots), np.ones_like(by_density), by_density)
    return _where(~np.isnan(depth), _rod(surface, depth, stop, ratio, roots), plain)


def _where(holds: npt.NDArray[np.bool_], this: Strength, that: Strength) -> Strength:
    return Strength(*(np.where(holds, one, other) for one, other in zip(this, that, strict=True)))


def _rod(start: Array, depth: Array, stop: Array, ratio: Array, roots: tuple[Array, Array], from_m: float = 0.0,
         above_it: Array | None = None) -> Strength:
    """Linear from `start` at `from_m` to what stops the rod at its depth, and the ratio of it below."""
    depth = np.where(np.isnan(depth) | (depth <= from_m), np.inf, depth)
    start = np.minimum(start, stop)
    below_mpa = stop * ratio
    below_factor = strength_factor(below_mpa, *roots)
    middle, thickness = np.array(_slice_middles())[:, None], np.repeat(LAYERS.thickness_m / SLICES, SLICES, axis=0)
    share = np.clip((depth - (middle - thickness / 2.0)) / thickness, 0.0, 1.0)
    mpa = start + (stop - start) * np.minimum((middle - from_m) / (depth - from_m), 1.0)
    if above_it is not None:
        mpa = np.where(middle <= from_m, above_it, mpa)
    factor = share * strength_factor(np.minimum(mpa, 100.0), *roots) + (1.0 - share) * below_factor
    return Strength(_layer_mean(_under_pans(factor)), 1.0 - LAYERS.share_below(depth),
                    _layer_mean(share * mpa + (1.0 - share) * below_mpa))


def _under_pans(factors: Array) -> Array:
    """No slice is easier for roots than the hardest above it, under the crust that they have behind them."""
    crust = np.array(_slice_middles())[:, None] < fixed("crust_depth_m")
    passed = np.where(crust, 1.0, factors)
    return np.asarray(np.minimum(factors, np.minimum.accumulate(passed, axis=0)))


def _slice_middles() -> list[float]:
    tops, thicknesses = LAYERS.top_m[:, 0], LAYERS.thickness_m[:, 0]
    return [float(top + (slice_ + 0.5) * thickness / SLICES)
            for top, thickness in zip(tops, thicknesses, strict=True) for slice_ in range(SLICES)]


def _layer_mean(slices: Array) -> Array:
    return np.asarray(slices.reshape(4, SLICES, -1).mean(axis=1))


def _between(site: Site, depth: float) -> Array:
    """Cone resistance at a depth, linear between readings."""
    depths = np.array(site.cone_depth_m)
    upper = int(np.clip(np.searchsorted(depths, depth, side="right") - 1, 0, len(depths) - 1))
    lower = min(upper + 1, len(depths) - 1)
    span = depths[lower] - depths[upper]
    share = float(np.clip((depth - depths[upper]) / span, 0.0, 1.0)) if span > 0.0 else 0.0
    return np.asarray(site.cone_resistance_mpa[upper]) * (1.0 - share) + np.asarray(
        site.cone_resistance_mpa[lower]) * share


def _resistance_of_density(site: Site, soil: Soil) -> Array:
    """Resistance where nothing was pushed in: along the limits of bulk density for the texture (4, draws)."""
    limits = density_limits(np.broadcast_to(site.sand, soil.density_mg_m3.shape[1]),
                            np.broadcast_to(site.clay, soil.density_mg_m3.shape[1]))
    ideal, may_affect, restricts = (fixed(f"density_resistance_{name}_mpa") for name in
                                    ("ideal", "may_affect", "restricts"))
    first = ideal + (may_affect - ideal) * (soil.density_mg_m3 - limits.ideal) / (limits.may_affect - limits.ideal)
    second = may_affect + (restricts - may_affect) * (soil.density_mg_m3 - limits.may_affect) / (
        limits.restricts - limits.may_affect)
    return np.asarray(np.maximum(np.where(soil.density_mg_m3 < limits.may_affect, first, second), 0.0))


def sodicity(site: Site) -> Array:
    """How far sodium has taken the structure of this soil.

    Parameters
    ----------
    site : its SAR and clay

    Returns
    -------
    0 none to 1 full, scalar or one per draw.

    Raises
    ------
    Nothing.

    Notes
    -----
    A ramp from SAR 8 to 20, only where clay is above 15 %. sod in docs/model.md.

    References
    ----------
    Table tree/fixed: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.science.tree.site import Site
    >>> site = Site(sand=0.25, clay=0.5, organic_matter_pct=2.0, bare=1.0, ece_ds_m=2.0, sar=14.0, ph=8.6,
    ...             trunk_diameter_m=0.4, crown_radius_m=5.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.1)
    >>> float(sodicity(site))
    0.5
    """
    ramp = np.clip((np.asarray(site.sar) - fixed("sodic_none_sar")) / fixed("sodic_span_sar"), 0.0, 1.0)
    return np.asarray(np.where(np.asarray(site.clay) > fixed("sodic_least_clay"), ramp, 0.0))
