"""What an observed share leaves of the draws."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from rootcase.ground.errors import OutOfRange
from rootcase.science.inference.posterior import MODEL_LOG_ERROR, posterior


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


@pytest.mark.reference
@pytest.mark.parametrize(("observed", "mean", "effective"), [(0.14, 0.15, 613), (0.50, 0.39, 215)])
def test_the_field_as_the_prototype_had_it(observed: float, mean: float, effective: float) -> None:
    from tests.science.tree.test_model_cases import attributed

    share = attributed("sports field clay").share
    found = posterior(share, observed, 0.18)
    order = np.argsort(share)
    median = share[order][np.searchsorted(np.cumsum(found.weights[order]), 0.5)]
    assert median == pytest.approx(mean, abs=0.03)
    assert found.effective_draws == pytest.approx(effective, rel=0.15)


def test_errors_of_nothing_are_refused() -> None:
    with pytest.raises(OutOfRange, match="the error of observation and model together"):
        posterior([0.5], 0.5, 0.0, model_log_error=0.0)
    with pytest.raises(OutOfRange, match="observed is outside its range"):
        posterior([0.5], 0.0, 0.1)
