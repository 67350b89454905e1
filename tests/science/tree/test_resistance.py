"""The line of hardness that is drawn is the one the model's layers are made of."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rootcase.ground.errors import OutOfRange
from rootcase.science.tree.fixed import LAYERS
from rootcase.science.tree.layers import SLICES, soil_layers, strength_layers
from rootcase.science.tree.parameters import draw_parameters
from rootcase.science.tree.resistance import resistance_mpa
from rootcase.science.tree.site import Site

pytestmark = pytest.mark.property

ROD = Site(sand=0.4, clay=0.2, organic_matter_pct=3.0, surface_resistance_mpa=1.2, refusal_depth_m=0.6, litter=1.0,
           wetness_when_read=0.9, ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0,
           salt_threshold_ds_m=2.0, salt_slope_pct=14.0, lock_up_per_ph=0.03)
CONE = replace(ROD, cone_depth_m=(0.0, 0.15, 0.3, 0.45), cone_resistance_mpa=(0.8, 2.5, 1.4, 1.9),
               refusal_depth_m=float("nan"))


@pytest.mark.parametrize("site", [ROD, CONE, replace(CONE, refusal_depth_m=0.6)], ids=["rod", "cone", "cone and rod"])
def test_layers_are_the_mean_of_the_line_at_their_slices(site: Site) -> None:
    """At a refusal between two slices, where none is cut."""
    parameters = draw_parameters(200, np.random.default_rng(4))
    steps = (np.arange(SLICES) + 0.5) / SLICES
    middles = (LAYERS.top_m + LAYERS.thickness_m * steps).ravel()
    by_line = resistance_mpa(site, parameters, middles).reshape(4, SLICES, -1).mean(axis=1)
    by_layer = strength_layers(site, soil_layers(site, parameters), parameters).resistance_mpa
    assert np.abs(by_line - by_layer).max() <= 1e-12


def test_a_depth_above_the_ground_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"depth_m is outside its range .got -0.1 m"):
        resistance_mpa(ROD, draw_parameters(2, np.random.default_rng(1)), [-0.1, 0.2])
