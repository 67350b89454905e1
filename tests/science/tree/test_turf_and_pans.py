"""What the model makes of turf's roots and of a hard pan, beside what trials and the trade say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from rootcase.science.tree.growth import growth
from rootcase.science.tree.lanes import lanes_of, soil_column
from rootcase.science.tree.layers import soil_layers, strength_layers
from rootcase.science.tree.parameters import central_parameters, draw_parameters
from rootcase.science.tree.site import Site
from tests.archetypes import archetypes, as_published, greensboro_twice

pytestmark = pytest.mark.property

LAWN = replace(archetypes()["healthy lawn tree"], turf=1.0, mulch=0.0, litter=0.0)
BED = replace(LAWN, turf=0.0, mulch=1.0)
YOUNG = {"years_since_planting": 3.0, "trunk_diameter_m": 0.06, "crown_radius_m": 1.2}


def cone(*mpa_at_m: tuple[float, float]) -> Site:
    return replace(LAWN, surface_resistance_mpa=float("nan"), refusal_depth_m=float("nan"),
                   cone_depth_m=tuple(depth for depth, _ in mpa_at_m), cone_resistance_mpa=tuple(
                       mpa for _, mpa in mpa_at_m))


def strength_of(site: Site) -> np.ndarray:
    parameters = draw_parameters(200, np.random.default_rng(3))
    return strength_layers(site, soil_layers(site, parameters), parameters).factor


def test_turf_takes_room_in_the_top_two_layers_and_only_there() -> None:
    parameters = draw_parameters(300, np.random.default_rng(2))
    cut, whole = soil_column(LAWN, parameters).rooting, soil_column(LAWN, as_published(parameters)).rooting
    assert np.allclose(cut[0], whole[0] * (1.0 - parameters.turf_root_cut))
    assert np.allclose(cut[1], whole[1] * (1.0 - 0.4 * parameters.turf_root_cut))
    assert np.array_equal(cut[2:], whole[2:])
    assert np.array_equal(soil_column(BED, parameters).rooting, soil_column(BED, as_published(parameters)).rooting)


def test_the_soil_that_is_drawn_is_the_soil_that_is_run() -> None:
    parameters = draw_parameters(50, np.random.default_rng(5))
    for site in archetypes().values():
        assert np.allclose(soil_column(site, parameters).root_share, lanes_of(site, parameters).root_weight)


def test_mulch_in_place_of_turf_comes_nearer_to_the_trials() -> None:
    """Young maples thickened 2.6 times as fast in mulch as in turf (Green and Watson 1989, J. Arboric. 15, Table 1,
    seen). Without roots displaced the model gives half of that at most; it stays below the trial."""
    parameters = draw_parameters(1000, np.random.default_rng(1))

    def ratio(drawn: object) -> float:
        bed, lawn = (growth(replace(site, **YOUNG), drawn, greensboro_twice(), 2).index for site in (BED, LAWN))
        return float(np.median(bed) / np.median(lawn))

    assert ratio(as_published(parameters)) < 1.6 < ratio(parameters) < 2.6


def test_what_lies_under_a_pan_is_no_easier_for_roots_than_the_pan() -> None:
    pan = strength_of(cone((0.05, 1.0), (0.2, 4.0), (0.45, 1.5), (0.8, 2.0)))
    soft = strength_of(cone((0.05, 1.0), (0.2, 1.2), (0.45, 1.5), (0.8, 2.0)))
    assert np.all(pan[2:] <= pan[1])
    assert np.all(pan[2:] < soft[2:])
    assert np.allclose(pan[0][:, None] > pan[1][:, None], True), "above the pan roots are as free as before"


def test_a_hard_crust_shuts_nothing_off() -> None:
    crust = strength_of(cone((0.0, 5.0), (0.05, 1.0), (0.2, 1.0), (0.8, 1.0)))
    without = strength_of(cone((0.0, 1.0), (0.05, 1.0), (0.2, 1.0), (0.8, 1.0)))
    assert np.array_equal(crust[1:], without[1:])
    assert np.all(crust[0] < without[0])


def test_a_pan_costs_growth() -> None:
    central = central_parameters()
    with_pan = growth(cone((0.05, 1.0), (0.2, 4.0), (0.45, 1.5), (0.8, 2.0)), central, greensboro_twice(), 1).index
    without = growth(cone((0.05, 1.0), (0.2, 1.2), (0.45, 1.5), (0.8, 2.0)), central, greensboro_twice(), 1).index
    assert with_pan[0] < 0.75 * without[0]
