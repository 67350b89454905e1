"""Truths about coefficients, thirst, surface and rain that hold anywhere."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.science.water.available import days_of_water, readily_available_water_mm, rootable_depth_m
from rootcase.science.water.coefficients import (
    Stages,
    coefficient_of_day,
    coefficients_of_cover,
    cover_from_coefficient,
    upper_coefficient,
)
from rootcase.science.water.cover_density import (
    coefficient_over_bare_ground,
    coefficient_over_bare_ground_of_fao56,
    coefficient_over_live_ground,
    density_coefficient,
    effective_cover,
    full_cover_coefficient,
    stomata_factor,
)
from rootcase.science.water.evaporation import (
    cut_by_tephra_pct,
    drying_factor,
    evaporation_coefficient,
    evaporation_under_mulch,
    exposed_wet_share,
)
from rootcase.science.water.landscape import landscape_coefficient, plant_factor, tree_water_l, volume_of_depth_l
from rootcase.science.water.rain import (
    dependable_rain_of_fao_mm,
    dependable_rain_of_training_manual_mm,
    effective_rain_of_scs_mm,
    effective_rain_of_scs_simplified_mm,
    rain_that_counts_mm,
    storage_factor_of_scs,
)
from rootcase.science.water.thirst import depletion_share_of_day, water_stress, water_stress_of_aquacrop
from rootcase.tables.load import table

pytestmark = pytest.mark.property

SHARE = st.floats(0.0, 1.0)
RAIN_MM = np.linspace(0.0, 600.0, 601)


@given(st.floats(10, 300), st.floats(0.1, 0.8))
def test_thirst_grows_from_none_to_all(total: float, share: float) -> None:
    lost = np.linspace(0.0, total, 50)
    line, curve = water_stress(total, lost, share), water_stress_of_aquacrop(total, lost, share)
    assert (line[0], line[-1], curve[0], curve[-1]) == pytest.approx((1.0, 0.0, 1.0, 0.0))
    assert np.all(np.diff(line) <= 0.0)
    assert np.all(curve >= line - 1e-12)
    free = readily_available_water_mm(total, share)
    assert water_stress(total, free, share) == pytest.approx(1.0)


def test_the_harder_the_day_the_sooner_thirst_begins() -> None:
    shares = depletion_share_of_day(0.5, np.linspace(0.0, 30.0, 61))
    assert np.all(np.diff(shares) <= 0.0)
    assert (shares.max(), shares.min()) == pytest.approx((0.7, 0.1))
    assert depletion_share_of_day(0.5, 5.0) == 0.5


def test_easy_water_lasts_as_long_as_it_is() -> None:
    assert days_of_water(readily_available_water_mm(100.0, 0.5), 5.0) == pytest.approx(10.0)


def test_ground_below_a_dense_layer_counts_for_nothing() -> None:
    bottoms = np.array([[0.2, 0.3], [0.5, 0.6], [1.0, 0.9]])
    densities = np.array([[1.3, 1.9], [1.8, 1.2], [1.3, 1.2]])
    assert rootable_depth_m(bottoms, densities, 1.75).tolist() == [0.2, 0.0]
    assert rootable_depth_m(bottoms, np.full((3, 2), 1.3), 1.75) == pytest.approx([1.0, 0.9])
    with pytest.raises(OutOfRange, match="a layer's top is not below its bottom"):
        rootable_depth_m([0.5, 0.2], [1.3, 1.3], 1.75)


@given(st.floats(0.1, 0.4), st.floats(0.5, 1.3), st.floats(0.2, 0.9))
def test_a_season_stays_between_its_stages(initial: float, middle: float, end: float) -> None:
    days = coefficient_of_day(np.arange(0, 400), Stages(20, 30, 60, 40), initial, middle, end)
    assert days[0] == pytest.approx(initial)
    assert days[80] == pytest.approx(middle)
    assert days[150] == pytest.approx(end)
    assert np.all((days >= min(initial, end) - 1e-12) & (days <= max(middle, end) + 1e-12))
    assert np.abs(np.diff(days)).max() <= max(abs(middle - initial) / 30, abs(middle - end) / 40) + 1e-12


def test_every_cover_of_the_table_is_read_and_an_unknown_one_named() -> None:
    for row in table("water/cover_coefficients").rows:
        found = coefficients_of_cover(row["cover"])
        assert all(basal < single for basal, single in zip(found.basal, found.single, strict=True))
        assert found.root_depth_m[0] < found.root_depth_m[1]
    with pytest.raises(Missing, match="cover = oaks"):
        coefficients_of_cover("oaks")


def test_wind_and_dry_air_lift_the_ceiling_up_to_where_it_was_found() -> None:
    calm, windy, gale = upper_coefficient(0.9, [1.0, 6.0, 20.0], 45.0, 8.0)
    dry, damp, fog = upper_coefficient(0.9, 2.0, [5.0, 80.0, 100.0], 8.0)
    assert calm < windy == gale
    assert dry == upper_coefficient(0.9, 2.0, 20.0, 8.0)
    assert dry > damp == fog
    assert upper_coefficient(1.3, 2.0, 45.0, 8.0) == pytest.approx(1.35)


def test_cover_grows_with_the_coefficient() -> None:
    covers = cover_from_coefficient(np.linspace(0.0, 1.2, 50), 0.15, 1.2, 5.0)
    assert covers[0] == 0.0
    assert np.all(np.diff(covers) >= 0.0)
    assert covers[-1] == 0.99
    with pytest.raises(OutOfRange, match="upper minus bare is outside"):
        cover_from_coefficient(0.5, 0.5, 0.4, 5.0)


@given(SHARE, st.floats(0, 40), st.floats(1.0, 2.0))
def test_trees_stand_between_bare_ground_and_a_closed_wood(cover: float, height: float, multiplier: float) -> None:
    density = density_coefficient(cover, height, multiplier)
    assert 0.0 <= density <= 1.0
    by_two = coefficient_over_bare_ground_of_fao56(cover, height, 1.2, 0.15)
    assert 0.15 <= coefficient_over_bare_ground(density, 1.2, 0.15) <= by_two + 1e-12 <= 1.2 + 1e-9
    for full in (0.4, 1.2):
        over_live = coefficient_over_live_ground(density, full, 0.8)
        assert min(0.6, full) - 1e-12 <= over_live <= max(0.8, full) + 1e-12


def test_no_tree_leaves_the_floor_as_it_is_and_a_low_sun_lengthens_shade() -> None:
    assert coefficient_over_live_ground(0.0, 1.2, 0.8) == 0.8
    assert coefficient_over_live_ground(1.0, 1.2, 0.8) == pytest.approx(1.2)
    assert coefficient_over_live_ground(1.0, 0.4, 0.8) == pytest.approx(0.6)
    shade = effective_cover(0.3, np.radians([90.0, 40.0, 10.0]))
    assert shade[0] == pytest.approx(0.3)
    assert np.all(np.diff(shade) > 0.0)
    assert shade[-1] == 1.0


def test_closed_stomata_spare_water_and_tall_plants_use_more() -> None:
    assert np.all(np.diff(stomata_factor(0.145, 0.066, 2.0, [50, 100, 200, 400])) < 0.0)
    assert stomata_factor(0.145, 0.066, 2.0, 100) == 1.0
    assert np.all(np.diff(full_cover_coefficient([0.5, 1.0, 2.0], 2.0, 45.0)) > 0.0)


@given(SHARE, SHARE, st.floats(0.0, 1.15))
def test_a_surface_never_evaporates_more_than_its_part(cover: float, wetted: float, basal: float) -> None:
    exposed = exposed_wet_share(cover, wetted)
    lost = np.linspace(0.0, 25.0, 30)
    coefficient = evaporation_coefficient(drying_factor(20.0, 8.0, lost), basal, 1.2, exposed)
    assert np.all(np.diff(coefficient) <= 1e-15)
    assert coefficient[-1] == 0.0
    assert coefficient.max() <= min(1.2 - basal, exposed * 1.2) + 1e-12


def test_mulch_keeps_water_in_and_trials_go_beyond_the_rule() -> None:
    assert evaporation_under_mulch(0.0) == 1.0
    assert evaporation_under_mulch(1.0, 1.0) == 0.0
    assert np.all(cut_by_tephra_pct([0.02, 0.03, 0.10]) > 50.0)
    with pytest.raises(OutOfRange, match="depth_m is outside its range"):
        cut_by_tephra_pct(0.2)


@pytest.mark.parametrize("rule", [
    effective_rain_of_scs_simplified_mm, dependable_rain_of_fao_mm, dependable_rain_of_training_manual_mm,
    lambda rain: effective_rain_of_scs_mm(rain, 150.0, 75.0)])
def test_useful_rain_is_never_more_than_fell_nor_less_than_none(rule: object) -> None:
    assert callable(rule)
    useful = rule(RAIN_MM)
    assert np.all((useful >= 0.0) & (useful <= RAIN_MM + 1e-12))
    assert np.all(np.diff(useful) >= -1e-12)


def test_the_two_printings_of_dependable_rain_are_a_millimetre_apart() -> None:
    apart = np.abs(dependable_rain_of_fao_mm(RAIN_MM) - dependable_rain_of_training_manual_mm(RAIN_MM))
    assert apart.max() == pytest.approx(1.0)
    assert apart[:71].max() == 0.0
    assert all(rule(75.0) == pytest.approx(rule(75.0001), abs=0.001)
               for rule in (dependable_rain_of_fao_mm, dependable_rain_of_training_manual_mm))


def test_demand_and_store_make_more_of_the_rain_useful_up_to_the_demand() -> None:
    assert effective_rain_of_scs_mm(80.0, 150.0, 75.0) > effective_rain_of_scs_mm(80.0, 100.0, 75.0)
    assert effective_rain_of_scs_mm(400.0, 100.0, 75.0) == 100.0
    assert np.all(np.diff(storage_factor_of_scs([20, 50, 75, 120])) > 0.0)
    assert rain_that_counts_mm([0.0, 0.79, 0.8, 30.0], 4.0).tolist() == [0.0, 0.0, 0.8, 30.0]


def test_a_tree_twice_as_wide_asks_for_four_times_the_water() -> None:
    assert tree_water_l(12.0, 5.0, 0.5) == pytest.approx(4.0 * tree_water_l(6.0, 5.0, 0.5))
    assert volume_of_depth_l(5.0, 2.0) == 10.0
    assert landscape_coefficient(0.5, 1.0, 1.0) == plant_factor("woody_dry_air") == 0.5
    with pytest.raises(OutOfRange, match="density is outside its range"):
        landscape_coefficient(0.5, 0.2, 1.0)
