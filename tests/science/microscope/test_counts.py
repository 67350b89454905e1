"""Truths about the intervals of counts, each against sums or another way of reckoning."""

from __future__ import annotations

from math import exp, inf, lgamma, log

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar
from scipy.stats import nbinom, poisson, t

from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange
from rootcase.science.microscope.clumping import clumped_limits, dispersion, mean_limits, measured_mean_limits
from rootcase.science.microscope.combining import (
    product_limits_delta,
    product_limits_drawn,
    ring_weighted_limits,
    ring_weighted_mean,
)
from rootcase.science.microscope.effort import (
    fields_needed,
    fields_needed_by_scatter,
    fields_still_needed,
    objects_needed,
)
from rootcase.science.microscope.observer import repeat_error
from rootcase.science.microscope.poisson import compare_rates, most_when_none_seen, poisson_limits

pytestmark = pytest.mark.property

fields = st.lists(st.integers(0, 60), min_size=2, max_size=15).filter(any)
confidences = st.floats(0.6, 0.99)


def chance_up_to(count: int, mean: float) -> float:
    """Of a Poisson count no larger, summed term by term."""
    return sum(exp(n * log(mean) - mean - lgamma(n + 1)) for n in range(count + 1))


@given(st.integers(0, 300), confidences)
def test_the_ends_are_where_the_poisson_sums_reach_half_of_the_rest(count: int, confidence: float) -> None:
    low, high = (float(end) for end in poisson_limits(count, confidence))
    beyond = (1.0 - confidence) / 2.0
    assert chance_up_to(count, high) == pytest.approx(beyond, rel=1e-8)
    assert low == 0.0 if count == 0 else 1.0 - chance_up_to(count - 1, low) == pytest.approx(beyond, rel=1e-8)


def test_the_exact_interval_covers_at_least_as_often_as_it_says() -> None:
    low, high = poisson_limits(counts := np.arange(400), 0.95)
    covered = [poisson.pmf(counts, mean)[(low <= mean) & (mean <= high)].sum() for mean in np.geomspace(0.05, 150, 300)]
    assert min(covered) >= 0.95 - 1e-12
    assert min(covered) < 0.96


def test_none_seen_has_an_upper_end_of_its_own() -> None:
    assert exp(-most_when_none_seen(0.9)) == pytest.approx(0.1)
    assert most_when_none_seen(0.95) < float(poisson_limits(0, 0.95)[1])


@given(st.integers(0, 80), st.floats(1, 50), st.integers(0, 80), st.floats(1, 50))
def test_two_rates_turned_round_are_the_same_answer(a: int, one: float, b: int, other: float) -> None:
    if a + b == 0:
        return
    here, there = compare_rates(a, one, b, other, 0.95), compare_rates(b, other, a, one, 0.95)
    assert here.p_two_sided == pytest.approx(there.p_two_sided, rel=1e-6)
    assert here.low == pytest.approx(1.0 / there.high if there.high else inf, rel=1e-9)
    assert here.low <= here.ratio <= here.high


def test_the_interval_of_a_ratio_covers() -> None:
    first, second = np.arange(24), np.arange(13)
    found = [[compare_rates(a, 2.0, b, 1.0, 0.9) if a + b else None for b in second] for a in first]
    holds = np.array([[each is None or each.low <= 1.5 <= each.high for each in row] for row in found])
    chance = np.outer(poisson.pmf(first, 9.0), poisson.pmf(second, 3.0))
    assert float(chance.sum()) > 0.9999
    assert 0.9 <= float(chance[holds].sum()) < 0.97


@given(fields)
@example([1] * 60)
def test_clumps_never_make_the_interval_narrower_than_chance_alone(counts: list[int]) -> None:
    low, high = clumped_limits(counts, 0.95)
    exact = [float(end) / len(counts) for end in poisson_limits(sum(counts), 0.95)]
    assert low <= exact[0]
    assert exact[1] <= high


@pytest.mark.parametrize("counts", [[0, 1, 0, 14, 2, 0, 0, 23, 1, 3], [7, 25, 4, 12, 6, 18, 5, 11, 9, 4]])
def test_the_ends_of_the_clumped_interval_lie_where_the_likelihood_is_cut(counts: list[int]) -> None:
    def best(mean: float) -> float:
        return -min(minimize_scalar(lambda u: -nbinom.logpmf(counts, exp(u), exp(u) / (exp(u) + mean)).sum(),
                                    bounds=(-5.0, 12.0), method="bounded").fun, 1e9)

    cut = best(float(np.mean(counts))) - t.ppf(0.975, len(counts) - 1) ** 2 / 2.0
    assert [best(end) for end in clumped_limits(counts, 0.95)] == pytest.approx([cut, cut], abs=2e-3)


def test_the_clumped_interval_covers_where_the_exact_one_does_not(long: bool) -> None:
    rng, trials = np.random.default_rng(5), 2000 if long else 120
    mean, k, clumped, exact = 6.0, 1.0, 0, 0
    for _ in range(trials):
        counts = rng.poisson(rng.gamma(k, mean / k, 10))
        low, high = clumped_limits(counts, 0.95)
        ends = [float(end) / 10 for end in poisson_limits(counts.sum(), 0.95)]
        clumped, exact = clumped + (low <= mean <= high), exact + (ends[0] <= mean <= ends[1])
    assert clumped / trials >= 0.94
    assert exact / trials < 0.75


def test_clumps_are_told_and_evenness_is_not_proved() -> None:
    assert dispersion([0, 1, 0, 14, 2, 0, 0, 23, 1, 3]).p_clumped < 1e-6
    even = dispersion([5, 5, 5, 5])
    assert (even.p_clumped, even.k, even.sd) == (1.0, inf, 0.0)


def test_how_often_chance_is_taken_for_clumps() -> None:
    rng = np.random.default_rng(3)
    p = np.array([dispersion(rng.poisson(8.0, 12)).p_clumped for _ in range(400)])
    assert 0.02 < (p < 0.05).mean() < 0.09


@given(st.floats(0.05, 0.9), st.floats(0.1, 100), st.floats(0.1, 50))
def test_more_precision_and_more_clumps_take_more_fields(wanted: float, mean: float, k: float) -> None:
    assert fields_needed(mean, k, wanted, 0.95) >= fields_needed(mean, 2 * k, wanted, 0.95)
    assert fields_needed(mean, k, wanted, 0.95) >= fields_needed(mean, k, 1.1 * wanted, 0.95)
    assert fields_needed(mean, inf, wanted, 0.95) * mean >= objects_needed(wanted, 0.95) - 1
    by_scatter = fields_needed_by_scatter((1 / mean + 1 / k) ** 0.5, wanted, 0.95)
    assert by_scatter == pytest.approx(fields_needed(mean, k, wanted, 0.95))


@given(fields)
def test_fields_counted_are_taken_off_and_none_is_needed_below_zero(counts: list[int]) -> None:
    need = [fields_still_needed(counts, wanted, 0.95) for wanted in (0.1, 0.3, 1.0)]
    assert need == sorted(need, reverse=True)
    by_chance = int(fields_needed(sum(counts) / len(counts), inf, 0.3, 0.95)) - len(counts)
    assert need[1] >= max(by_chance, 0)


def test_the_fields_asked_for_reach_the_precision_asked_for() -> None:
    rng = np.random.default_rng(9)
    near = []
    for _ in range(200):
        pilot = rng.poisson(rng.gamma(2.0, 4.0, 8))
        more = rng.poisson(rng.gamma(2.0, 4.0, fields_still_needed(pilot, 0.3, 0.95)))
        near.append(abs(np.concatenate((pilot, more)).mean() / 8.0 - 1.0) <= 0.3)
    assert np.mean(near) >= 0.93


@given(st.lists(st.floats(0, 100), min_size=2, max_size=10), st.floats(0.1, 10))
def test_a_mean_of_lengths_goes_with_the_unit(values: list[float], scale: float) -> None:
    assert mean_limits(np.array(values) * scale, 0.9) == pytest.approx(
        tuple(end * scale for end in mean_limits(values, 0.9)), abs=1e-9)


def test_rings_are_weighed_by_their_area() -> None:
    assert ring_weighted_mean([0, 1], [1, 2], [8.0, 4.0], [2.0, 2.0], [4, 4])[0] == pytest.approx((8 + 3 * 4) / 4)
    assert ring_weighted_mean([0], [5], [8.0], [2.0], [4]) == pytest.approx((8.0, 1.0))
    with pytest.raises(OutOfRange, match="outer radius"):
        ring_weighted_mean([0, 3], [3, 3], [1, 1], [1, 1], [2, 2])


def test_rings_that_are_alike_by_luck_are_no_surer_than_chance_makes_them() -> None:
    low, high = ring_weighted_limits([0, 3], [3, 6], [4.0, 4.0], [0.0, 0.0], [2, 2], 0.95)
    exact = [float(end) / 4 for end in poisson_limits(16, 0.95)]
    assert low < exact[0]
    assert high > exact[1]
    one = ring_weighted_limits([0], [5], [4.0], [0.0], [3], 0.95)
    assert one == pytest.approx([float(end) / 3 for end in poisson_limits(12, 0.95)])
    assert ring_weighted_limits([0], [5], [0.0], [0.0], [2], 0.95) == pytest.approx((0.0, -np.log(0.025) / 2))


def test_rings_of_few_fields_cover_as_often_as_they_say() -> None:
    rng = np.random.default_rng(11)
    inner, outer, means = [0, 3, 6], [3, 6, 9], np.array([5.0, 2.0, 1.0])
    truth = float((means * [9, 27, 45]).sum() / 81)
    held = []
    for counts in rng.poisson(means[:, None], (300, 3, 2)):
        low, high = ring_weighted_limits(inner, outer, counts.mean(axis=1), counts.std(axis=1, ddof=1), [2] * 3, 0.95)
        held.append(low <= truth <= high)
    assert np.mean(held) >= 0.94


@given(st.lists(st.floats(0.1, 100), min_size=2, max_size=10), st.floats(0.0, 0.5))
def test_a_mean_of_photos_is_never_surer_than_one_of_them(values: list[float], part: float) -> None:
    lengths = np.array(values)
    low, high = measured_mean_limits(lengths, lengths * (1 - part), lengths * (1 + part), 0.95)
    assert low <= lengths.mean() * (1 - part) * (1 + 1e-12)
    assert high >= lengths.mean() * (1 + part) * (1 - 1e-12)


def test_a_factor_that_is_exact_leaves_the_exact_interval() -> None:
    rng = np.random.default_rng(2)
    ends = [product_limits_drawn(n, np.full(200_000, 10.0), 0.95, rng) for n in (0, 3, 40)]
    exact = [tuple(10.0 * float(end) for end in poisson_limits(n, 0.95)) for n in (0, 3, 40)]
    assert np.array(ends) == pytest.approx(np.array(exact), rel=0.02)


def test_the_two_ways_of_combining_agree_where_errors_are_small() -> None:
    rng = np.random.default_rng(4)
    factors = rng.lognormal(0.0, 0.08, 200_000) * rng.lognormal(0.0, 0.05, 200_000) * 1e6
    drawn = product_limits_drawn(400, factors, 0.95, rng)
    delta = product_limits_delta(400e6, [400**-0.5, 0.08, 0.05], 0.95)
    assert drawn == pytest.approx(tuple(float(end) for end in delta), rel=0.01)


def test_what_an_observer_repeats_is_found_again() -> None:
    rng = np.random.default_rng(6)
    truth = rng.uniform(20, 60, 4000)
    found = repeat_error(truth + rng.normal(0, 2, 4000), truth + 3.0 + rng.normal(0, 2, 4000), 0.95)
    assert found.bias_low < -3.0 < found.bias_high < 0.0
    assert found.sd**2 == pytest.approx(4.0 + 9.0 / 2.0, rel=0.05)


@pytest.mark.parametrize(("ask", "message"), [
    (lambda: poisson_limits(2.5, 0.95), "not a count"),
    (lambda: poisson_limits(-1, 0.95), "outside its range"),
    (lambda: poisson_limits(1, 95.0), "confidence is outside"),
    (lambda: dispersion([4]), "tell nothing of clumps"),
    (lambda: clumped_limits([0, 0, 0], 0.95), "3 with 0 counted"),
    (lambda: fields_still_needed([0, 0], 0.2, 0.95), "2 with 0 counted"),
    (lambda: mean_limits([1.0], 0.95), "nothing of the scatter"),
    (lambda: compare_rates(0, 1, 0, 1, 0.95), "nothing was counted"),
    (lambda: repeat_error([1, 2], [1], 0.95), "no pairs"),
    (lambda: product_limits_drawn(3, [1.0] * 10, 0.95, np.random.default_rng(0)), "number of factor_draws"),
])
def test_what_cannot_be_answered_says_why(ask: object, message: str) -> None:
    with pytest.raises((OutOfRange, Missing, ImpossibleValue), match=message):
        ask()  # type: ignore[operator]
