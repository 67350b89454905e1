"""Penetration resistance at any depth, as the model has it, to be drawn and to foretell a reading."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from rootcase.ground.errors import require_range
from rootcase.science.tree.fixed import Array
from rootcase.science.tree.parameters import Parameters
from rootcase.science.tree.site import Site


def rod_as_at_field_capacity(site: Site, parameters: Parameters) -> tuple[Array, Array, Array]:
    """What turns a reading into one at field capacity, what stops the rod there, and how hard it is below that?

    Parameters
    ----------
    site : how wet it was when read, a cone's reading where the rod stopped, the ratio below where it was found
    parameters : the draws, which stand in for what was not read

    Returns
    -------
    factor of a reading [-], resistance that stops the rod [MPa], and that below it over it [-]; (draws,) each.

    Raises
    ------
    ValueError : shapes that do not go together.

    Notes
    -----
    For the layers and for any depth alike.

    References
    ----------
    Section 1.2 of docs/model.md: JUDGEMENT where marked there.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> clay = Site(sand=0.25, clay=0.5, organic_matter_pct=2.0, surface_resistance_mpa=1.6, refusal_depth_m=0.08,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> [round(float(each[0]), 2) for each in rod_as_at_field_capacity(clay, central_parameters())]
    [1.0, 3.0, 1.27]
    """
    drying = np.broadcast_to(site.wetness_when_read, parameters.draws) ** parameters.wetness_exponent
    stop = np.where(np.isnan(site.reference_resistance_mpa), parameters.rod_stop_resistance_mpa,
                    site.reference_resistance_mpa) * drying
    ratio = np.where(np.isnan(site.below_refusal_ratio), parameters.below_refusal_ratio, site.below_refusal_ratio)
    return drying, stop, ratio


def resistance_mpa(site: Site, parameters: Parameters, depth_m: ArrayLike) -> Array:
    """How hard is the soil at some depths, at field capacity?

    Parameters
    ----------
    site : resistance at the surface with the depth of refusal, or cone readings
    parameters : the draws
    depth_m : one or several depths. [m], 0 to 5

    Returns
    -------
    (depths, draws). [MPa]

    Raises
    ------
    OutOfRange : a depth leaves its range.

    Notes
    -----
    By cone, straight between its readings, and below the deepest of them by rod where that went deeper: straight to
    what stops the rod, and below it the drawn ratio of that. `strength_layers` takes the same line in slices, and
    stands density in where nothing was pushed in; here such a depth is not known (NaN).

    References
    ----------
    Section 1.2 of docs/model.md: JUDGEMENT where marked there.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> clay = Site(sand=0.25, clay=0.5, organic_matter_pct=2.0, surface_resistance_mpa=1.6, refusal_depth_m=0.08,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> [round(float(mpa), 2) for mpa in resistance_mpa(clay, central_parameters(), [0.0, 0.04, 0.08])[:, 0]]
    [1.6, 2.3, 3.0]
    """
    depths = np.atleast_1d(np.asarray(depth_m, dtype=np.float64))
    require_range("depth_m", depths, 0.0, 5.0, "m")
    depth, draws = depths[:, None], parameters.draws
    drying, stop, ratio = rod_as_at_field_capacity(site, parameters)
    refusal = np.asarray(site.refusal_depth_m)
    start, from_m = site.surface_resistance_mpa * drying, 0.0
    if site.cone_depth_m:
        cone = np.stack([np.broadcast_to(mpa, draws) for mpa in site.cone_resistance_mpa]) * drying
        start, from_m = cone[-1], site.cone_depth_m[-1]
    start = np.minimum(start, stop)
    way = np.clip((depth - from_m) / np.maximum(refusal - from_m, 1e-9), 0.0, 1.0)
    by_rod = np.where(depth > refusal, stop * ratio, start + (stop - start) * way)
    if not site.cone_depth_m:
        return np.asarray(by_rod)
    place = np.interp(depths, site.cone_depth_m, np.arange(len(cone)))
    upper = place.astype(np.int64)
    lower = np.minimum(upper + 1, len(cone) - 1)
    by_cone = cone[upper] + (cone[lower] - cone[upper]) * (place - upper)[:, None]
    return np.asarray(np.where((depth > from_m) & (refusal > from_m), by_rod, by_cone))
