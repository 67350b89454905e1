"""The compiled day is the day any reader can follow, whatever the lanes, blocks and threads."""

from __future__ import annotations

import multiprocessing
import os
import platform
import re
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pytest
from llvmlite.binding import get_host_cpu_features
from numba import float64, njit

from rootcase.ground.errors import OutOfRange
from rootcase.science.tree import day_compiled
from rootcase.science.tree._day import block
from rootcase.science.tree._day.exponential import soaked_share
from rootcase.science.tree._day.rows import BLOCK, INPUTS
from rootcase.science.tree.day_compiled import run_compiled, run_every_day
from rootcase.science.tree.day_reference import run_reference
from rootcase.science.tree.lanes import Lanes, lanes_of, stack
from rootcase.science.tree.parameters import draw_parameters
from rootcase.science.tree.season import Season, season_of
from tests.archetypes import archetypes, greensboro_twice, seattle, with_reading_errors

pytestmark = pytest.mark.property


def odd_lanes(count: int, seed: int) -> Lanes:
    """Lanes far outside what a site gives: nothing under the roots, nothing runs in, no roots in a layer."""
    rng = np.random.default_rng(seed)

    def up_to(most: float, none: float = 0.2) -> np.ndarray:
        return most * rng.random(count) * (rng.random(count) > none)

    weight = rng.random((4, count)) * (rng.random((4, count)) > 0.2) + 1e-6
    return Lanes(
        available_water_mm=0.1 + 80.0 * rng.random((4, count)) ** 3,
        perched_capacity_mm=50.0 * rng.random((4, count)) * (rng.random((4, count)) > 0.4),
        root_weight=weight / weight.sum(axis=0), root_capacity=0.001 + 0.999 * rng.random(count),
        crown_per_ground=0.01 + 12.0 * rng.random(count) ** 3, neighbours_per_ground=up_to(1.0),
        salt_factor=0.05 + 0.95 * rng.random(count), crown_coefficient=up_to(1.2), turf_demand=up_to(3.0),
        turf_topsoil_share=rng.random(count), evaporating_cover=up_to(3.0), pervious=up_to(2.0), joints=up_to(0.9),
        infiltration_capacity_mm=up_to(1500.0), drainage_mm_day=up_to(800.0), root_reserve=0.05 + rng.random(count),
        irrigation_mm=up_to(20.0, 0.5), irrigation_every_days=rng.integers(1, 8, count).astype(float),
        irrigation_first_day=rng.integers(1, 367, count).astype(float),
        irrigation_last_day=rng.integers(1, 367, count).astype(float),
        nitrogen_ratio=np.ones(count), lock_up=np.ones(count), spring_window_days=45)


@pytest.fixture(scope="module")
def season() -> Season:
    return season_of(seattle(2015), 45)


def site_lanes(draws: int) -> Lanes:
    rng = np.random.default_rng(3)
    parameters = draw_parameters(draws, rng)
    return stack([lanes_of(with_reading_errors(site, draws, rng), parameters) for site in archetypes().values()])


@pytest.mark.parametrize(("single", "most"), [(False, 1e-9), (True, 1e-5)])
def test_the_engines_agree_on_every_site(single: bool, most: float, long: bool) -> None:
    lanes = site_lanes(1000 if long else 40)
    days = season_of(greensboro_twice(), 45)
    compiled, reference = run_compiled(lanes, days, 2, single), run_reference(lanes, days)
    assert np.abs(compiled.spring - reference.spring).max() <= most
    assert np.abs(compiled.bud_set - reference.bud_set).max() <= most


@pytest.mark.parametrize(("single", "most"), [(False, 1e-9), (True, 1e-3)])
def test_the_engines_agree_on_lanes_no_site_gives(single: bool, most: float, season: Season, long: bool) -> None:
    """Stores of a tenth of a millimetre that run dry within the day: 32 bits lose two digits more there. Ground full of
    water that never drains is a balance on a needle's point (not a drop is drawn while every pore is full, and more
    and more once one is not): which way it falls is left to 64 bits; no site drains less than .2 mm a day."""
    lanes = odd_lanes(20_000 if long else 1500, 7)
    if single:
        lanes = replace(lanes, drainage_mm_day=np.maximum(lanes.drainage_mm_day, 0.2))
    compiled, reference = run_compiled(lanes, season, 1, single), run_reference(lanes, season)
    assert np.abs(compiled.spring - reference.spring).max() <= most
    assert np.abs(compiled.bud_set - reference.bud_set).max() <= most


def test_every_day_written_down_is_the_day_any_reader_can_follow(season: Season) -> None:
    for lanes in (odd_lanes(300, 8), site_lanes(3)):
        ours, theirs = run_every_day(lanes, season, 2), run_reference(lanes, season, keep_days=True).days
        for day, read in enumerate(theirs):
            assert np.abs(ours.layers_mm[day] - read.water.layers_mm).max() <= 1e-9
            for name, value in (("perched", read.water.perched_mm), ("infiltration", read.infiltration_mm),
                                ("lost", read.drainage_mm + read.overflow_mm), ("uptake", read.uptake_mm),
                                ("turf", read.turf_mm), ("evaporation", read.evaporation_mm)):
                assert np.abs(getattr(ours, f"{name}_mm")[day] - value).max() <= 1e-9, (name, day)
            assert np.abs(ours.transpiration[day] - read.transpiration).max() <= 1e-9
            assert np.abs(ours.elongation[day] - read.elongation).max() <= 1e-9


def test_a_run_is_the_mean_of_its_days(season: Season) -> None:
    lanes = odd_lanes(200, 8)
    run, days = run_compiled(lanes, season, 1), run_every_day(lanes, season, 1)
    assert np.abs(days.elongation[slice(*season.spring)].mean(axis=0) - run.spring).max() <= 1e-12
    assert np.abs(days.transpiration[slice(*season.bud_set)].mean(axis=0) - run.bud_set).max() <= 1e-12


def test_no_engine_makes_or_loses_water(season: Season) -> None:
    for lanes in (odd_lanes(1500, 8), site_lanes(20)):
        assert np.abs(run_reference(lanes, season).balance_error_mm).max() <= 1e-9
        days = run_every_day(lanes, season, 1)
        left = days.lost_mm + days.uptake_mm + days.turf_mm + days.evaporation_mm
        end = days.layers_mm[-1].sum(axis=0) + days.perched_mm[-1]
        error = lanes.available_water_mm.sum(axis=0) + (days.infiltration_mm - left).sum(axis=0) - end
        assert np.abs(error).max() <= 1e-9


def test_the_balance_is_more_than_its_own_bookkeeping(season: Season) -> None:
    lanes = odd_lanes(200, 9)
    days = run_reference(lanes, season, keep_days=True)
    went_in = sum(day.infiltration_mm for day in days.days)
    went_out = sum(day.drainage_mm + day.overflow_mm + day.uptake_mm + day.turf_mm + day.evaporation_mm
                   for day in days.days)
    kept = days.end.layers_mm.sum(axis=0) + days.end.perched_mm
    assert np.abs(lanes.available_water_mm.sum(axis=0) + went_in - went_out - kept).max() <= 1e-9
    for day in days.days:
        assert day.water.layers_mm.min() >= 0.0
        assert np.all(day.water.layers_mm <= lanes.available_water_mm + 1e-9)
        assert np.all(day.water.perched_mm <= lanes.perched_capacity_mm.sum(axis=0) + 1e-9)
        for flow in (day.infiltration_mm, day.runoff_mm, day.drainage_mm, day.overflow_mm, day.uptake_mm, day.turf_mm,
                     day.evaporation_mm):
            assert flow.min() >= -1e-12


def test_threads_and_blocks_change_no_bit(season: Season) -> None:
    lanes = odd_lanes(3 * BLOCK + 17, 10)
    one = run_compiled(lanes, season, 1)
    for threads in (2, 3, 7):
        other = run_compiled(lanes, season, threads)
        for field in fields(one):
            assert np.array_equal(getattr(one, field.name), getattr(other, field.name))
    alone = replace(lanes, **{field.name: getattr(lanes, field.name)[..., 300:301] for field in fields(lanes)
                              if field.name != "spring_window_days"})
    assert run_compiled(alone, season, 1).spring[0] == one.spring[300]


def test_a_forked_process_has_threads_of_its_own(season: Season) -> None:
    if "fork" not in multiprocessing.get_all_start_methods():
        return
    lanes = odd_lanes(9 * BLOCK, 11)
    ours = run_compiled(lanes, season, 2)

    def again() -> None:
        assert np.array_equal(run_compiled(lanes, season, 2).spring, ours.spring)

    child = multiprocessing.get_context("fork").Process(target=again)
    child.start()
    child.join(60)  # one that waits for threads it does not have waits for ever
    child.kill()
    child.join()
    assert child.exitcode == 0


@pytest.mark.parametrize("name", [field.name for field in fields(Lanes) if field.name in INPUTS])
@pytest.mark.parametrize("wrong", [np.nan, -1.0])
def test_a_lane_that_holds_no_number_is_refused(season: Season, name: str, wrong: float) -> None:
    lanes = odd_lanes(3, 1)
    values = getattr(lanes, name).copy()
    values[..., 1] = wrong
    with pytest.raises(OutOfRange, match=f"{name} is outside its range"):
        run_compiled(replace(lanes, **{name: values}), season, 1)


def test_a_run_of_no_threads_is_refused(season: Season) -> None:
    with pytest.raises(OutOfRange, match=r"threads is outside its range .got 0"):
        run_compiled(odd_lanes(1, 1), season, 0)


def test_lanes_of_different_windows_are_not_stacked() -> None:
    lanes = odd_lanes(2, 1)
    with pytest.raises(ValueError, match="lanes of one window can be stacked"):
        stack([lanes, replace(lanes, spring_window_days=100)])


def test_compiled_code_lies_apart_for_each_state_of_the_sources() -> None:
    assert Path(os.environ["NUMBA_CACHE_DIR"]) in Path(block.run_lanes.stats.cache_path).parents


def test_the_exponential_is_the_library_s() -> None:
    for number, most in ((np.float64, 1e-12), (np.float32, 2e-7)):
        depths = np.concatenate([[0.0], np.geomspace(1e-12, 1e12, 5000)]).astype(number)
        out = np.empty_like(depths)
        _each(depths, out)
        exact = soaked_share(depths.astype(np.float64))  # the library's, outside of compiled code
        assert np.abs(out - exact).max() <= most
        assert np.abs(out[1:] / exact[1:] - 1.0).max() <= 10 * most, "nor is a little water lost by cancelling"


@njit
def _each(depths: np.ndarray, out: np.ndarray) -> None:
    for i in range(depths.size):
        out[i] = soaked_share(depths[i])


def test_constants_that_break_the_algebra_are_refused(season: Season, monkeypatch: pytest.MonkeyPatch) -> None:
    odd = day_compiled.day_constants()._replace(ready_share=0.65)
    monkeypatch.setattr(day_compiled, "day_constants", lambda: odd)
    with pytest.raises(OutOfRange, match=r"no demand would leave the ready share above its most"):
        run_compiled(odd_lanes(1, 1), season, 1)


def test_the_loops_run_on_the_widest_vectors(season: Season) -> None:
    """One reduction the compiler cannot turn round would leave a whole loop scalar, and no result would tell. Only the
    code of x86-64 with AVX2 is read."""
    if platform.machine() not in ("x86_64", "AMD64") or not get_host_cpu_features().get("avx2"):
        return
    run_compiled(odd_lanes(1, 1), season, 1)
    again = njit(nogil=True, error_model="numpy", fastmath={"contract"})(block._run_block.py_func)
    again.compile(next(types for types in block.run_lanes.signatures if types[6].dtype == float64))
    (code,) = again.inspect_asm().values()
    wide = re.compile(r"^\s+v(?:fn?madd\w*|mul|div|min|max|add|sub)pd\s.*%[yz]mm", re.MULTILINE)
    scalar = re.compile(r"^\s+v(?:fn?madd\w*|mul|div|min|max|sub)sd\s", re.MULTILINE)  # a sum ends in an addition
    for loop, least in (("plain_day", 100), ("spring_day", 60), ("bud_set_day", 80), ("fill", 30)):
        body = re.search(rf"^_ZN\w*?\d{loop}B\w+:\n(.*?)^\.Lfunc_end", code, re.MULTILINE | re.DOTALL)
        assert body, f"{loop} is not a function of its own any more"
        assert len(wide.findall(body[1])) >= least, loop
        assert scalar.findall(body[1]) == [], loop
