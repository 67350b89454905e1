"""The soil under a tree as the model sees it, so that it can be drawn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import numpy as np

from rootcase.casework.estimate import estimate
from rootcase.records.explain import SoilColumn, SoilLayer
from rootcase.science.soil.texture import texture_class_without_silt
from rootcase.science.tree.fixed import LAYERS
from rootcase.science.tree.lanes import soil_column
from rootcase.science.tree.parameters import Parameters
from rootcase.science.tree.resistance import resistance_mpa
from rootcase.science.tree.site import COVERS, Site

DRAWN_DEPTHS_M = tuple(round(0.05 * step, 2) for step in range(25))
FINE_DEPTHS_M = np.linspace(0.0, float(LAYERS.bottom_m[-1, 0]), 101)


def column_of(site: Site, parameters: Parameters, known_to_m: float, read_kinds: Iterable[str]) -> SoilColumn:
    """The soil of one site: layers, cover, hardness by depth, water in reach.

    Parameters
    ----------
    site : the ground, n draws.
    parameters : n draws.
    known_to_m : deepest reading. [m], 0 where nothing was read
    read_kinds : kinds of reading behind it.

    Returns
    -------
    SoilColumn. [MPa, mm, m as the names say]

    Raises
    ------
    OutOfRange : an input leaves the range of a formula.

    Notes
    -----
    Roots are taken to reach the depth where resistance first passes the value that halves their growth, no deeper
    than the rod's refusal or the model's last layer. Water in reach is what a layer holds, weighted by how far roots
    can fill it.

    References
    ----------
    docs/model.md, 1.1 to 1.4: JUDGEMENT where marked there.

    Examples
    --------
    >>> from rootcase.science.tree.parameters import central_parameters
    >>> clay = Site(sand=0.25, clay=0.5, organic_matter_pct=2.0, surface_resistance_mpa=1.6, refusal_depth_m=0.08,
    ...             turf=1.0, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
    ...             salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
    >>> column = column_of(clay, central_parameters(), 0.08, ["probe_depth"])
    >>> column.layers[0].texture, column.cover[2], round(column.rootable_depth_m.median, 2)
    ('clay', ('turf', 1.0), 0.04)
    """
    draws = parameters.draws
    seen = soil_column(site, parameters)
    reach = seen.soil.available_water_mm * seen.rooting
    sand, clay = (np.broadcast_to(share, draws) for share in (site.sand, site.clay))
    texture = Counter(np.atleast_1d(texture_class_without_silt(sand, clay)).tolist()).most_common(1)[0][0]
    layers = tuple(SoilLayer(
        top_m=float(LAYERS.top_m[at, 0]), bottom_m=float(LAYERS.bottom_m[at, 0]), texture=str(texture),
        organic_matter_pct=float(np.median(seen.soil.organic_matter_pct[at])),
        resistance_mpa=estimate(seen.strength.resistance_mpa[at]),
        available_water_mm=float(np.median(seen.soil.available_water_mm[at])),
        water_in_reach_mm=float(np.median(reach[at])), root_share=float(seen.root_share[at].mean()),
        air_filled=float(np.median(seen.soil.air_filled[at]))) for at in range(len(LAYERS.top_m)))
    hard = resistance_mpa(site, parameters, FINE_DEPTHS_M)
    too_hard = hard > parameters.half_rooting_resistance_mpa
    soft = np.where(too_hard.any(axis=0), FINE_DEPTHS_M[too_hard.argmax(axis=0)], FINE_DEPTHS_M[-1])
    rootable = np.fmin(soft, site.refusal_depth_m)
    return SoilColumn(
        layers=layers, cover=tuple((cover, float(np.mean(getattr(site, cover)))) for cover in COVERS),
        rootable_depth_m=estimate(rootable), water_in_reach_mm=estimate(reach.sum(axis=0)),
        hardness_depth_m=DRAWN_DEPTHS_M,
        hardness_mpa=tuple(estimate(mpa) for mpa in resistance_mpa(site, parameters, DRAWN_DEPTHS_M)),
        known_to_m=known_to_m, read_kinds=tuple(read_kinds))

