"""Worth of a reading not yet taken: the published cases' Gaussian truths, and that noise is worth nothing."""

import csv
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ndtr, ndtri

from rootcase.ground.errors import OutOfRange
from rootcase.science.inference.next_reading import plan_value, variance_removed
from rootcase.science.tree.attribution import attribute
from rootcase.science.tree.parameters import draw_parameters
from rootcase.science.tree.site import forest_floor, lock_up_risk
from tests.archetypes import archetypes, as_published, greensboro_twice

CASES = Path(__file__).parents[2] / "published" / "model-cases.csv"
DRAWS = 200_000


def case(name):
    with CASES.open(encoding="utf-8", newline="") as file:
        return next(row for row in csv.DictReader(file) if row["case"] == name)


@pytest.fixture(scope="module")
def gaussian():
    rng = np.random.default_rng(1)
    x, z = rng.standard_normal((2, DRAWS))
    return x, z, x + 0.5 * rng.standard_normal(DRAWS), rng


@pytest.mark.published
def test_variance_removed_of_the_gaussian_case(gaussian):
    x, z, reading, _ = gaussian
    row, found = case("next reading, Gaussian"), variance_removed(np.stack([2 * x + z]), reading)
    assert abs(found.removed - float(row["expected"])) <= float(row["tolerance"])


@pytest.mark.published
def test_plan_value_of_the_gaussian_case(gaussian):
    x, _, reading, _ = gaussian
    row, found = case("plan value, Gaussian"), plan_value(np.stack([0 * x, x]), reading)
    assert abs(found.worth - float(row["expected"])) <= float(row["tolerance"])
    assert found.chances == pytest.approx([0.5, 0.5], abs=0.01)


@pytest.mark.published
def test_noise_is_worth_nothing(gaussian):
    x, z, _, rng = gaussian
    quantity = np.stack([2 * x + z])
    assert case("noise floor")["tolerance"] == "0.5 % of total"
    found = variance_removed(quantity, rng.standard_normal(DRAWS))
    assert found.total == pytest.approx(quantity.var())
    assert abs(found.removed) <= 0.005 * found.total


@pytest.mark.property
def test_weights_are_a_change_of_law():
    """N(0,1) weighted by exp(x - 1/2) is N(1,1); x^2 then has Cov(x, x^2) = 2 and Var(x^2) = 6, of which 2^2 is x's."""
    rng = np.random.default_rng(1)
    x, z = rng.standard_normal((2, DRAWS))
    weights = np.exp(x - 0.5)
    found = variance_removed(np.stack([x**2 + z]), x, weights)
    assert found.total == pytest.approx(7.0, rel=0.05)
    assert found.removed == pytest.approx(6.0, rel=0.05)


@pytest.mark.property
def test_shuffled_readings_remove_nothing_in_the_mean():
    rng = np.random.default_rng(2)
    reading, quantity = rng.standard_normal(60), rng.standard_normal((2, 60))
    left = [variance_removed(quantity, rng.permutation(reading)) for _ in range(1500)]
    assert abs(np.mean([each.removed for each in left])) < 0.005
    assert np.std([each.removed for each in left]) <= np.mean([each.by_chance_sd for each in left])


@pytest.mark.property
@pytest.mark.parametrize("hangs_on", [True, False], ids=["the quantity", "something else"])
def test_noise_is_worth_nothing_under_weights_that_hang_on(hangs_on):
    rng = np.random.default_rng(3)
    quantity, other = rng.standard_normal((2, 1, 400))
    weights = np.exp(-2.0 * (quantity[0] - 1.0) ** 2) if hangs_on else np.exp(1.2 * other[0])
    left = [variance_removed(quantity, rng.standard_normal((2, 400)), weights) for _ in range(800)]
    assert abs(np.mean([each.removed / each.total for each in left])) < 0.008
    assert np.std([each.removed for each in left]) <= 1.3 * np.mean([each.by_chance_sd for each in left])


@pytest.mark.property
@pytest.mark.parametrize("numbers", [1, 6, 16])
def test_half_the_variance_is_found_as_half_however_many_numbers_a_reading_has(numbers):
    rng = np.random.default_rng(6)
    found = []
    for _ in range(150):
        reading, noise = rng.standard_normal((numbers, 200)), rng.standard_normal(200)
        found.append(variance_removed(np.stack([reading[0] + noise]), reading))
    assert np.mean([each.removed / each.total for each in found]) == pytest.approx(0.5, abs=0.02)


@pytest.mark.property
@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10_000), numbers=st.integers(1, 4), weighted=st.booleans())
def test_no_reading_removes_more_than_there_is(seed, numbers, weighted):
    rng = np.random.default_rng(seed)
    readings = rng.standard_normal((numbers, 300))
    quantities = rng.standard_normal((6, numbers)) @ readings + 0.1 * rng.standard_normal((6, 300))
    found = variance_removed(quantities, readings, rng.random(300) if weighted else None)
    assert 0.8 * found.total < found.removed <= found.total * (1 + 1e-12)


@pytest.mark.property
def test_the_larger_the_error_the_less_is_removed():
    rng = np.random.default_rng(4)
    x, z, error = rng.standard_normal((3, 4000))
    removed = [variance_removed(np.stack([x + z]), x + size * error).removed for size in (0.0, 0.3, 1.0, 3.0)]
    assert removed == sorted(removed, reverse=True)
    assert removed == pytest.approx([1.0, 1 / 1.09, 1 / 2, 1 / 10], abs=0.08)


@pytest.mark.property
def test_a_number_twice_is_a_number_once_and_one_that_never_differs_is_none():
    rng = np.random.default_rng(5)
    x = rng.standard_normal(500)
    quantity = np.stack([np.sin(x)])
    once = variance_removed(quantity, x)
    thrice = variance_removed(quantity, np.stack([x, np.full(500, 7.3), 2.0 - 5.0 * x]))
    assert thrice.removed == pytest.approx(once.removed, rel=1e-9)
    assert thrice.by_chance_sd == pytest.approx(once.by_chance_sd)
    assert variance_removed(quantity, np.full(500, 0.1)).removed == 0.0
    assert plan_value(np.stack([x, -x]), np.ones(500)).worth == 0.0


@pytest.mark.property
def test_a_plan_s_worth_at_few_draws_is_that_of_many_and_its_error_is_not_more_than_told():
    """What the best is worth without the reading and what the reading adds come to E max(0, E[X|y]) together."""
    rng = np.random.default_rng(8)
    x, error = rng.standard_normal((2, 400, 500))
    found = [plan_value(np.stack([np.zeros(500), a]), a + 0.5 * c) for a, c in zip(x, error, strict=True)]
    whole = [each.worth + max(0.0, a.mean()) for each, a in zip(found, x, strict=True)]
    assert np.mean(whole) == pytest.approx(0.35682, rel=0.02)
    told = np.mean([each.standard_error for each in found])
    assert 0.6 * told < np.std([each.worth for each in found]) < told


@pytest.mark.property
def test_noise_is_worth_no_money_in_nearly_every_try():
    rng = np.random.default_rng(9)
    worths = [plan_value(np.stack([np.zeros(300), rng.standard_normal(300)]), rng.standard_normal(300)).worth
              for _ in range(400)]
    assert np.mean([worth > 0.0 for worth in worths]) < 0.04
    assert np.mean(worths) < 0.01 * 0.3989


@pytest.mark.property
def test_weights_are_a_change_of_law_for_a_plan_too():
    """N(0,1) weighted by exp(x/2 - 1/8) is N(1/2,1): E max(0, x) - 1/2 known in closed form, x read without error."""
    x = np.random.default_rng(10).standard_normal(DRAWS)
    found = plan_value(np.stack([0 * x, x]), x, np.exp(0.5 * x - 0.125))
    assert found.worth == pytest.approx(np.exp(-0.125) / np.sqrt(2 * np.pi) - 0.5 * ndtr(-0.5), rel=0.03)
    assert (found.best, found.chances[0]) == (1, pytest.approx(ndtr(-0.5), abs=0.01))


@pytest.mark.property
def test_a_plan_under_its_least_is_not_taken():
    """X taken only from 1 upward: E[X; X > 1] is the normal density at 1."""
    x = np.random.default_rng(11).standard_normal(DRAWS)
    found = plan_value(np.stack([0 * x, x]), x, least=[0.0, 1.0])
    assert found.worth == pytest.approx(np.exp(-0.5) / np.sqrt(2 * np.pi), rel=0.03)
    assert (found.best, found.chances[1]) == (0, pytest.approx(ndtr(-1.0), abs=0.005))
    assert plan_value(np.stack([0 * x, x + 0.5]), x, least=[9.0, 1.0]).best == 0


@pytest.mark.parametrize(("change", "told"), [
    ({"quantities": np.zeros((1, 9)), "reading": np.arange(9.0)}, "at least 10 are needed"),
    ({"weights": np.eye(50)[0]}, "1 effective draws"), ({"weights": np.zeros(50)}, "the sum of the weights"),
    ({"weights": np.full(50, -1.0)}, "weights is outside"), ({"reading": np.full(50, np.nan)}, "reading is outside")])
def test_what_tells_nothing_is_refused(change, told):
    with pytest.raises(OutOfRange, match=told):
        variance_removed(**({"quantities": np.zeros((1, 50)), "reading": np.arange(50.0)} | change))


NOT_READ = {"bulk_density": 0.15, "organic_matter": 0.5, "resistance": 0.35, "refusal_depth": 0.6, "ece": 0.6,
            "ph": 0.7}
AS_READ = {"bulk_density": 0.05, "organic_matter": 0.12, "resistance": 0.15, "refusal_depth": 0.12, "ece": 0.15,
           "ph": 0.15}
MINUTES = {"refusal_depth": 5.0, "ece": 5.0, "ph": 10 / 3, "resistance": 10.0, "bulk_density": 15.0,
           "organic_matter": 10.0}  # what the worked figures come to


@cache
def worked_pct(draws, seed):
    """Share of the variance each reading removes on an established clay loam lawn of which nothing but the cover was
    read; the figures do not say what stood in, so these are ours."""
    rng = np.random.default_rng(seed)
    parameters = as_published(draw_parameters(draws, rng))
    z = {name: ndtri((rng.permutation(draws) + rng.random(draws)) / draws) for name in NOT_READ}
    off = {name: size * z[name] for name, size in NOT_READ.items()}
    site = replace(
        archetypes()["stalled lawn 5 yr"], years_since_planting=np.inf, trunk_diameter_m=0.3, crown_radius_m=4.0,
        lock_up_per_ph=lock_up_risk("medium"), bulk_density_mg_m3=1.4 + off["bulk_density"],
        organic_matter_pct=2.5 * np.exp(off["organic_matter"]), surface_resistance_mpa=1.5 * np.exp(off["resistance"]),
        refusal_depth_m=0.2 * np.exp(off["refusal_depth"]), ece_ds_m=1.2 * np.exp(off["ece"]), ph=7.0 + off["ph"])
    loss = attribute(site, forest_floor(site), parameters, [greensboro_twice()], threads=2, split_draws=1).loss
    worth = {name: variance_removed(loss, off[name] + size * rng.standard_normal(draws))
             for name, size in AS_READ.items()}
    return {name: 100 * each.removed / each.total for name, each in worth.items()}


@pytest.mark.reference
def test_the_worked_lawn_as_the_prototype_had_it():
    assert worked_pct(4000, 1) == pytest.approx(
        {"refusal_depth": 13, "ece": 8, "ph": 2, "resistance": 3, "bulk_density": 3, "organic_matter": 1}, abs=2)


@pytest.mark.reference
def test_the_worked_lawn_s_order_holds_at_a_thousand_draws():
    """The first two stand apart from the rest in every seed, and in their order on average: one seed's luck is as large
    as what parts them."""
    seeds = [{name: pct / MINUTES[name] for name, pct in worked_pct(1000, seed).items()} for seed in range(1, 7)]
    for per_minute in seeds:
        assert set(sorted(per_minute, key=lambda name: -per_minute[name])[:2]) == {"refusal_depth", "ece"}
        assert per_minute["organic_matter"] < 0.2
    assert sum(each["refusal_depth"] for each in seeds) > sum(each["ece"] for each in seeds)
