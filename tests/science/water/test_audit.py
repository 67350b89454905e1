"""Minutes from catch cups, and the rule by the inch of trunk: published figures and what must hold."""

from __future__ import annotations

import numpy as np
import pytest

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.ground.units import convert
from rootcase.science.water.audit import (
    intake_mm_h,
    lower_quarter_uniformity,
    precipitation_rate_mm_h,
    run_minutes,
    run_time_multiplier,
    runs_without_runoff,
    surface_storage_mm,
)

SOILS = ("clay", "silty_clay", "clay_loam", "loam", "sandy_loam", "loamy_sand", "sand")



def test_evenness_knows_no_order_and_no_size() -> None:
    rng = np.random.default_rng(1)
    for _ in range(50):
        cups = rng.uniform(1.0, 20.0, rng.integers(4, 30))
        even = lower_quarter_uniformity(cups)
        assert 0.0 < even <= 1.0
        assert lower_quarter_uniformity(3.0 * rng.permutation(cups)) == pytest.approx(even)
    assert lower_quarter_uniformity([5.0] * 9) == 1.0


def test_a_zone_that_waters_evenly_runs_no_longer_and_none_more_than_two_and_a_half_times() -> None:
    assert run_time_multiplier([1.0, 0.0]).tolist() == [1.0, 2.5]
    assert np.all(np.diff(run_time_multiplier(np.linspace(0.0, 1.0, 21))) < 0)


def test_the_minutes_put_the_depth_on() -> None:
    rate = precipitation_rate_mm_h([4.0, 5.0, 6.0, 5.0], 10.0)
    assert rate * float(run_minutes(12.0, rate, 1.0)) / 60.0 == pytest.approx(12.0)


@pytest.mark.parametrize("soil", SOILS)
def test_no_run_leaves_more_standing_than_may_stand_and_one_run_fewer_would(soil: str) -> None:
    rng = np.random.default_rng(2)
    for _ in range(40):
        minutes, rate, slope = rng.uniform(1.0, 200.0), rng.uniform(3.0, 60.0), rng.uniform(0.0, 20.0)
        intake, storage = intake_mm_h(soil), surface_storage_mm(soil, slope)
        runs = runs_without_runoff(minutes, rate, intake, storage)
        standing = max(rate - intake, 0.0) * runs.minutes_each / 60.0
        assert runs.cycles * runs.minutes_each == pytest.approx(minutes)
        assert standing <= storage * (1 + 1e-9)
        assert runs.soak_minutes <= 60.0 * storage / intake * (1 + 1e-9)
        if runs.cycles > 1:
            assert max(rate - intake, 0.0) * minutes / 60.0 / (runs.cycles - 1) > storage
            assert runs.soak_minutes * intake / 60.0 == pytest.approx(standing)


def test_steeper_and_heavier_ground_holds_less() -> None:
    held = [[surface_storage_mm(soil, slope) for slope in (0.0, 5.0, 10.0, 20.0)] for soil in SOILS]
    assert np.all(np.diff(held, axis=1) <= 0)
    assert np.all(np.diff(held, axis=0) >= 0)
    assert surface_storage_mm("loam", 3.5) == convert(0.25, "in", "mm")


@pytest.mark.parametrize(("cups", "says"), [([0.0] * 5, "no cup caught water"), ([5.0] * 3, "too few cups")])
def test_a_test_that_tells_nothing_is_refused(cups: list[float], says: str) -> None:
    with pytest.raises(OutOfRange, match=says):
        lower_quarter_uniformity(cups)


def test_an_unknown_soil_is_named() -> None:
    with pytest.raises(Missing, match="clay, silty_clay"):
        intake_mm_h("peat")


def test_ground_that_takes_all_needs_no_rest() -> None:
    assert runs_without_runoff(10.0, 5.0, 8.0, 5.0) == (1, 10.0, 0.0)


def test_no_cups_have_no_rate() -> None:
    with pytest.raises(OutOfRange, match="0 cups"):
        precipitation_rate_mm_h([], 10.0)
