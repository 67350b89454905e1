"""One tree: what earns its money."""

import numpy as np
import pytest

from rootcase.ground.errors import OutOfRange
from rootcase.science.choice.decision import (
    LEAST_GAIN,
    best_of_one_tree,
    luck_between,
    nearly_as_good,
    net_benefit,
    worth_taking,
)
from rootcase.science.choice.programme import Limits, Option, best_programme


@pytest.mark.property
def test_a_gain_nobody_could_see_is_never_taken():
    assert best_of_one_tree([LEAST_GAIN - 1e-9], [0.0], 1000.0) is None
    assert best_of_one_tree([LEAST_GAIN], [0.0], 1000.0) == 0


@pytest.mark.property
def test_nor_one_that_costs_more_than_it_gives():
    assert best_of_one_tree([0.2], [20.0], 100.0) is None
    assert best_of_one_tree([0.2], [19.9], 100.0) == 0


@pytest.mark.property
def test_without_a_ceiling_the_programme_takes_what_one_tree_would():
    """The filter makes the largest gain and the largest net benefit the same option."""
    rng = np.random.default_rng(3)
    for _ in range(200):
        gain, cost = rng.uniform(0, 0.5, 6), rng.uniform(0, 40, 6)
        kept = np.flatnonzero(worth_taking(gain, cost, 100.0))
        alone = best_of_one_tree(gain, cost, 100.0)
        found = best_programme([Option(0, float(gain[j]), float(cost[j]), frozenset()) for j in kept], Limits())
        assert [int(kept[j]) for j in found.chosen] == ([] if alone is None else [alone])
        if alone is not None:
            left = net_benefit(gain, cost, 100.0)
            assert left[alone] == left[(gain >= LEAST_GAIN)].max()


@pytest.mark.property
def test_the_cheaper_of_two_that_luck_alone_sets_apart_is_taken_whatever_was_drawn():
    """A true lead of nothing: each draw of the lot has another ahead, and the choice stays."""
    ahead, chosen = [], []
    for seed in range(40):
        shared = np.random.default_rng(seed).normal([[0.3], [0.5]], [[0.05], [0.15]], (2, 300))
        gains, costs = shared, [10.0, 30.0]
        ahead.append(int(np.argmax(net_benefit(gains.mean(axis=1), costs, 100.0))))
        chosen.append(best_of_one_tree(gains, costs, 100.0))
    assert set(ahead) == {0, 1}
    assert chosen.count(0) >= 38
    surely = np.add(shared, [[0.0], [0.1]])
    assert best_of_one_tree(surely, costs, 100.0) == 1
    assert nearly_as_good(surely, costs, 100.0, 1).tolist() == [False, False]


@pytest.mark.property
def test_nothing_is_taken_that_is_surely_worse_than_the_best():
    """Each as good as its neighbour, the first surely worse than the last: the one between, both others told of."""
    luck = np.tile([1.0, -1.0], 200)
    gains = np.array([0.30 + 0.0 * luck, 0.405 + 0.1 * luck, 0.512 + 0.0 * luck])
    costs = [10.0, 20.0, 30.0]
    lefts = net_benefit(gains.mean(axis=1), costs, 100.0)
    assert lefts[2] - lefts[0] > luck_between(gains, 100.0, 2)[0]
    assert best_of_one_tree(gains, costs, 100.0) == 1
    assert nearly_as_good(gains, costs, 100.0, 1).tolist() == [True, False, True]


def test_a_worth_below_zero_is_refused():
    with pytest.raises(OutOfRange, match="worth is outside its range"):
        net_benefit([0.1], [1.0], -1.0)
