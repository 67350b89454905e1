"""From inputs to lanes: what is refused, what stands in, which limit owns what."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from scipy import stats

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.science.tree.attribution import PLAYERS, attribute, mixed
from rootcase.science.tree.effects import infiltration_mm, root_spread_ratio, salt_factor
from rootcase.science.tree.fixed import LAYERS, fixed
from rootcase.science.tree.ground import ground_of
from rootcase.science.tree.growth import growth
from rootcase.science.tree.lanes import lanes_from, lanes_of, lanes_of_each, soil_column
from rootcase.science.tree.layers import soil_layers, strength_factor, strength_layers
from rootcase.science.tree.parameters import Parameters, central_parameters, draw_parameters
from rootcase.science.tree.site import Site, forest_floor, lock_up_risk, salt_tolerance
from rootcase.tables.load import Row, table
from tests.archetypes import archetypes, greensboro_twice, with_reading_errors

pytestmark = pytest.mark.property


@pytest.fixture
def lawn() -> Site:
    return archetypes()["dry lawn loam, dry year"]


@pytest.fixture
def central() -> Parameters:
    return central_parameters()


def factors(site: Site, parameters: Parameters) -> np.ndarray:
    return strength_layers(site, soil_layers(site, parameters), parameters).factor[:, 0]


def test_a_site_that_cannot_be_is_refused(lawn: Site) -> None:
    with pytest.raises(OutOfRange, match=r"the sum of the covers is outside its range .got 1.3"):
        replace(lawn, mulch=0.3)
    with pytest.raises(OutOfRange, match=r"ph is outside its range .got 62"):
        replace(lawn, ph=62.0)
    with pytest.raises(OutOfRange, match=r"refusal_depth_m is outside its range .got 0 m"):
        replace(lawn, refusal_depth_m=0.0)
    with pytest.raises(OutOfRange, match="cone depths and resistances differ in number"):
        replace(lawn, cone_depth_m=(0.1,))
    with pytest.raises(OutOfRange, match="cone depths do not go down"):
        replace(lawn, cone_depth_m=(0.3, 0.1), cone_resistance_mpa=(1.0, 1.0))
    with pytest.raises(Missing, match=r"there is no such salt tolerance .got tall"):
        salt_tolerance("tall")
    with pytest.raises(Missing, match=r"there is no such risk of lime chlorosis .got tall"):
        lock_up_risk("tall")
    with pytest.raises(Missing, match=r"the model has no constant of this name .got interseption_mm"):
        fixed("interseption_mm")


def test_formulas_refuse_what_they_are_not_made_for() -> None:
    with pytest.raises(OutOfRange, match=r"resistance_mpa is outside its range .got -1 MPa"):
        strength_factor(-1.0, 2.2, 4.0)
    with pytest.raises(OutOfRange, match=r"water_mm is outside its range .got -1 mm"):
        infiltration_mm(-1.0, 10.0)
    with pytest.raises(OutOfRange, match=r"ece_ds_m is outside its range .got -1 dS/m"):
        salt_factor(-1.0, 2.0, 14.0)
    with pytest.raises(OutOfRange, match=r"draws is outside its range .got 0"):
        draw_parameters(0, np.random.default_rng(1))


def test_ground_that_takes_nothing_in_takes_nothing_in() -> None:
    assert float(infiltration_mm(10.0, 0.0)) == 0.0


def test_an_established_tree_has_reached_all_its_ground_even_in_rock() -> None:
    assert float(root_spread_ratio(np.inf, 0.3, 4.0, 0.46, 0.0, 2.2)) == 2.2


def test_the_same_resistance_by_rod_and_by_cone_roots_the_same(lawn: Site, central: Parameters) -> None:
    depths = tuple(np.linspace(0.0, 1.0, 41))
    by_rod = replace(lawn, surface_resistance_mpa=1.0, refusal_depth_m=1.0, reference_resistance_mpa=3.0)
    by_cone = replace(lawn, refusal_depth_m=np.nan, cone_depth_m=depths,
                      cone_resistance_mpa=tuple(1.0 + 2.0 * depth for depth in depths))
    assert np.abs(factors(by_rod, central) - factors(by_cone, central)).max() < 1e-9


def test_below_the_refusal_roots_live_worse_than_above(lawn: Site, central: Parameters) -> None:
    site = replace(lawn, refusal_depth_m=0.3)
    strength = strength_layers(site, soil_layers(site, central), central)
    assert np.all(np.diff(strength.factor[:, 0]) <= 0.0)
    assert strength.above_refusal[:, 0].tolist() == [1.0, 1.0, 0.0, 0.0]
    stop = central.rod_stop_resistance_mpa * central.below_refusal_ratio
    expected = strength_factor(stop, central.half_rooting_resistance_mpa, central.resistance_steepness)
    assert abs(float(strength.factor[2, 0]) - float(expected[0])) < 1e-12


def test_a_refusal_inside_a_slice_counts_by_the_share_above(lawn: Site, central: Parameters) -> None:
    depths = [0.2, 0.225, 0.25]  # the slice from .20 to .25 m
    whole, half, none = (factors(replace(lawn, refusal_depth_m=depth, surface_resistance_mpa=1.0), central)[1]
                         for depth in (depths[2], depths[1], depths[0]))
    assert none < half < whole


def test_soil_read_dry_is_softer_at_field_capacity(lawn: Site, central: Parameters) -> None:
    by_cone = replace(lawn, cone_depth_m=(0.1, 0.8), cone_resistance_mpa=(1.5, 3.0))
    for site in (lawn, by_cone):
        dry = replace(site, wetness_when_read=0.7)
        soil = soil_layers(site, central)
        as_read, brought = (strength_layers(ground, soil, central).resistance_mpa for ground in (site, dry))
        assert np.abs(brought / as_read - 0.7**2.5).max() < 1e-12
        assert np.all(factors(dry, central) > factors(site, central))


def test_where_nothing_was_pushed_in_density_stands_in(lawn: Site, central: Parameters) -> None:
    unread = replace(lawn, surface_resistance_mpa=np.nan, refusal_depth_m=np.nan)
    loose, dense = (strength_layers(site, soil_layers(site, central), central).resistance_mpa[0, 0]
                    for site in (replace(unread, bulk_density_mg_m3=1.4), replace(unread, bulk_density_mg_m3=1.75)))
    assert float(loose) == pytest.approx(1.0)  # ideal, JUDGEMENT
    assert float(dense) == pytest.approx(3.0)  # restricts, JUDGEMENT
    surface_only = replace(unread, surface_resistance_mpa=1.7)
    strength = strength_layers(surface_only, soil_layers(surface_only, central), central)
    assert float(strength.resistance_mpa[0, 0]) == pytest.approx(1.7)


def test_some_draws_may_have_a_rod_and_others_not(lawn: Site) -> None:
    two = draw_parameters(2, np.random.default_rng(1))
    both = factors(replace(lawn, refusal_depth_m=np.array([0.2, np.nan])), two)
    assert np.all(np.isfinite(both))


def test_a_hard_pan_costs_roots(lawn: Site, central: Parameters) -> None:
    # reference: prototype gave .59 with the pan and .72 without on a site it does not name; the order is what holds
    def cone(pan: float) -> Site:
        return replace(lawn, cone_depth_m=(0.05, 0.2, 0.45, 0.8), cone_resistance_mpa=(1.0, pan, 1.5, 2.0))

    with_pan, without = (float(growth(cone(pan), central, greensboro_twice(), 1).index[0]) for pan in (4.0, 1.2))
    assert with_pan < 0.95 * without


def test_mottles_cost_air_by_the_share_of_a_layer_below_them(lawn: Site, central: Parameters) -> None:
    column = soil_column(replace(lawn, mottle_depth_m=0.2), central)
    dry = soil_column(lawn, central)
    ratio = column.air_factor[:, 0] / dry.air_factor[:, 0]
    assert np.abs(ratio - [1.0, 1.0 - 0.5 * 0.75, 0.25, 0.25]).max() < 1e-12


def test_layers_share_depth_exactly() -> None:
    assert LAYERS.share_below(0.2)[:, 0].tolist() == pytest.approx([0.0, 0.5, 1.0, 1.0], abs=1e-12)
    assert LAYERS.share_below(np.inf)[:, 0].tolist() == [0.0, 0.0, 0.0, 0.0]


def test_lanes_of_the_tree_are_all_its_limits_and_of_the_yardstick_none(lawn: Site, central: Parameters) -> None:
    here, there = ground_of(lawn, central), ground_of(forest_floor(lawn), central)
    for ground, site in ((mixed(here, there, frozenset(PLAYERS)), lawn), (mixed(here, there, frozenset()),
                                                                          forest_floor(lawn))):
        ours, theirs = lanes_from(ground, central), lanes_of(site, central)
        for name in ("available_water_mm", "root_weight", "root_capacity", "turf_demand", "evaporating_cover",
                     "infiltration_capacity_mm", "drainage_mm_day", "nitrogen_ratio", "lock_up"):
            assert np.array_equal(getattr(ours, name), getattr(theirs, name)), name


@pytest.mark.parametrize(("limit", "change"), [
    ("strength", {"refusal_depth_m": 0.1}), ("air", {"run_on": 2.0}), ("air", {"drainage_mm_day": 0.3}),
    ("air", {"mottle_depth_m": 0.1}), ("water", {"infiltration_ring_mm_h": 2.0}), ("water", {"irrigation_mm": 5.0}),
    ("salt", {"ece_ds_m": 6.0}), ("nutrition", {"ph": 8.2}), ("nutrition", {"nitrogen_added_kg_ha": 50.0}),
    ("establishment", {"years_since_planting": 1.0}),
])
def test_a_change_of_one_input_belongs_to_one_limit(limit: str, change: dict[str, float], lawn: Site,
                                                     central: Parameters) -> None:
    base = replace(lawn, lock_up_per_ph=0.22)
    found = attribute(replace(base, **change), base, central, [greensboro_twice()], 1)
    others = {"strength", "air", "water", "salt", "nutrition", "establishment"} - {limit}
    assert set(found.same) == others
    assert abs(found.loss[:, 0].sum() - (1.0 - found.share[0])) < 1e-12


def test_freed_ground_becomes_litter(lawn: Site, central: Parameters) -> None:
    here, there = ground_of(lawn, central), ground_of(forest_floor(lawn), central)
    without_turf = lanes_from(mixed(here, there, frozenset({"sealing", "rest"})), central)
    litter = lanes_of(replace(lawn, turf=0.0, litter=1.0), central)
    assert np.array_equal(without_turf.evaporating_cover, litter.evaporating_cover)
    assert np.array_equal(without_turf.turf_demand, litter.turf_demand)


def test_covers_of_two_grounds_that_do_not_fit_stay_a_whole(lawn: Site, central: Parameters) -> None:
    paved, turfed = (ground_of(replace(lawn, turf=turf, paved=1.0 - turf), central) for turf in (0.1, 0.9))
    lanes = lanes_from(mixed(paved, turfed, frozenset({"sealing"})), central)  # .9 paved and .9 turf
    under = 1.0 - 0.9 * (1.0 - float(central.rootable_under_paving[0]))
    assert float(lanes.turf_demand[0]) == pytest.approx(0.85 * 0.1 / under)


def test_neighbours_are_the_tree_s_on_both_sides() -> None:
    wood = archetypes()["woodland clay"]
    assert forest_floor(replace(wood, neighbours=0.3)).neighbours == 0.3


def law(row: Row) -> Any:
    """The prior as a statistics library has it."""
    low, high = (default if row[name] is None else row[name] for name, default in (("low", -np.inf), ("high", np.inf)))
    if row["kind"] == "uniform":
        return stats.uniform(low, high - low)
    if row["kind"] == "triangular":
        return stats.triang((row["middle"] - low) / (high - low), low, high - low)
    if row["kind"] == "lognormal":
        low, high, middle = (np.log(max(limit, 1e-300)) for limit in (low, high, row["middle"]))
    else:
        middle = row["middle"]
    return stats.truncnorm((low - middle) / row["spread"], (high - middle) / row["spread"], middle, row["spread"])


@pytest.mark.parametrize("row", table("tree/priors").rows, ids=lambda row: str(row["parameter"]))
def test_each_prior_is_the_law_its_row_says(row: Row) -> None:
    drawn = np.sort(getattr(draw_parameters(4000, np.random.default_rng(2)), str(row["parameter"])))
    chance = law(row).cdf(np.log(drawn) if row["kind"] == "lognormal" else drawn)
    # One draw in each slice of equal chance: the cumulative law is a straight line.
    assert np.abs(chance - (np.arange(4000) + 0.5) / 4000).max() <= 0.6 / 4000


@pytest.mark.parametrize("row", table("tree/priors").rows, ids=lambda row: str(row["parameter"]))
def test_the_central_draw_lies_in_the_middle_of_each_prior(row: Row) -> None:
    central = np.log(row["central"]) if row["kind"] == "lognormal" else row["central"]
    assert 0.45 <= law(row).cdf(central) <= 0.57  # .96 of the root depth curve stands a little high


def test_the_same_seed_draws_the_same_and_another_does_not() -> None:
    one, again, other = (draw_parameters(50, np.random.default_rng(seed)) for seed in (1, 1, 2))
    assert np.array_equal(one.root_reserve, again.root_reserve)
    assert not np.array_equal(one.root_reserve, other.root_reserve)
    assert one.first(10).draws == 10


def test_sites_reckoned_together_are_those_reckoned_alone() -> None:
    rng = np.random.default_rng(8)
    parameters = draw_parameters(50, rng)
    states = [(with_reading_errors(site, 50, rng), parameters) for site in archetypes().values()]
    for together, (site, drawn) in zip(lanes_of_each(states), states, strict=True):
        alone = lanes_of(site, drawn)
        for field in fields(alone):
            assert np.allclose(getattr(together, field.name), getattr(alone, field.name), rtol=1e-13, atol=0.0), field


def test_sites_of_different_windows_are_not_joined() -> None:
    site, central = archetypes()["sand lawn"], central_parameters()
    with pytest.raises(ValueError, match="sites can be joined that have one window"):
        lanes_of_each([(site, central), (replace(site, spring_window_days=100), central)])
