"""What an observed share leaves of the draws."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from scipy.stats import norm

from rootcase.casework.estimate import estimate
from rootcase.ground.errors import OutOfRange
from rootcase.science.inference.posterior import (
    MODEL_LOG_ERROR,
    OTHER_CAUSE_LEAVES,
    chance_largest,
    losses_to_other,
    posterior,
)
from rootcase.science.tree.attribution import attribute
from rootcase.science.tree.parameters import draw_parameters
from rootcase.science.tree.site import forest_floor
from tests.archetypes import archetypes, as_published, weather_of, with_reading_errors


@pytest.fixture
def predicted() -> np.ndarray:
    return np.exp(np.random.default_rng(1).normal(np.log(0.5), 0.3, 2000))


@pytest.mark.property
def test_it_agrees_with_the_normal_law_where_nothing_else_is_at_work(predicted: np.ndarray) -> None:
    # Normal prior and normal likelihood on the log scale: precisions add.
    found = posterior(predicted, 0.4, 0.2, chance_soil_alone=1.0)
    prior, seen = 1 / 0.3**2, 1 / (0.2**2 + MODEL_LOG_ERROR**2)
    mean = (prior * np.log(0.5) + seen * np.log(0.4)) / (prior + seen)
    assert abs(found.weights @ np.log(predicted) - mean) < 0.02
    assert found.chance_soil_alone == pytest.approx(1.0)
    assert found.lost_to_other_cause == 0.0


@pytest.mark.property
def test_the_chance_of_another_cause_by_the_long_way(predicted: np.ndarray) -> None:
    few = predicted[:50]
    spread = np.hypot(0.18, MODEL_LOG_ERROR)
    grid = np.linspace(0.05, 1.0, 20)
    alone = [0.7 * norm.pdf(np.log(0.2), np.log(share), spread) for share in few]
    other = [[0.3 / 20 * norm.pdf(np.log(0.2), np.log(share * left), spread) for left in grid] for share in few]
    whole = np.sum(alone) + np.sum(other)
    found = posterior(few, 0.2, 0.18)
    assert found.chance_soil_alone == pytest.approx(np.sum(alone) / whole, rel=1e-9)
    lost = sum(share * (1 - left) * cell for share, row in zip(few, other, strict=True)
               for left, cell in zip(grid, row, strict=True)) / whole
    assert found.lost_to_other_cause == pytest.approx(lost, rel=1e-9)


@pytest.mark.property
def test_poor_growth_on_good_soil_is_another_cause_and_good_growth_on_poor_soil_a_conflict(
        predicted: np.ndarray) -> None:
    poor, good = posterior(predicted, 0.1, 0.18), posterior(predicted, 3.0, 0.18)
    assert poor.temper == 1.0
    assert poor.chance_soil_alone < 0.05
    assert good.temper < 1.0
    assert good.outside_prediction
    assert good.effective_draws == pytest.approx(100.0, abs=1e-6)
    assert good.effective_draws_before < 100.0


@pytest.mark.property
def test_what_is_expected_is_no_conflict(predicted: np.ndarray) -> None:
    found = posterior(predicted, 0.5, 0.18)
    assert not found.outside_prediction
    assert found.weights.sum() == pytest.approx(1.0)


@pytest.mark.property
def test_a_share_far_from_every_draw_still_gives_numbers() -> None:
    found = posterior(np.full(500, 0.01), 15.0, 0.05)
    assert np.all(np.isfinite(found.weights))
    assert np.isfinite(found.chance_soil_alone)


@pytest.mark.property
@pytest.mark.parametrize("times", [1e-3, 1.0, 1e3])
def test_only_the_ratio_of_seen_and_predicted_counts(predicted: np.ndarray, times: float) -> None:
    """A yardstick on bad ground makes shares of 50 and more; they are weighed like any other."""
    far = posterior(predicted * 1e4 * times, 0.4 * 1e4 * times, 0.18)
    assert far.weights == pytest.approx(posterior(predicted * 1e4, 0.4 * 1e4, 0.18).weights, rel=1e-9)


@cache
def share_of(name: str, draws: int) -> np.ndarray:
    rng = np.random.default_rng(1)
    parameters, site = as_published(draw_parameters(draws, rng)), archetypes()[name]
    return attribute(with_reading_errors(site, draws, rng), forest_floor(site), parameters, [weather_of(name)],
                     threads=1, split_draws=1).share


FIELD, LAWN = "sports field clay", "healthy lawn tree"


@pytest.mark.reference
@pytest.mark.parametrize(
    ("site", "observed", "median", "low", "high", "effective", "alone", "lost"),
    [(FIELD, 0.14, 0.15, 0.09, 0.31, 613, 0.76, 0.02), (FIELD, 0.50, 0.39, 0.26, 0.58, 215, 0.90, 0.01),
     (LAWN, 0.95, 0.79, 0.65, 0.89, 924, 0.91, 0.01), (LAWN, 0.20, 0.76, 0.57, 0.88, 973, 0.01, 0.51)])
def test_the_cases_as_the_prototype_had_them(site: str, observed: float, median: float, low: float, high: float,
                                             effective: float, alone: float, lost: float) -> None:
    """1,000 draws there and here, of other seeds: medians within .02, ends within .04, a tenth of the draws left."""
    share = share_of(site, 1000)
    found = posterior(share, observed, 0.18)
    after = estimate(share, found.weights)
    assert after.median == pytest.approx(median, abs=0.02)
    assert (after.low, after.high) == pytest.approx((low, high), abs=0.04)
    assert found.effective_draws == pytest.approx(effective, rel=0.15)
    assert found.chance_soil_alone == pytest.approx(alone, abs=0.03)
    assert found.lost_to_other_cause == pytest.approx(lost, abs=0.015)
    assert found.temper == 1.0


@pytest.mark.reference
def test_growth_far_over_the_field_s_is_tempered_as_in_the_prototype_and_four_times_the_draws_need_no_temper() -> None:
    found = posterior(share_of(FIELD, 1000), 0.90, 0.18)
    assert found.effective_draws_before == pytest.approx(45, rel=0.4)
    assert found.temper == pytest.approx(0.59, abs=0.06)
    assert found.effective_draws == pytest.approx(100.0, abs=1e-6)
    more = posterior(share_of(FIELD, 4000), 0.90, 0.18)
    assert more.temper == 1.0
    assert found.outside_prediction
    assert more.outside_prediction


@pytest.mark.reference
@pytest.mark.parametrize(("site", "observed", "outside"), [(FIELD, 0.14, False), (LAWN, 0.95, False),
                                                           (LAWN, 0.20, False), (FIELD, 0.50, True)])
def test_only_growth_too_good_for_its_soil_disagrees_since_another_cause_may_take_any_part(
        site: str, observed: float, outside: bool) -> None:
    assert posterior(share_of(site, 1000), observed, 0.18).outside_prediction is outside


def test_errors_of_nothing_are_refused() -> None:
    with pytest.raises(OutOfRange, match="the error of observation and model together"):
        posterior([0.5], 0.5, 0.0, model_log_error=0.0)
    with pytest.raises(OutOfRange, match="observed is outside its range"):
        posterior([0.5], 0.0, 0.1)


@pytest.mark.property
def test_the_chance_to_be_the_largest_counts_draws_and_another_cause_together() -> None:
    """By hand: two draws of equal share; whatever is not soil alone takes y (1 - u), against .3 and .1."""
    after = posterior([0.5, 0.5], 0.3, 0.2)
    chances = chance_largest([0.5, 0.5], [[0.3, 0.1], [0.2, 0.05]], after)
    assert chances.sum() == pytest.approx(1.0)
    takes = 0.5 * (1.0 - OTHER_CAUSE_LEAVES)
    over_three, over_one = (after.left_by_draw[0][takes > least].sum() for least in (0.3, 0.1))
    assert chances[0] == pytest.approx(1.0 - (over_three + over_one) / 2.0)
    assert chances[1] == 0.0
    alone = posterior([0.5, 0.5], 0.3, 0.2, chance_soil_alone=1.0)
    assert chance_largest([0.5, 0.5], [[0.3, 0.1], [0.2, 0.05]], alone)[-1] == pytest.approx(0.0, abs=1e-12)


def test_losses_of_other_draws_are_refused() -> None:
    with pytest.raises(ValueError, match="2 shares, 3 losses and 2 weights do not go together"):
        chance_largest([0.5, 0.5], [[0.3, 0.1, 0.1]], posterior([0.5, 0.5], 0.3, 0.2))


@pytest.mark.property
def test_what_another_cause_may_take_is_counted_over_draws_and_factors_together() -> None:
    """Of equal draws each would lose the same mean: the interval must still be that of what may be lost."""
    after = posterior([0.8] * 20, 0.3, 0.18)
    losses, weights = losses_to_other([0.8] * 20, after)
    assert losses @ weights == pytest.approx(after.lost_to_other_cause)
    order = np.argsort(losses)
    low, high = np.interp([0.05, 0.95], np.cumsum(weights[order]), losses[order])
    assert high - low > 0.2
    with pytest.raises(ValueError, match="2 shares and 20 weights do not go together"):
        losses_to_other([0.5, 0.5], after)
