"""The programme of a property against every choice there is, and against a published-form set solved exactly."""

import csv
import itertools
from pathlib import Path

import numpy as np
import pytest

from rootcase.ground.errors import OutOfRange
from rootcase.science.choice.programme import GAP, Limits, Option, best_programme

NAMES = ("chips", "air", "hose", "spreader")


def random_options(rng, trees):
    return [Option(tree, float(rng.uniform(0, 100)), float(np.round(rng.uniform(10, 400))),
                   frozenset(rng.choice(NAMES, size=rng.integers(0, 3), replace=False).tolist()))
            for tree in range(trees) for _ in range(rng.integers(0, 4))]


def by_brute_force(options, visit_cost, minimum, budget):
    """Largest value over every choice of at most one option a tree."""
    per_tree = [[None] + [o for o in options if o.tree == tree] for tree in sorted({o.tree for o in options})]
    best = 0.0
    for choice in itertools.product(*per_tree):
        taken = [o for o in choice if o is not None]
        paid = sum(o.cost for o in taken) + visit_cost * len({v for o in taken for v in o.visits})
        if taken and (budget is None or max(paid, minimum) <= budget):
            best = max(best, sum(o.value for o in taken))
    return best


@pytest.mark.property
def test_equals_brute_force(long):
    rng = np.random.default_rng(20)
    for _ in range(400 if long else 40):
        options = random_options(rng, 5)
        visit_cost, minimum = float(rng.choice([0, 80])), float(rng.choice([0, 300]))
        budget = None if rng.random() < 0.1 else float(rng.uniform(0, 1200))
        found = best_programme(options, Limits(visit_cost=visit_cost, minimum_charge=minimum, budget=budget))
        best = by_brute_force(options, visit_cost, minimum, budget)
        assert best * (1 - GAP) - 1e-9 <= found.value <= best + 1e-9
        assert found.bound >= best - 1e-6
        assert budget is None or found.own_cost + found.shared_cost <= budget + 1e-6
        trees = [options[j].tree for j in found.chosen]
        assert len(trees) == len(set(trees))


@pytest.mark.reference
def test_thirty_trees_of_known_optimum():
    """Dynamic programme over the budget (numpy) gives 2994 at 4000; scipy 1.17.1 milp with gap 1e-4 the same."""
    rows = list(csv.DictReader((Path(__file__).parents[2] / "data/choice_mckp_1.csv").open()))
    options = [Option(int(r["tree"]), float(r["benefit"]), float(r["cost"]), frozenset())
               for r in rows if r["option"] != "0"]
    found = best_programme(options, Limits(visit_cost=0.0, minimum_charge=0.0, budget=4000.0))
    assert 2994 * (1 - GAP) <= found.value <= 2994
    assert found.bound >= 2994 - 1e-6


@pytest.mark.property
def test_a_shared_visit_is_paid_once():
    chips = frozenset({"chips"})
    options = [Option(tree, 1.0, 100.0, chips) for tree in range(3)]
    found = best_programme(options, Limits(visit_cost=150.0, minimum_charge=0.0, budget=450.0))
    assert (found.chosen, found.own_cost, found.shared_cost) == ((0, 1, 2), 300.0, 150.0)


@pytest.mark.property
def test_the_minimum_charge_is_topped_up_and_can_forbid():
    option = [Option(0, 1.0, 100.0, frozenset())]
    found = best_programme(option, Limits(visit_cost=0.0, minimum_charge=250.0, budget=250.0))
    assert (found.own_cost, found.shared_cost) == (100.0, 150.0)
    assert best_programme(option, Limits(visit_cost=0.0, minimum_charge=250.0, budget=249.0)).chosen == ()


@pytest.mark.property
def test_no_money_or_no_option_is_the_empty_choice():
    option = [Option(0, 1.0, 100.0, frozenset({"chips"}))]
    for options, budget in ((option, 0.0), ([], None)):
        found = best_programme(options, Limits(visit_cost=10.0, minimum_charge=20.0, budget=budget))
        assert (found.chosen, found.value, found.own_cost, found.shared_cost) == ((), 0.0, 0.0, 0.0)


def test_a_cost_below_zero_is_refused():
    with pytest.raises(OutOfRange, match="cost is outside its range"):
        best_programme([Option(0, 1.0, -1.0, frozenset())], Limits(visit_cost=0.0, minimum_charge=0.0, budget=None))
