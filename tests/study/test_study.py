"""Is the program as sure as it has the right to be? Its intervals against truths known because they were drawn."""

from __future__ import annotations

import os
from dataclasses import replace

import numpy as np
import pytest
from scipy.stats import binom, kstest

from rootcase.records.explain import LIMITS
from tests.study import told
from tests.study.european_soils import curve
from tests.study.other_world import World, truths
from tests.study.practice import SITUATIONS, Way, case_of
from tests.study.study import (
    by_the_model,
    conditioned,
    conditioned_on,
    losses,
    named,
    other_cause,
    predicted,
    ranks,
    study,
)

SEED = 1
BAR = (0.86, 0.94)


@pytest.fixture(scope="module")
def practice(request):
    """The same properties in each way truth and reading hang together."""
    long = request.config.getoption("--long")
    n, draws, processes = (500, 400, 2) if long else (len(SITUATIONS), 100, 1)
    return {way: study(n, SEED, draws, way, processes) for way in Way}


@pytest.fixture(scope="module")
def cases():
    return [case_of(number, SEED) for number in range(3 * len(SITUATIONS))]


@pytest.mark.property
@pytest.mark.parametrize("way", Way)
@pytest.mark.parametrize("count", [predicted, conditioned])
def test_nine_in_ten_means_nine_in_ten(practice, long, way, count):
    found = count(practice[way])
    if long:
        assert BAR[0] <= found.rate <= BAR[1]
    assert found.right >= binom.ppf(0.001, found.of, 0.9)


@pytest.mark.property
@pytest.mark.parametrize("limit", LIMITS)
def test_the_points_of_each_limit_hold_the_truth(practice, limit):
    for answers in practice.values():
        found = losses(answers, limit)
        assert found.right >= binom.ppf(0.001, found.of, 0.9)


@pytest.mark.property
@pytest.mark.parametrize("of", ["share", "seen", *LIMITS])
def test_a_truth_lies_anywhere_among_its_draws(practice, of):
    """Sees what coverage does not: a depth read ten times too deep moves one interval in twenty and every rank."""
    assert kstest(ranks(practice[Way.TRUTH_AROUND_READING], of), "uniform").pvalue > 1e-4


@pytest.mark.property
def test_a_limit_is_named_the_largest_as_often_right_as_its_chance_says(practice):
    for answers in practice.values():
        found = named(answers)
        assert binom.ppf(0.001, found.of, found.said) <= found.right <= binom.ppf(0.999, found.of, found.said)


@pytest.mark.property
def test_a_cause_outside_the_soil_is_suspected_where_there_is_one(practice, long):
    for answers in practice.values():
        found = other_cause(answers)
        assert found["said"] == pytest.approx(found["true"], abs=0.05 if long else 0.3)
        if long:
            assert found["where there"] > 1.5 * found["where none"]


@pytest.mark.property
def test_the_study_sees_intervals_that_are_too_narrow(practice):
    """Half-width intervals must not pass, or the study could not fail."""
    def narrow(answer):
        share = answer.said.predicted_share
        middle, half = share.median, (share.high - share.low) / 8.0
        return replace(answer, said=replace(answer.said, predicted_share=replace(
            share, low=middle - half, high=middle + half)))

    found = predicted([narrow(answer) for answers in practice.values() for answer in answers])
    assert found.right < binom.ppf(0.001, found.of, 0.9)


@pytest.mark.property
def test_other_shoots_on_the_same_draws_are_what_the_program_itself_would_say(practice):
    for answer in practice[Way.READING_AROUND_TRUTH]:
        again = conditioned_on(answer.said, answer.seen)
        np.testing.assert_allclose(again.weights, answer.said.weights, rtol=1e-3)
        assert again.conditioned.share.median == pytest.approx(answer.said.conditioned.share.median, rel=1e-3)


@pytest.mark.reference
def test_the_other_world_without_departures_is_the_model(cases):
    """The model's day, roots and soil coded twice, the second time from the page that tells the equations."""
    for case, (share, lost) in zip(cases, truths(cases, World()), strict=True):
        expected_share, expected_lost = by_the_model(case)
        assert share == pytest.approx(expected_share, abs=1e-9)
        np.testing.assert_allclose(lost, expected_lost, atol=1e-9)


@pytest.mark.property
@pytest.mark.parametrize("world", [World(european_soils=True), World(storms=True), World(half_rooting=0.8),
                                   World(memory=True)], ids=["soils", "storms", "strength", "memory"])
def test_each_departure_makes_another_world(cases, world):
    moved = [abs(there[0] - here[0]) for here, there in zip(truths(cases, World()), truths(cases, world), strict=True)]
    assert max(moved) > 0.02
    assert all(np.isfinite(moved))


@pytest.mark.property
def test_roots_that_stop_sooner_or_drown_lose(cases):
    model = np.array([share for share, _ in truths(cases, World())])
    for world in (World(half_rooting=0.8), World(memory=True)):
        assert np.median(np.array([share for share, _ in truths(cases, world)]) - model) <= 0.0


@pytest.mark.reference
def test_european_soils_are_those_of_another_program():
    """Two topsoils of 25 and 45 % clay, 15 and 3 % silt, 4.5 % organic matter, density 1.124447: figures printed in the
    reference of the R package euosi for its function of Wösten 1999 (seen). Its conductivity is left out: it is less
    than a tenth of what the coefficients give, which stand alike in a second program (soilwaterptf, seen)."""
    saturation, alpha, n, _ = curve(*(np.array(values) for values in (
        [25.0, 45.0], [15.0, 3.0], [4.5, 4.5], [1.124447, 1.124447], [1.0, 1.0])))
    np.testing.assert_allclose(saturation, [0.5098983, 0.5043651], atol=1e-6)
    np.testing.assert_allclose(alpha, [0.05413231, 0.04231467], rtol=1e-5)
    np.testing.assert_allclose(n, [1.169909, 1.177021], rtol=1e-6)


@pytest.mark.slow
def test_the_findings_are_told(practice, long, capsys):
    text = told.page(practice, SEED)
    for heading in ("predicted share", "largest limit", "all four"):
        assert heading in text
    if long:
        if os.access(told.MEASURED, os.W_OK):
            told.write(text)
        with capsys.disabled():
            print(text)
