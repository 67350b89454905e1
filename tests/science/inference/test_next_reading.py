"""Worth of a reading not yet taken: the published cases' Gaussian truths, and that noise is worth nothing."""

import csv
from pathlib import Path

import numpy as np
import pytest

from rootcase.ground.errors import OutOfRange
from rootcase.science.inference.next_reading import plan_value, variance_removed

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
    x, z, reading, rng = gaussian
    row, removed = case("next reading, Gaussian"), variance_removed(np.stack([2 * x + z]), reading, rng)
    assert abs(removed - float(row["expected"])) <= float(row["tolerance"])


@pytest.mark.published
def test_plan_value_of_the_gaussian_case(gaussian):
    x, _, reading, rng = gaussian
    row = case("plan value, Gaussian")
    assert abs(plan_value(np.stack([0 * x, x]), reading, rng) - float(row["expected"])) <= float(row["tolerance"])


@pytest.mark.published
def test_noise_is_worth_nothing(gaussian):
    x, z, _, rng = gaussian
    quantity = np.stack([2 * x + z])
    assert case("noise floor")["tolerance"] == "0.5 % of total"
    assert abs(variance_removed(quantity, rng.standard_normal(DRAWS), rng)) <= 0.005 * quantity.var()


@pytest.mark.property
def test_with_few_draws_the_correction_takes_the_noise_off():
    rng = np.random.default_rng(2)
    worth = [variance_removed(rng.standard_normal((1, 100)), rng.standard_normal(100), rng) for _ in range(200)]
    assert abs(np.mean(worth)) < 0.006


def test_a_reading_that_never_differs_is_refused():
    with pytest.raises(OutOfRange, match="at least ten draws that differ"):
        plan_value(np.zeros((2, 50)), np.ones(50), np.random.default_rng(1))
