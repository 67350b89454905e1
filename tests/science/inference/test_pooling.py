"""Pooling of shoots: truth recovered, honest width, and what must not matter."""

import numpy as np
import pytest

from rootcase.ground.errors import OutOfRange
from rootcase.science.inference.pooling import PoolingPriors, Shoots, pooled_log_shares

PRIORS = PoolingPriors(0.32, 0.24, 4, (0.2, 0.4), (0.2, 0.5), (0.1, 0.5), 0.5, 0.3, 0.5, (0.5, 0.3))


def property_of(shares, rng, *, healthy=3, shoots=10, years=4, yardstick=True, sd_tree=0.2):
    """Healthy trees first, then one tree a share; true group mean 400 mm."""
    trees = (healthy if yardstick else 0) + len(shares)
    is_yardstick = np.arange(trees) < (healthy if yardstick else 0)
    level = np.where(is_yardstick, sd_tree * rng.standard_normal(trees), 0.0)
    level[~is_yardstick] = np.log(shares)
    year_effect = 0.15 * rng.standard_normal(years)
    sides = (np.arange(trees), np.arange(shoots), np.arange(years))
    tree, shoot, year = (a.ravel() for a in np.meshgrid(*sides, indexing="ij"))
    branch = 0.24 * rng.standard_normal((trees, shoots))
    length = (np.log(400.0) + level[tree] + year_effect[year] + 0.1 * rng.standard_normal((trees, years))[tree, year]
              + branch[tree, shoot] + 0.32 * rng.standard_normal(tree.size))
    none = np.zeros(trees, np.int64)
    return Shoots(length, tree, year, tree * shoots + shoot, none, is_yardstick, none, none, none, np.zeros(trees),
                  np.array([np.log(400.0)]), np.array([0.5]), years)


@pytest.mark.property
def test_intervals_cover_the_truth_about_nine_times_in_ten(long):
    rng, runs = np.random.default_rng(7), 150 if long else 30
    truth = np.array([0.15, 0.5, 0.95])
    inside = []
    for _ in range(runs):
        draws = pooled_log_shares(property_of(truth, rng), PRIORS, 400, rng).log_share[3:]
        low, high = np.quantile(draws, [0.05, 0.95], axis=1)
        inside.append((low <= np.log(truth)) & (np.log(truth) <= high))
    covered = np.mean(inside)
    assert 0.80 <= covered <= 0.98, f"{covered:.2f} of {np.size(inside)} intervals hold the truth"


@pytest.mark.property
def test_a_dry_year_falls_on_both_sides():
    """A year that is short on every tree leaves the share where it was; short on one tree only, it lowers it."""
    rng = np.random.default_rng(3)
    data = property_of([0.5], rng)
    dry = data.log_length - 0.6 * (data.year == 1)
    both = Shoots(dry, *(getattr(data, f) for f in list(data.__slots__)[1:]))
    only = Shoots(np.where(data.tree == 3, dry, data.log_length), *(getattr(data, f) for f in list(data.__slots__)[1:]))
    before, after, moved = (float(np.median(pooled_log_shares(d, PRIORS, 1500, np.random.default_rng(1)).log_share[3]))
                            for d in (data, both, only))
    assert abs(after - before) < 0.03
    assert moved < before - 0.08


@pytest.mark.property
def test_a_bad_year_of_one_tree_shows_in_that_year_and_is_pooled_towards_the_others():
    """One tree's second year is halved: its share of that year falls, by less than half, and the others' hardly."""
    data = property_of([0.5], np.random.default_rng(4))
    halved = Shoots(data.log_length - np.log(2) * ((data.tree == 3) & (data.year == 1)),
                    *(getattr(data, f) for f in list(data.__slots__)[1:]))
    pooled = [pooled_log_shares(d, PRIORS, 2000, np.random.default_rng(1)) for d in (data, halved)]
    before, after = (np.median(p.log_share_of_year[3], axis=1) for p in pooled)
    assert -np.log(2) < (after - before)[1] < -0.2
    assert np.abs((after - before)[[0, 2, 3]]).max() < 0.5 * (before - after)[1]
    assert np.isnan(pooled[0].log_share_of_year[:3]).all()


@pytest.mark.property
def test_order_of_the_readings_does_not_matter():
    data = property_of([0.4], np.random.default_rng(5))
    order = np.random.default_rng(6).permutation(data.log_length.size)
    shuffled = Shoots(*(getattr(data, f)[order] for f in ("log_length", "tree", "year", "shoot")),
                      *(getattr(data, f) for f in list(data.__slots__)[4:]))
    one, two = (pooled_log_shares(d, PRIORS, 200, np.random.default_rng(2)).log_share[3] for d in (data, shuffled))
    np.testing.assert_allclose(one, two, rtol=0, atol=1e-9)


@pytest.mark.property
def test_without_a_yardstick_the_width_is_the_growth_class():
    rng = np.random.default_rng(8)
    alone = pooled_log_shares(property_of([0.5], rng, yardstick=False), PRIORS, 1500, rng).log_share[0]
    beside = pooled_log_shares(property_of([0.5], rng), PRIORS, 1500, rng).log_share[3]
    assert alone.std() > 2 * beside.std()
    assert alone.std() > 0.35


@pytest.mark.property
def test_more_shoots_narrow_and_one_healthy_tree_is_an_illustration():
    rng = np.random.default_rng(9)
    width = {n: pooled_log_shares(property_of([0.4], rng, shoots=n), PRIORS, 1500, rng).log_share[3].std()
             for n in (3, 20)}
    assert width[20] < width[3]
    one = pooled_log_shares(property_of([0.4], rng, healthy=1), PRIORS, 1500, rng).log_share[1].std()
    six = pooled_log_shares(property_of([0.4], rng, healthy=6), PRIORS, 1500, rng).log_share[6].std()
    assert one > 1.4 * six


@pytest.mark.property
def test_trees_with_few_shoots_are_drawn_towards_their_place():
    """A tree with one shoot leans on its neighbours; the same shoot alone keeps nearer to what it read."""
    rng = np.random.default_rng(10)
    data = property_of([0.2, 0.2, 0.2, 1.2], rng)
    keep = (data.tree < 6) | ((data.shoot == 60) & (data.year == 0))
    few = Shoots(*(getattr(data, f)[keep] for f in ("log_length", "tree", "year", "shoot")),
                 *(getattr(data, f) for f in list(data.__slots__)[4:]))
    together = np.median(pooled_log_shares(few, PRIORS, 2000, np.random.default_rng(1)).log_share[6])
    apart = Shoots(few.log_length, few.tree, few.year, few.shoot, few.tree_group, few.tree_is_yardstick,
                   np.array([0, 0, 0, 0, 0, 0, 1]), np.array([0, 0, 0, 0, 0, 0, 1]), np.array([0, 0, 0, 0, 0, 0, 1]),
                   few.tree_extra_sd, few.group_prior_log_mean, few.group_prior_log_sd, few.years)
    assert together < np.median(pooled_log_shares(apart, PRIORS, 2000, np.random.default_rng(1)).log_share[6])


def test_nothing_to_pool_is_refused():
    data = property_of([0.4], np.random.default_rng(1))
    empty = Shoots(*(getattr(data, f)[:0] for f in ("log_length", "tree", "year", "shoot")),
                   *(getattr(data, f) for f in list(data.__slots__)[4:]))
    with pytest.raises(OutOfRange, match="at least one length above 0 mm"):
        pooled_log_shares(empty, PRIORS, 10, np.random.default_rng(1))


@pytest.mark.property
def test_draws_are_the_posterior_by_the_closed_formula():
    """With every spread fixed the draws must have the mean and width of a normal law conditioned by hand."""
    fixed = PoolingPriors(0.32, 0.24, 1e9, (0.2, 0.0), (0.2, 0.0), (0.1, 0.0), 0.5, 0.3, 0.5, (0.5, 0.0))
    data = property_of(np.array([0.3]), np.random.default_rng(3), healthy=1, shoots=2, years=1)
    draws = pooled_log_shares(data, fixed, 40000, np.random.default_rng(4)).log_share[1]
    means = data.log_length.reshape(2, 2).mean(axis=1)
    own, noise = 0.5**2 + 0.3**2 + 0.5**2 + 0.5**2, (0.32**2 + 0.24**2) / 2 + 0.1**2
    both = 0.5**2 + 0.2**2  # the group's level and the year fall on both trees
    total = np.array([[both + 0.2**2 + noise, both], [both, both + own + noise]])
    gain = np.linalg.solve(total, [0.0, own])
    assert draws.mean() == pytest.approx(gain @ (means - np.log(400.0)), abs=0.02)
    assert draws.std() == pytest.approx(np.sqrt(own - gain @ [0.0, own]), rel=0.02)


@pytest.mark.property
def test_many_trees_leave_many_spreads_to_draw_from(long):
    """Sixty by --long; thirty each time, under the same bounds: a grid too coarse for one is so for the other, as the
    spread of trees is known only a root of two better from sixty."""
    rng = np.random.default_rng(5)
    crowd = property_of(np.exp(rng.normal(-1.0, 0.6, 60 if long else 30)), rng, healthy=4, shoots=8)
    spreads, times = np.unique(pooled_log_shares(crowd, PRIORS, 1000, rng).tree_sd, return_counts=True)
    assert len(spreads) > 50
    assert times.max() < 200
