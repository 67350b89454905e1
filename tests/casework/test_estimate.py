"""From draws to intervals."""

import numpy as np
import pytest
from scipy.stats import norm

from rootcase.casework.draws import observed_share, stream
from rootcase.casework.estimate import estimate
from rootcase.ground.errors import OutOfRange


@pytest.mark.property
def test_a_normal_sample_has_normal_quantiles():
    found = estimate(norm.ppf((np.arange(20000) + 0.5) / 20000))
    assert (found.low, found.inner_low, found.median, found.inner_high, found.high) == pytest.approx(
        norm.ppf([0.05, 0.25, 0.5, 0.75, 0.95]), abs=1e-3)


@pytest.mark.property
def test_a_weight_is_as_many_draws():
    rng = np.random.default_rng(2)
    draws, times = rng.normal(size=300), rng.integers(0, 6, 300)
    weighted, repeated = estimate(draws, times), estimate(np.repeat(draws, times))
    assert weighted.mean == pytest.approx(repeated.mean, abs=1e-12)
    assert weighted.median == pytest.approx(repeated.median, abs=0.02)
    assert weighted.low == pytest.approx(repeated.low, abs=0.05)


@pytest.mark.property
def test_order_and_weightless_draws_do_not_matter():
    rng = np.random.default_rng(3)
    draws, weights = rng.normal(size=50), rng.random(50)
    shuffled = rng.permutation(50)
    first, second = estimate(draws, weights), estimate(draws[shuffled], weights[shuffled])
    more = estimate(np.append(draws, 99.0), np.append(weights, 0.0))
    for name in ("mean", "median", "low", "high", "inner_low", "inner_high"):
        assert getattr(first, name) == pytest.approx(getattr(second, name), abs=1e-12)
        assert getattr(first, name) == pytest.approx(getattr(more, name), abs=1e-12)


def test_what_is_no_number_is_refused():
    with pytest.raises(OutOfRange, match="a draw is not a number"):
        estimate([1.0, np.nan])
    with pytest.raises(OutOfRange, match="weights cannot be used"):
        estimate([1.0, 2.0], [0.0, 0.0])


@pytest.mark.property
def test_streams_of_different_names_differ_and_the_same_agree():
    assert stream(1, "a", "b").random(3).tolist() == stream(1, "a", "b").random(3).tolist()
    assert len({stream(*which).random() for which in ((1, "a", "b"), (1, "ab"), (2, "a", "b"), (1, "a"))}) == 4


@pytest.mark.property
@pytest.mark.parametrize("times", [1, 4])
def test_observed_draws_keep_their_mean(times):
    logs = np.random.default_rng(1).normal(size=100)
    taken = observed_share(logs, 100 * times, np.random.default_rng(2))
    assert taken.mean() == pytest.approx(np.exp(logs).mean(), rel=1e-12)
    assert observed_share(None, 10, np.random.default_rng(2)) is None
