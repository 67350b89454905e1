"""FAO-56 balances: three seasons computed elsewhere, day by day; and what holds in any season."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.lanes import Lanes
from rootcase.science.water.atmosphere import wind_at_2m_m_s
from rootcase.science.water.balance_dual import DualDay, DualGround, DualState, DualWeather, dual_day, dual_run
from rootcase.science.water.balance_single import single_day, single_run
from rootcase.science.water.coefficients import coefficient_of_day, upper_coefficient
from tests.greensboro import columns
from tests.seasons import GREENSBORO, SEATTLE, Season, ground_of, weather_of

DR_MM, KS = 0.01, 0.001


def gap_mm(start_mm: Lanes, came_mm: Lanes, used_mm: Lanes, day: DualDay) -> float:
    """What a run of days leaves unaccounted for, the worst day."""
    before = np.concatenate([np.broadcast_to(start_mm, day.depletion_mm[:1].shape), day.depletion_mm[:-1]])
    after = before - came_mm + used_mm + day.percolation_mm - day.overdrawn_mm
    return float(np.abs(after - day.depletion_mm).max())


@pytest.mark.reference
@pytest.mark.parametrize("season", [SEATTLE, GREENSBORO], ids=lambda season: season.file)
def test_plants_and_surface_apart_agree_each_day(season: Season) -> None:
    theirs = columns(season.file)
    weather, (state, ground) = weather_of(season, theirs), ground_of(season)
    ours = dual_run(state, weather, ground)
    np.testing.assert_allclose(weather.basal, theirs["Kcb"], atol=6e-5, rtol=0)
    np.testing.assert_allclose(weather.cover_share, theirs["fc"], atol=2e-4, rtol=0)
    np.testing.assert_allclose(ours.depletion_mm, theirs["Dr"], atol=DR_MM, rtol=0)
    np.testing.assert_allclose(ours.surface_depletion_mm, theirs["De"], atol=DR_MM, rtol=0)
    np.testing.assert_allclose(ours.stress, theirs["Ks"], atol=KS, rtol=0)
    np.testing.assert_allclose(ours.evaporation_mm, theirs["E"], atol=KS, rtol=0)
    np.testing.assert_allclose(ours.percolation_mm, theirs["DP"], atol=DR_MM, rtol=0)
    used = ours.evaporation_mm + ours.transpiration_mm
    assert gap_mm(state.depletion_mm, theirs["Rain"] + theirs["Irrig"], used, ours) <= 1e-6


@pytest.mark.reference
def test_the_season_of_greensboro_sums_to_the_other_programs() -> None:
    theirs = columns(GREENSBORO.file)
    ours = dual_run(ground_of(GREENSBORO)[0], weather_of(GREENSBORO, theirs), ground_of(GREENSBORO)[1])
    sums = [ours.evaporation_mm.sum(), ours.transpiration_mm.sum(), ours.percolation_mm.sum()]
    assert sums == pytest.approx([234.017, 374.808, 86.420], abs=0.01)
    assert (ours.stress < 1.0).sum() == 129


@pytest.mark.reference
def test_the_ceiling_comes_from_wind_and_humidity() -> None:
    theirs, year = columns(GREENSBORO.file), columns("weather_greensboro_tmy.csv")
    season = slice(90, 304)
    basal = coefficient_of_day(np.arange(214), GREENSBORO.stages, *GREENSBORO.basal)
    ours = upper_coefficient(basal, wind_at_2m_m_s(year["wind"][season], 10.0), year["rhmin"][season], 8.0)
    np.testing.assert_allclose(ours, theirs["Kcmax"], atol=6e-5, rtol=0)


@pytest.mark.reference
def test_one_coefficient_agrees_each_day() -> None:
    theirs = columns("wb_seattle_single.csv")
    ours = single_run(9.0, theirs["rain"], theirs["irrig"], theirs["et0"], theirs["kc"], 67.5, 0.55)
    np.testing.assert_allclose(ours.depletion_mm, theirs["dr_end"], atol=DR_MM, rtol=0)
    np.testing.assert_allclose(ours.stress, theirs["ks_start"], atol=KS, rtol=0)
    np.testing.assert_allclose(ours.percolation_mm, theirs["dp"], atol=DR_MM, rtol=0)
    assert ours.evapotranspiration_mm.sum() == pytest.approx(292.945, abs=0.01)
    before = np.concatenate([[9.0], ours.depletion_mm[:-1]])
    gap = (before - theirs["rain"] - theirs["irrig"] + ours.evapotranspiration_mm + ours.percolation_mm
           - ours.overdrawn_mm - ours.depletion_mm)
    assert np.abs(gap).max() <= 1e-6


MM = st.floats(0.0, 80.0)
SHARE = st.floats(0.05, 0.95)


@pytest.mark.property
@given(MM, MM, st.floats(0, 12), st.floats(0, 1.3), st.floats(20, 200), SHARE)
def test_a_day_with_one_coefficient_closes(
    depletion: float, rain: float, reference: float, coefficient: float, total: float, share: float
) -> None:
    day = single_day(min(depletion, total), rain, 2.0, reference, coefficient, total, share)
    after = (min(depletion, total) - rain - 2.0 + day.evapotranspiration_mm + day.percolation_mm - day.overdrawn_mm)
    assert after == pytest.approx(day.depletion_mm, abs=1e-9)
    assert 0.0 <= day.depletion_mm <= total
    assert day.percolation_mm == 0.0 or day.depletion_mm == 0.0
    assert day.evapotranspiration_mm <= coefficient * reference + 1e-12


@pytest.mark.property
@given(MM, MM, st.floats(0, 12), st.floats(0, 1.1), SHARE, st.floats(0.1, 1.0))
def test_a_day_of_plants_and_surface_closes(
    depletion: float, rain: float, reference: float, basal: float, cover: float, wetted: float
) -> None:
    state, ground = DualState(depletion, min(depletion, 18.0)), DualGround(80.0, 0.5, 18.0, 8.0)
    day = dual_day(state, DualWeather(rain, 3.0, reference, basal, 1.25, cover, wetted), ground)
    after = (depletion - rain - 3.0 + day.evaporation_mm + day.transpiration_mm + day.percolation_mm - day.overdrawn_mm)
    assert after == pytest.approx(day.depletion_mm, abs=1e-9)
    assert 0.0 <= day.depletion_mm <= 80.0
    assert 0.0 <= day.surface_depletion_mm <= 18.0


@pytest.mark.property
def test_many_lanes_run_as_one_by_one() -> None:
    rng = np.random.default_rng(4)
    rain, reference = np.where(rng.random((40, 3)) < 0.3, 12.0, 0.0), rng.uniform(1.0, 8.0, (40, 3))
    total = np.array([40.0, 80.0, 120.0])
    weather = DualWeather(rain, 0.0, reference, 0.7, 1.2, 0.4, 1.0)
    together = dual_run(DualState(np.zeros(3), np.full(3, 18.0)), weather, DualGround(total, 0.5, 18.0, 8.0))
    single = single_run(np.zeros(3), rain, 0.0, reference, 0.8, total, 0.5)
    assert together.depletion_mm.shape == single.depletion_mm.shape == (40, 3)
    for lane, held in enumerate(total):
        alone = dual_run(DualState(0.0, 18.0), weather._replace(rain_mm=rain[:, lane], reference_mm=reference[:, lane]),
                         DualGround(held, 0.5, 18.0, 8.0))
        np.testing.assert_array_equal(alone.depletion_mm, together.depletion_mm[:, lane])
        np.testing.assert_array_equal(
            single_run(0.0, rain[:, lane], 0.0, reference[:, lane], 0.8, held, 0.5).stress, single.stress[:, lane])


@pytest.mark.property
def test_more_rain_never_leaves_the_ground_drier() -> None:
    reference = np.full(60, 5.0)
    little, much = (single_run(20.0, np.full(60, rain), 0.0, reference, 0.9, 90.0, 0.5).depletion_mm
                    for rain in (0.5, 2.0))
    assert np.all(much <= little)


@pytest.mark.property
def test_a_dry_empty_ground_tells_what_it_no_longer_had() -> None:
    weather, ground = DualWeather(0.0, 0.0, 5.0, 0.6, 1.2, 0.3, 1.0), DualGround(80.0, 0.5, 18.0, 8.0)
    day = dual_day(DualState(80.0, 0.0), weather, ground)
    assert day.transpiration_mm == 0.0
    assert day.overdrawn_mm == pytest.approx(day.evaporation_mm)


@pytest.mark.property
def test_water_on_a_part_of_the_ground_wets_that_part_deeper() -> None:
    """6 mm over half the ground are 12 mm where they fall; a surface dry that morning evaporates nothing yet."""
    weather, ground = DualWeather(0.0, 6.0, 5.0, 0.6, 1.2, 0.3, 0.5), DualGround(80.0, 0.5, 18.0, 8.0)
    first = dual_day(DualState(10.0, 18.0), weather, ground)
    assert (first.evaporation_mm, first.surface_depletion_mm) == (0.0, 6.0)
    second = dual_day(DualState(first.depletion_mm, 6.0), weather._replace(irrigation_mm=0.0), ground)
    assert second.surface_depletion_mm == pytest.approx(6.0 + second.evaporation_mm / 0.5)


@pytest.mark.property
def test_swapped_depths_of_the_surface_are_asked_about() -> None:
    with pytest.raises(OutOfRange, match="easily_mm is not below evaporable_mm"):
        dual_day(DualState(0.0, 0.0), DualWeather(0.0, 0.0, 5.0, 0.6, 1.2, 0.3, 1.0), DualGround(80.0, 0.5, 8.0, 18.0))


@pytest.mark.property
@pytest.mark.parametrize("rain", [1.0, np.zeros(0)], ids=["one number", "no day"])
def test_a_run_of_no_days_is_refused(rain: object) -> None:
    with pytest.raises(OutOfRange, match=r"the number of days is outside its range .got 0"):
        single_run(0.0, rain, 0.0, 5.0, 0.8, 50.0, 0.5)
    with pytest.raises(OutOfRange, match=r"the number of days is outside its range .got 0"):
        dual_run(DualState(0.0, 0.0), DualWeather(rain, 0.0, 5.0, 0.6, 1.2, 0.3, 1.0), DualGround(80.0, 0.5, 18.0, 8.0))
