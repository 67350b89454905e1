"""The knapsack: known optima, every choice there is, a table over every sum, and bounds that are true."""

import csv
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from rootcase.ground.errors import OutOfRange
from rootcase.science.choice import core
from rootcase.science.choice.knapsack import multiple_choice
from rootcase.science.choice.programme import GAP, Limits, Option, best_programme
from tests.science.choice.knapsacks import by_every_choice, by_every_sum, trees_of_five_options

CASES = (  # Pisinger 1995 names such kinds (memory): how benefit hangs on cost
    ("free", lambda rng, c: rng.integers(-50, 1000, c.size).astype(float)),
    ("near the cost", lambda rng, c: np.maximum(1.0, c + rng.integers(-100, 101, c.size))),
    ("above the cost", lambda rng, c: c + 100.0),
    ("below the cost", lambda rng, c: c - 100.0),
    ("the cost", lambda rng, c: c.copy()),
    ("few values", lambda rng, c: rng.integers(1, 4, c.size).astype(float)),
)


def check(rows, budget, found):
    """What must hold of any answer, in exact arithmetic."""
    tree, cost, benefit = rows
    first = list(dict.fromkeys(tree.tolist()))
    assert len(found.chosen) == len(first)
    assert all(row == -1 or tree[row] == each for each, row in zip(first, found.chosen, strict=True))
    taken = [row for row in found.chosen if row >= 0]
    paid = sum((Fraction(str(cost[row])) for row in taken), Fraction(0))
    gained = sum((Fraction(str(benefit[row])) for row in taken), Fraction(0))
    assert float(paid) <= budget
    assert found.total_cost == pytest.approx(float(paid), rel=1e-14)
    assert found.total_benefit == pytest.approx(float(gained), rel=1e-14)
    assert found.bound >= found.total_benefit


@pytest.mark.reference
@pytest.mark.parametrize(("seed", "trees", "budget", "optimum", "least_paid"), [
    (1, 30, 4_000, 2994, 3998), (2, 100, 12_000, 8831, 11_999), (3, 1_000, 100_000, 74_679, None),
    (4, 10_000, 1_000_000, 753_451, None)])
def test_optima_of_a_table_over_every_sum(seed, trees, budget, optimum, least_paid):
    """computed: dynamic programme over the budget, numpy 2.4.6, PCG64 seeds 1 to 4."""
    rows = trees_of_five_options(seed, trees)
    found = multiple_choice(*rows, budget)
    check(rows, budget, found)
    assert (found.total_benefit, found.bound) == (optimum, optimum)
    assert least_paid is None or found.total_cost == least_paid


@pytest.mark.reference
def test_the_file_of_thirty_trees_is_the_generator_s():
    lines = list(csv.DictReader((Path(__file__).parents[2] / "data/choice_mckp_1.csv").open()))
    written = np.array([[float(line[name]) for name in ("tree", "cost", "benefit")] for line in lines]).T
    assert np.array_equal(written, np.array(trees_of_five_options(1, 30)))


@pytest.mark.published
@pytest.mark.parametrize(("capacity", "weights", "values", "optimum", "items"), [
    (165, (23, 31, 29, 44, 53, 38, 63, 85, 89, 82), (92, 57, 49, 68, 60, 43, 67, 84, 87, 72), 309, (0, 1, 2, 3, 5)),
    (750, (70, 73, 77, 80, 82, 87, 90, 94, 98, 106, 110, 113, 115, 118, 120),
     (135, 139, 149, 150, 156, 163, 173, 184, 192, 201, 210, 214, 221, 229, 240), 1458, None)],
    ids=["P01", "P07"])
def test_single_knapsacks_of_a_published_set(capacity, weights, values, optimum, items):
    """Burkardt, Data for the 01 knapsack problem, P01 and P07 (memory); a single item a tree is a plain knapsack."""
    found = multiple_choice(np.arange(len(weights)), weights, values, capacity)
    assert (found.total_benefit, found.bound) == (optimum, optimum)
    assert items is None or tuple(row for row in found.chosen if row >= 0) == items


@pytest.mark.property
@pytest.mark.parametrize("kind", range(len(CASES) + 1))
def test_equals_every_choice_there_is(kind, long):
    """Small problems of whole and of decimal figures: benefit, cheapest cost and bound are all exact."""
    rng = np.random.default_rng(30 + kind)
    for turn in range(1500 if long else 60):
        size = int(rng.integers(1, 12))
        tree = rng.integers(0, 5, size) * 7 - 3
        cost = rng.integers(0, (4, 30, 1000)[turn % 3], size).astype(float)
        if kind == len(CASES):
            cost, benefit = np.round(rng.uniform(0, 1, size), 2), np.round(rng.uniform(-0.1, 1, size), 1)
        else:
            benefit = CASES[kind][1](rng, cost)
        budget = float(rng.choice([0.0, 0.3, rng.integers(0, 40), round(rng.uniform(0, cost.sum() + 1), 3), 1e9]))
        found = multiple_choice(tree, cost, benefit, budget)
        check((tree, cost, benefit), budget, found)
        most, paid = by_every_choice((tree, cost, benefit), budget)
        told = tuple(map(float, (most, most, paid)))
        assert (found.total_benefit, found.bound, found.total_cost) == pytest.approx(told, rel=1e-14)


@pytest.mark.property
def test_figures_that_are_no_decimals_keep_the_budget_and_the_bound(long):
    rng = np.random.default_rng(40)
    for turn in range(1500 if long else 150):
        tree, cost = rng.integers(0, 5, 11), rng.uniform(0, 10, 11)
        benefit = cost.copy() if turn % 3 == 0 else rng.uniform(-1, 10, 11)
        budget = float(rng.choice([0.0, rng.uniform(0, 30), cost[:3].sum(), 1e9]))
        found = multiple_choice(tree, cost, benefit, budget)
        check((tree, cost, benefit), budget, found)
        safely, most = (float(by_every_choice((tree, cost, benefit), limit)[0]) for limit in
                        (budget * (1 - 1e-11), budget))
        assert found.total_benefit >= safely - 1e-11
        assert found.bound >= most * (1 - 1e-14)


@pytest.mark.property
@pytest.mark.parametrize(("kind", "benefit_of"), CASES, ids=[kind for kind, _ in CASES])
def test_equals_a_table_over_every_sum(kind, benefit_of, long):
    rng = np.random.default_rng(50)
    for _ in range(20 if long else 2):
        tree, cost = np.repeat(np.arange(60), 4), rng.integers(1, 301, 240).astype(float)
        benefit, budget = benefit_of(rng, cost), int(rng.integers(100, 9000))
        found = multiple_choice(tree, cost, benefit, budget)
        check((tree, cost, benefit), budget, found)
        most = by_every_sum((tree, cost, benefit), budget)
        assert (found.total_benefit, found.bound) == (most, most), kind


@pytest.mark.property
def test_a_search_that_is_cut_keeps_a_true_bound(monkeypatch):
    monkeypatch.setattr(core, "MOST_STATES", 20)
    monkeypatch.setattr(core, "FEWEST_STATES", 20)
    rng, apart = np.random.default_rng(60), 0
    for _ in range(12):
        tree, cost = np.repeat(np.arange(40), 3), 2.0 * rng.integers(50, 300, 120)
        benefit, budget = np.maximum(1.0, cost - 90), int(rng.integers(500, 4000))
        found = multiple_choice(tree, cost, benefit, budget)
        check((tree, cost, benefit), budget, found)
        assert found.total_benefit <= by_every_sum((tree, cost, benefit), budget) <= found.bound
        apart += found.bound > found.total_benefit
    assert apart, "no search was cut: the test says nothing"


@pytest.mark.property
def test_equals_the_programme_where_only_money_limits():
    for seed in range(6):
        tree, cost, benefit = trees_of_five_options(seed + 10, 40)
        options = [Option(int(t), float(b), float(c), frozenset())
                   for t, c, b in zip(tree, cost, benefit, strict=True)]
        exact = multiple_choice(tree, cost, benefit, 5000)
        found = best_programme(options, Limits(budget=5000.0))
        assert exact.total_benefit * (1 - GAP) <= found.value <= exact.total_benefit <= found.bound + 1e-6


@pytest.mark.property
def test_order_names_and_useless_options_change_nothing():
    tree, cost, benefit = trees_of_five_options(7, 50)
    plain = multiple_choice(tree, cost, benefit, 5000)
    rng = np.random.default_rng(70)
    shuffled = rng.permutation(tree.size)
    worse = multiple_choice(np.append(tree, tree)[(order := np.append(shuffled, shuffled + tree.size))],
                            np.append(cost, cost + 1)[order], np.append(benefit, benefit - 1)[order], 5000)
    bare = multiple_choice(tree[cost > 0], cost[cost > 0], benefit[cost > 0], 5000)
    assert {each.total_benefit for each in (plain, worse, bare)} == {plain.total_benefit}
    assert {each.total_cost for each in (plain, worse, bare)} == {plain.total_cost}
    assert (-1 in bare.chosen, -1 in plain.chosen) == (True, False)


@pytest.mark.property
def test_what_costs_nothing_is_taken_and_what_harms_is_not():
    found = multiple_choice([5, 5, 2, 9], [0.0, 0.0, 0.0, 10.0], [3.0, 4.0, -1.0, 8.0], 0.0)
    assert (found.total_benefit, found.total_cost, found.bound, found.chosen) == (4.0, 0.0, 4.0, (1, -1, -1))


@pytest.mark.property
def test_a_tenth_and_two_tenths_fit_three_tenths():
    found = multiple_choice([0, 1], [0.1, 0.2], [1.0, 1.0], 0.3)
    assert (found.total_benefit, found.total_cost) == (2.0, 0.3)
    assert multiple_choice([0, 1], [0.1, 0.2], [1.0, 1.0], 0.29).total_benefit == 1.0
    assert multiple_choice(range(8), [0.1] * 8, [1.0] * 8, np.inf).total_cost == 0.8


@pytest.mark.parametrize(("cost", "benefit", "budget", "told"), [
    (-1.0, 1.0, 5.0, "cost is outside"), (1.0, np.nan, 5.0, "benefit is outside"),
    (1.0, 1.0, -5.0, "budget is outside"), (1.0, 1.0, np.nan, "budget is outside"),
    (np.inf, 1.0, 5.0, "cost is outside"),
    ([1.0, 2.0], 1.0, 5.0, "differ in length")])
def test_what_cannot_be_is_refused(cost, benefit, budget, told):
    with pytest.raises(OutOfRange, match=told):
        multiple_choice([0], cost, benefit, budget)
