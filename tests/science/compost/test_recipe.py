"""Recipes: masses balance, what cannot be is refused with the reason, and the cheapest mix is the cheapest."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rootcase.ground.errors import ImpossibleValue, OutOfRange
from rootcase.science.compost.feedstocks import feedstock, printed_spread, rows_of
from rootcase.science.compost.goals import second_for_carbon_nitrogen, second_for_moisture, two_for_both
from rootcase.science.compost.material import WATER, Material, carbon_from_ratio_pct, stacked
from rootcase.science.compost.mix import mix_carbon_nitrogen, mix_moisture_pct, water_to_add_kg
from rootcase.science.compost.reach import Bounds, reach, rows, sums
from rootcase.science.compost.spread import Spread, mix_interval, unmeasured
from rootcase.science.compost.yard import Yard, cheapest

pytestmark = pytest.mark.property

materials = st.builds(lambda wet, nitrogen, ratio: Material(wet, min(nitrogen * ratio, 60.0), nitrogen),
                      st.floats(5, 90), st.floats(0.1, 6), st.floats(8, 500))
masses = st.floats(1, 1000)


@given(st.lists(st.tuples(masses, materials), min_size=1, max_size=5))
def test_a_mix_holds_what_went_into_it(parts: list[tuple[float, Material]]) -> None:
    mass, stuff = [part[0] for part in parts], stacked(tuple(part[1] for part in parts))
    water = sum(kg * each.moisture_pct / 100 for kg, each in parts)
    dry = [kg * (1 - each.moisture_pct / 100) for kg, each in parts]
    ratio = (sum(kg * each.carbon_pct for kg, (_, each) in zip(dry, parts, strict=True))
             / sum(kg * each.nitrogen_pct for kg, (_, each) in zip(dry, parts, strict=True)))
    assert float(mix_moisture_pct(mass, stuff.moisture_pct)) == pytest.approx(100 * water / sum(mass))
    assert float(mix_carbon_nitrogen(mass, stuff)) == pytest.approx(ratio)


@given(masses, materials, materials, st.floats(10, 90), st.floats(8, 200))
def test_a_second_material_brings_the_goal_or_cannot(kg: float, one: Material, two: Material, wet: float,
                                                     ratio: float) -> None:
    pair = stacked((one, two))
    found = second_for_moisture(kg, one, two, wet)
    if found.mass_kg:
        assert float(mix_moisture_pct(found.mass_kg, pair.moisture_pct)) == pytest.approx(wet)
    else:
        assert found.reach is not None
        assert not min(one.moisture_pct, two.moisture_pct) < wet < max(one.moisture_pct, two.moisture_pct)
    found = second_for_carbon_nitrogen(kg, one, two, ratio)
    if found.mass_kg:
        assert float(mix_carbon_nitrogen(found.mass_kg, pair)) == pytest.approx(ratio)
    else:
        ends = sorted(each.carbon_pct / each.nitrogen_pct for each in (one, two))
        assert not ends[0] < ratio < ends[1]


@given(masses, materials, materials, materials | st.just(WATER), st.floats(30, 80), st.floats(15, 60))
def test_two_materials_bring_both_goals_or_the_reason(kg: float, known: Material, one: Material, two: Material,
                                                      wet: float, ratio: float) -> None:
    try:
        found = two_for_both([kg], stacked((known,)), (one, two), wet, ratio)
    except ImpossibleValue:
        assume(False)
        raise
    if found.mass_kg:
        mass = [kg, *found.mass_kg]
        assert min(mass) >= 0
        assert float(mix_moisture_pct(mass, stacked((known, one, two)).moisture_pct)) == pytest.approx(wet, rel=1e-6)
        assert float(mix_carbon_nitrogen(mass, stacked((known, one, two)))) == pytest.approx(ratio, rel=1e-6)
    else:
        assert found.reach is not None
        assert found.reach.goal in ("moisture", "carbon_nitrogen", "both")
        assert found.reach.missing


def test_a_refusal_says_between_what_and_what_is_missing() -> None:
    grass, leaves, shrubs = Material(82.0, 57.8, 3.4), Material(38.0, 48.6, 0.9), Material(15.0, 53.0, 1.0)
    refused = two_for_both([100.0], stacked((grass,)), (leaves, shrubs), 60.0, 30.0)
    assert refused.mass_kg is None
    assert refused.reach is not None
    assert (refused.reach.goal, refused.reach.missing) == ("both", ("dry", "nitrogen"))
    assert refused.reach.carbon_nitrogen == pytest.approx((31.6, 34.6), abs=0.1)  # at 60 %, with shrubs or with leaves
    wet = second_for_moisture(10.0, grass, Material(75.0, 40.0, 2.0), 60.0)
    assert wet.reach is not None
    assert (wet.reach.goal, wet.reach.missing) == ("moisture", ("dry",))
    assert wet.reach.moisture_pct == pytest.approx((75, 82))
    sawdust = two_for_both([100.0], Material([39.0], [106.08], [0.24]), (leaves, WATER), 60.0, 30.0)
    assert sawdust.reach is not None
    assert (sawdust.reach.goal, sawdust.reach.missing) == ("carbon_nitrogen", ("nitrogen",))
    with pytest.raises(ImpossibleValue, match="pull the mix the same way"):
        two_for_both([100.0], stacked((grass,)), (leaves, leaves), 60.0, 30.0)


def test_what_holds_no_nitrogen_has_no_ratio() -> None:
    with pytest.raises(OutOfRange, match="the mix holds no nitrogen"):
        mix_carbon_nitrogen([10.0], stacked((WATER,)))
    assert reach(sums([1.0], stacked((WATER,))), Bounds(carbon_nitrogen=(25.0, 30.0))).missing == ("nitrogen",)


@given(masses, st.floats(0, 60), st.floats(0, 35))
def test_water_brings_the_moisture_asked_for(kg: float, wet: float, more: float) -> None:
    added = float(water_to_add_kg(kg, wet, wet + more))
    assert float(mix_moisture_pct([kg, added], [wet, 100.0])) == pytest.approx(wet + more)


def yard_of(generator: np.random.Generator) -> tuple[Yard, Bounds, tuple[float, float]]:
    """Three materials and water, a few buckets of each."""
    nitrogen = generator.uniform(0.3, 4, 3)
    stuff = Material(np.append(generator.uniform(8, 85, 3), 100.0), np.append(generator.uniform(38, 54, 3), 0.0),
                     np.append(nitrogen, 0.0))
    low, wet = float(generator.uniform(18, 28)), float(generator.uniform(42, 55))
    least = float(generator.uniform(0.05, 0.2))
    return (Yard(generator.uniform(1, 15, 4), [0.02, 0.02, 0.02, 0.0], [*generator.integers(0, 6, 3), 0.5],
                 generator.integers(1, 9, 4), stuff),
            Bounds((wet, wet + 12), (low, low + 12)), (least, least + 0.1))


def brute_force(yard: Yard, goal: Bounds, volume_m3: tuple[float, float]) -> float:
    """Least cost over every choice; infinite where none fits."""
    lines = rows(sums(yard.unit_mass_kg, yard.material), goal)
    choices = np.array(list(product(*(range(int(most) + 1) for most in np.asarray(yard.most_units)))))
    volume = choices @ np.asarray(yard.unit_volume_m3)
    fits = ((lines @ choices.T <= 1e-6).all(axis=0) & (volume >= volume_m3[0] - 1e-9) & (volume <= volume_m3[1] + 1e-9))
    return float((choices @ np.asarray(yard.unit_cost))[fits].min()) if fits.any() else np.inf


def test_the_cheapest_mix_is_the_cheapest_of_all(long: bool) -> None:
    found = {"mix": 0, "none": 0}
    for seed in range(400 if long else 40):
        yard, goal, volume_m3 = yard_of(np.random.default_rng([17, seed]))
        mix, least = cheapest(yard, goal, volume_m3), brute_force(yard, goal, volume_m3)
        if mix.units is None:
            assert least == np.inf
            assert mix.reach is not None
            found["none"] += 1
        else:
            assert mix.cost == pytest.approx(least)
            assert goal.moisture_pct is not None
            wet = float(mix_moisture_pct(mix.units * np.asarray(yard.unit_mass_kg), yard.material.moisture_pct))
            assert goal.moisture_pct[0] - 1e-5 <= wet <= goal.moisture_pct[1] + 1e-5
            found["mix"] += 1
    assert min(found.values()) >= 5


def test_a_yard_that_cannot_says_why() -> None:
    leaves = Yard([5.0, 19.0], [0.02, 0.0], [0.0, 0.0], [100, 10], stacked((Material(38.0, 48.6, 0.9), WATER)))
    poor = cheapest(leaves, Bounds((50.0, 60.0), (25.0, 40.0)), (1.0, 2.0))
    assert poor.reach is not None
    assert (poor.reach.goal, poor.reach.missing) == ("carbon_nitrogen", ("nitrogen",))
    small = cheapest(leaves, Bounds(), (5.0, 6.0))
    assert small.reach is not None
    assert small.reach.goal == "volume"
    whole = cheapest(leaves, Bounds(), (0.025, 0.03))
    assert whole.reach is not None
    assert whole.reach.goal == "whole_units"
    with pytest.raises(OutOfRange, match="part of a unit"):
        cheapest(leaves._replace(most_units=[1.5, 1.0]), Bounds(), (0.02, 0.03))


def test_every_row_of_the_library_can_be_mixed_once_its_moisture_is_known() -> None:
    assert len(rows_of("")) == 49
    for row in rows_of(""):
        spread = printed_spread(row, 50.0 if row.moisture_pct[1] is None else None)
        assert float(spread.low.nitrogen_pct) <= float(spread.middle.nitrogen_pct) <= float(spread.high.nitrogen_pct)
    with pytest.raises(OutOfRange, match="moisture_pct"):
        printed_spread(feedstock("potato_tops"))
    assert len(rows_of("leaves")) == 3


def test_measuring_narrows_the_interval_and_draws_repeat() -> None:
    middle = Material([77.0, 35.0, 100.0], [45.0, 50.0, 0.0], [2.4, 0.75, 0.0])
    wide = unmeasured(middle)
    ones = [mix_interval([10.0, 6.8, 2.0], wide, np.random.default_rng(2)) for _ in range(2)]
    assert ones[0] == ones[1]
    narrow = mix_interval([10.0, 6.8, 2.0], Spread(middle, middle, middle), np.random.default_rng(2))
    exact = float(mix_carbon_nitrogen([10.0, 6.8, 2.0], middle))
    assert narrow.carbon_nitrogen == pytest.approx((exact,) * 3)
    assert ones[0].carbon_nitrogen[0] < exact < ones[0].carbon_nitrogen[2]
    with pytest.raises(OutOfRange, match="middle above the low end"):
        mix_interval([1.0], Spread(*(stacked((Material(wet, 45.0, 1.0),)) for wet in (60.0, 50.0, 70.0))),
                     np.random.default_rng(2))


def test_a_carbon_no_matter_can_hold_is_refused() -> None:
    with pytest.raises(OutOfRange, match="carbon_pct"):
        carbon_from_ratio_pct(2.0, 100.0)
