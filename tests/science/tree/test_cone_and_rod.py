"""A cone speaks as deep as it was read; below that the rod does, where it went deeper."""

from dataclasses import replace

import numpy as np
import pytest

from rootcase.science.tree.layers import soil_layers, strength_layers
from rootcase.science.tree.parameters import central_parameters
from rootcase.science.tree.site import Site

CENTRAL = central_parameters()
ROD = Site(sand=0.3, clay=0.35, organic_matter_pct=2.0, surface_resistance_mpa=1.45, refusal_depth_m=0.076, litter=1.0,
           ece_ds_m=0.4, sar=1.0, ph=6.2, trunk_diameter_m=0.4, crown_radius_m=5.0, salt_threshold_ds_m=2.0,
           salt_slope_pct=14.0, lock_up_per_ph=0.03)


def factors(site):
    return strength_layers(site, soil_layers(site, CENTRAL), CENTRAL).factor[:, 0]


@pytest.mark.property
def test_one_push_at_the_surface_does_not_silence_the_rod():
    """Read 1.45 MPa at the surface and stopped at 7.6 cm: the same ground as the rod with that surface."""
    with_cone = replace(ROD, cone_depth_m=(0.0,), cone_resistance_mpa=(1.45,))
    np.testing.assert_allclose(factors(with_cone), factors(ROD), rtol=0, atol=1e-12)


@pytest.mark.property
def test_where_the_cone_went_deeper_than_the_rod_the_cone_stands():
    cone = {"cone_depth_m": (0.05, 0.5), "cone_resistance_mpa": (1.0, 1.4)}
    np.testing.assert_array_equal(factors(replace(ROD, **cone)), factors(replace(ROD, refusal_depth_m=np.nan, **cone)))


@pytest.mark.property
def test_below_the_cone_the_rod_makes_the_deep_layers_harder():
    cone = {"cone_depth_m": (0.1, 0.3), "cone_resistance_mpa": (0.9, 1.1)}
    deep = factors(replace(ROD, refusal_depth_m=0.7, **cone))
    without = factors(replace(ROD, refusal_depth_m=np.nan, **cone))
    np.testing.assert_array_equal(deep[:2], without[:2])
    assert (deep[2:] < without[2:]).all()
    assert deep[3] < 0.5 * without[3]
