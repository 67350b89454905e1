"""Power against other programs' figures and against trials drawn by the thousand."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import ttest_ind

from rootcase.ground.errors import OutOfRange
from rootcase.science.trials.looks import level_of_look
from rootcase.science.trials.power import (
    least_difference,
    power_of_arms,
    power_of_pairs,
    power_of_several,
    power_of_shares,
    sd_of_change,
    trees_for_power,
)


@pytest.mark.reference
@pytest.mark.parametrize(("found", "kept"), [
    (power_of_arms(1, 1, 20, 20), 0.8689530), (power_of_arms(4, 5.5, 12, 12), 0.3990030),
    (trees_for_power(lambda n: power_of_arms(1, 1, n, n), 0.9), 22.02110),
    (trees_for_power(lambda n: power_of_arms(1, 1, n, n, sides=1), 0.9), 17.84713),
    (trees_for_power(lambda n: power_of_arms(4, 5.5, n, n), 0.8), 30.66918),
    (trees_for_power(lambda n: power_of_arms(2, 4, n, n), 0.8), 63.76576),
    (least_difference(lambda d: power_of_arms(d, 3, 10, 10), 0.8, 3.0), 3.974837),
    (power_of_arms(0.9, 1, 8, 16), 0.5109789), (power_of_pairs(0.7, 1, 15), 0.7128991),
    (power_of_several(0.4, 4, 6), 0.2892128), (power_of_shares(0.2, 0.5, 30), 0.6919810),
    (power_of_shares(0.2, 0.5, 30, by="arcsine"), 0.7027469),
    (trees_for_power(lambda n: power_of_shares(0.2, 0.5, n), 0.8), 38.48004),
    (power_of_arms(2, sd_of_change(1.2, 4, 6, 1, 1), 20, 20), 0.575694),
    (power_of_arms(2, sd_of_change(1.5, 3.5, 10, 2, 3), 12, 12), 0.785621),
    (trees_for_power(lambda n: power_of_arms(2, sd_of_change(1.2, 4, 6, 1, 1), n, n), 0.8), 33.22),
    (trees_for_power(lambda n: power_of_arms(2, sd_of_change(1.5, 3.5, 10, 2, 3), n, n), 0.8), 12.40),
    (power_of_arms(2, 2.5, 24, 24, blocks=6), 0.772135)])
def test_other_programs_say_so(found: float, kept: float) -> None:
    """R 4.2.2 power.t.test and power.prop.test, pwr 1.3-0 and statsmodels 0.15.0, computed; both tails."""
    assert found == pytest.approx(kept, rel=5e-6, abs=5e-5 if kept < 1 else 5e-3)


@pytest.mark.property
def test_trials_drawn_by_the_thousand_are_seen_as_often(long: bool) -> None:
    chance, many = np.random.default_rng(8), 200_000 if long else 4000
    one, other = chance.normal(2.0, 2.9, (12, many)), chance.normal(0.0, 2.9, (12, many))
    seen = float((ttest_ind(one, other).pvalue < 0.05).mean())
    assert seen == pytest.approx(power_of_arms(2.0, 2.9, 12, 12), abs=5 * np.sqrt(0.25 / many))


@pytest.mark.property
def test_power_at_no_difference_is_the_risk() -> None:
    assert power_of_arms(0.0, 1.0, 5, 9) == pytest.approx(0.05)
    assert trees_for_power(lambda n: power_of_arms(0.0, 1.0, n, n), 0.8) == float("inf")
    with pytest.raises(OutOfRange, match="no more than the risk"):
        least_difference(lambda d: power_of_arms(d, 1.0, 5, 5), 0.04, 1.0)


@pytest.mark.property
@pytest.mark.parametrize(("trees", "difference"), [(1.01, 2.0), (1.5, 2.0), (100.0, 10.0), (1.01, -50.0)])
def test_an_effect_far_off_has_a_power_too(trees: float, difference: float) -> None:
    power = power_of_arms(difference, 1.0, trees, trees)
    assert 0.05 <= power <= 1.0
    assert power == pytest.approx(power_of_arms(-difference, 1.0, trees, trees))
    assert trees_for_power(lambda many: power_of_arms(difference, 1.0, many, many), 0.8) > 1.0


@pytest.mark.property
def test_looking_every_autumn_holds_what_was_said(long: bool) -> None:
    """Four looks at a growing trial in which nothing was done to anything: one in ten shows something, at most."""
    chance, many, wrong = np.random.default_rng(4), 20_000 if long else 2000, {"shared": 0, "each": 0}
    one, other = chance.normal(size=(2, 4, 10, many))
    for look in range(4):
        p = ttest_ind(one[:look + 1].reshape(-1, many), other[:look + 1].reshape(-1, many)).pvalue
        wrong_now = {"shared": p < 1 - level_of_look(0.9, look + 1), "each": p < 0.1}
        wrong = {name: wrong[name] | wrong_now[name] for name in wrong}
    assert float(np.mean(wrong["shared"])) <= 0.1
    assert float(np.mean(wrong["each"])) > 0.15  # what a look a year would do without it


def test_shares_of_the_risk_sum_to_it() -> None:
    assert sum(1 - level_of_look(0.9, look) for look in range(1, 10_000)) == pytest.approx(0.1, rel=1e-3)
