"""Pooling against other programs' figures, closed forms, and itself turned about."""

from __future__ import annotations

import csv

import numpy as np
import pytest

from rootcase.ground.errors import OutOfRange
from rootcase.science.trials.believed import Prior, believed_after
from rootcase.science.trials.freedom import answered
from rootcase.science.trials.several import together, together_in_groups
from tests.reference.metafor import KEPT, moderator
from tests.science.trials.effects import effects

SCHOOLS = np.array([28.0, 8, -3, 7, -1, 1, 18, 12]), np.array([15.0, 10, 16, 11, 9, 11, 10, 18]) ** 2
"""Rubin 1981, J. Educ. Stat. 6:377; Gelman et al., Bayesian Data Analysis, sect. 5.5."""
VACCINE = (
    np.array([-0.88931133, -1.58538866, -1.34807315, -1.44155119, -0.21754732, -0.78611559, -1.62089822, 0.01195233,
              -0.46941765, -1.37134480, -0.33935883, 0.44591340, -0.01731395]),
    np.array([0.32558477, 0.19458112, 0.41536797, 0.02001003, 0.05121017, 0.00690562, 0.22301725, 0.00396158,
              0.05643421, 0.07302479, 0.01241221, 0.53250585, 0.07140466]))
"""Log risk ratios of 13 trials: Colditz et al. 1994, JAMA 271:698, computed from its counts."""
LATITUDE = np.array([44, 55, 42, 52, 13, 44, 19, 13, 27, 42, 18, 33, 33.0])


@pytest.mark.reference
@pytest.mark.parametrize(("method", "mu", "se", "tau2", "i2", "low", "high"), [
    ("dl", -0.7141172, 0.1787421, 0.3087603, 92.11735, -1.064445, -0.363789),
    ("reml", -0.7145323, 0.1797815, 0.3132433, 92.22139, -1.066898, -0.362167),
    ("hedges", -0.7158786, 0.1832800, 0.3285639, 92.55710, -1.075101, -0.356656),
    ("ml", -0.7111991, 0.1718968, 0.2800282, 91.37828, -1.048111, -0.374288)])
def test_thirteen_trials_of_a_vaccine(method: str, mu: float, se: float, tau2: float, i2: float, low: float,
                                      high: float) -> None:
    """metafor 3.8-1, computed."""
    found = together(*VACCINE, method)  # type: ignore[arg-type]  # a method
    assert found.coefficients[0] == pytest.approx(mu, abs=1e-6)
    assert np.sqrt(found.covariance[0, 0]) == pytest.approx(se, abs=1e-6)
    assert found.between == pytest.approx(tau2, abs=1e-6)
    assert 100 * found.i2 == pytest.approx(i2, abs=1e-4)
    assert (found.low[0], found.high[0]) == pytest.approx((low, high), abs=1e-6)
    assert found.q == pytest.approx(152.233008, abs=1e-5)


@pytest.mark.property
def test_paule_and_mandels_variance_makes_q_what_chance_would() -> None:
    """metafor 3.8-1 stops at 0.3180937 by its own tolerance, where q is 11.9993; at 1e-12 it says as we do."""
    effect, variance = VACCINE
    found = together(effect, variance, "pm")
    assert found.between == pytest.approx(0.3180937, abs=1e-4)
    assert ((effect - found.coefficients[0]) ** 2 / (variance + found.between)).sum() == pytest.approx(12.0, abs=1e-9)


@pytest.mark.reference
def test_knapp_and_hartung_prediction_shrunken_and_latitude() -> None:
    """metafor 3.8-1, computed."""
    wide = together(*VACCINE, knapp_hartung=True)
    assert np.sqrt(wide.covariance[0, 0]) == pytest.approx(0.1807917, abs=1e-6)
    assert (wide.low[0], wide.high[0]) == pytest.approx((-1.108444, -0.320621), abs=1e-6)
    plain = together(*VACCINE)
    assert (plain.new_low, plain.new_high) == pytest.approx((-1.866692, 0.437628), abs=1e-6)
    assert plain.shrunken == pytest.approx([
        -0.800234, -1.251706, -0.986903, -1.397898, -0.287380, -0.784572, -1.243964, 0.002879, -0.506836, -1.247173,
        -0.353658, -0.284734, -0.146743], abs=1e-6)
    line = together(*VACCINE, moderators=LATITUDE[:, None])
    assert line.coefficients == pytest.approx([0.2515, -0.0291], abs=5e-5)
    assert np.sqrt(np.diag(line.covariance)) == pytest.approx([0.2491, 0.0072], abs=5e-5)
    assert line.between == pytest.approx(0.0764, abs=1e-4)
    assert line.q == pytest.approx(30.7331, abs=5e-5)


@pytest.mark.reference
@pytest.mark.parametrize("method", ["fixed", "dl", "reml", "pm"])
def test_schools_do_not_differ_by_any_method(method: str) -> None:
    """metafor 3.8-1, computed."""
    found = together(*SCHOOLS, method)  # type: ignore[arg-type]  # a method
    assert found.coefficients[0] == pytest.approx(7.685617, abs=1e-6)
    assert np.sqrt(found.covariance[0, 0]) == pytest.approx(4.071919, abs=1e-6)
    assert found.p_alike == pytest.approx(0.695659, abs=1e-6)
    assert found.between == 0.0


@pytest.mark.reference
def test_effects_in_groups_and_a_sharp_paule_and_mandel() -> None:
    """metafor 3.8-1, computed."""
    with KEPT.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    for row in rows:
        effect, variance, group = effects(int(row["seed"]))
        found = together_in_groups(effect, variance, group)
        assert found.mean == pytest.approx(float(row["mu"]), abs=1e-5), row
        assert found.standard_error == pytest.approx(float(row["se"]), rel=1e-4), row
        assert (found.between_groups, found.inside_groups) == pytest.approx(
            (float(row["between"]), float(row["inside"])), abs=2e-5), row
        pm = together(effect, variance, "pm")
        assert (pm.between, pm.coefficients[0]) == pytest.approx(
            (float(row["pm_tau2"]), float(row["pm_mu"])), abs=1e-6), row


@pytest.mark.reference
def test_what_effects_depend_on_by_knapp_and_hartung() -> None:
    """metafor 3.8-1, computed; where its search did not end nothing is kept."""
    with KEPT.open(encoding="utf-8", newline="") as lines:
        rows = [row for row in csv.DictReader(lines) if row["slope"] != "NA"]
    assert len(rows) > 20
    for row in rows:
        effect, variance, _ = effects(int(row["seed"]))
        told = np.array([moderator(at) for at in range(effect.size)])
        found = together(effect, variance, moderators=told[:, None], knapp_hartung=True)
        error = np.sqrt(found.covariance[1, 1])
        assert found.between == pytest.approx(float(row["line_tau2"]), abs=1e-6), row
        for ours, name in ((found.coefficients[1], "slope"), (error, "slope_se"), (found.low[1], "slope_low"),
                           (found.high[1], "slope_high")):
            assert ours == pytest.approx(float(row[name]), abs=1e-6), (name, row)
        assert answered(found.coefficients[1], error, effect.size - 2.0, 0.95).p == pytest.approx(
            float(row["slope_p"]), abs=1e-6), row


@pytest.mark.published
def test_eight_schools_with_nothing_believed() -> None:
    """Integrated numerically on 200,001 nodes; the published table of Gelman et al. is of draws and agrees."""
    found = believed_after(*SCHOOLS, Prior(between="flat"))
    assert (found.mean.mean, found.mean.sd) == pytest.approx((7.9324, 5.1784), abs=0.001)
    assert (found.spread_mean, found.spread_sd) == pytest.approx((6.5755, 5.6504), abs=0.001)
    assert [each.mean for each in found.trials] == pytest.approx(
        [11.4003, 7.8946, 6.1307, 7.6447, 5.1264, 6.1385, 10.6670, 8.4568], abs=0.001)
    assert [each.sd for each in found.trials] == pytest.approx(
        [8.3414, 6.2748, 7.7652, 6.5463, 6.3574, 6.7103, 6.7856, 7.8882], abs=0.001)
    first = found.trials[0]
    assert [first.quantile(each) for each in (0.025, 0.25, 0.5, 0.75, 0.975)] == pytest.approx(
        [-2.105, 5.976, 10.241, 15.534, 31.623], abs=0.002)
    assert 1 - first.chance_below(0.0) == pytest.approx(0.9505, abs=1e-4)


@pytest.mark.published
def test_eight_schools_with_stated_priors() -> None:
    found = believed_after(*SCHOOLS, Prior(sd=5.0, between="half_cauchy", between_scale=5.0))
    assert (found.mean.mean, found.mean.sd) == pytest.approx((4.3968, 3.3177), abs=0.001)
    assert (found.spread_mean, found.spread_sd) == pytest.approx((3.5977, 3.2200), abs=0.001)
    assert [each.mean for each in found.trials] == pytest.approx(
        [6.2119, 4.9402, 3.9270, 4.7571, 3.6155, 4.0426, 6.2967, 4.8543], abs=0.001)


@pytest.mark.property
def test_one_trial_and_a_narrow_prior_is_the_normal_mean_of_both() -> None:
    found = believed_after(np.array([0.2]), np.array([0.01]), Prior(0.0, 0.1, "half_normal", 1e-6))
    assert (found.mean.mean, found.mean.sd) == pytest.approx((0.1, np.sqrt(0.005)), rel=1e-4)


@pytest.mark.property
def test_order_and_unit_do_not_matter() -> None:
    effect, variance, group = effects(7)
    turned = np.random.default_rng(1).permutation(effect.size)
    for one, other in ((together(effect, variance), together(10 * effect[turned], 100 * variance[turned])),):
        assert other.coefficients[0] == pytest.approx(10 * one.coefficients[0], rel=1e-9)
        assert other.between == pytest.approx(100 * one.between, rel=1e-6)
    assert together_in_groups(effect[turned], variance[turned], group[turned]).mean == pytest.approx(
        together_in_groups(effect, variance, group).mean, rel=1e-6)


def test_too_few_are_refused() -> None:
    with pytest.raises(OutOfRange, match="too few trials"):
        believed_after(np.array([1.0, 2.0]), np.ones(2), Prior(between="flat"))
    with pytest.raises(OutOfRange, match="too few trials"):
        together(np.ones(2), np.ones(2), moderators=np.ones((2, 1)))
    with pytest.raises(OutOfRange, match="variance"):
        together(np.ones(2), np.array([1.0, 0.0]))
