"""Truths about rates, calibration, loads, weights and claims."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.ground.units import convert
from rootcase.science.tank import calibration, claims, loads, mixing, rates
from rootcase.science.water.audit import lower_quarter_uniformity
from rootcase.tables.load import table

pytestmark = pytest.mark.property

some_litres = st.floats(1, 5000)


@given(st.floats(0, 1e5), some_litres, st.floats(0, 0.5))
def test_loads_hold_the_job_each_fits_and_none_is_too_small(volume: float, tank: float, share: float) -> None:
    least = share * tank
    if 1e-9 * tank < volume < least:
        with pytest.raises(OutOfRange, match="the whole job is less than the least load"):
            loads.loads_l(volume, tank, least)
        return
    found = loads.loads_l(volume, tank, least)
    assert sum(found) == pytest.approx(volume, abs=1e-6 * tank)
    assert all(least <= load <= tank for load in found)
    assert len(found) == int(np.ceil(volume / tank - 1e-9))


@given(st.integers(1, 250), st.integers(1, 1000))
def test_gallons_that_divide_make_no_phantom_load(number: int, tank_gal: int) -> None:
    volume, tank = convert(number * tank_gal, "gal", "L"), convert(tank_gal, "gal", "L")
    assert loads.loads_l(volume, tank, 0.0) == (tank,) * number
    assert len(loads.loads_l(number * tank_gal * 3.785411784, tank_gal * 3.785411784, 0.0)) == number


@given(st.floats(0, 5000), st.floats(0, 1))
def test_a_short_load_keeps_the_ratio(load: float, share: float) -> None:
    parts = loads.parts_of_load_l(load, share)
    assert parts.concentrate_l + parts.water_l == pytest.approx(load)
    assert parts.concentrate_l == pytest.approx(share * load)


@given(st.floats(2000, 9000), st.floats(1000, 5000), st.floats(0, 2000))
def test_the_most_that_may_be_carried_leaves_nothing_over(rating: float, curb: float, aboard: float) -> None:
    litres = loads.most_volume_l(rating, curb, aboard)
    left = float(loads.payload_left_kg(rating, curb, aboard, litres))
    assert left == pytest.approx(0.0, abs=1e-6) if litres > 0 else left <= 1e-6


@given(st.lists(st.tuples(st.floats(0, 2000), st.floats(-2, 5)), min_size=1, max_size=5))
def test_the_axles_carry_all_of_it_and_turn_nothing(aboard: list[tuple[float, float]]) -> None:
    masses, arms = (list(each) for each in zip(*aboard, strict=True))
    on = loads.axle_weights_kg(loads.Axles(1500.0, 1200.0), masses, arms, 3.6)
    assert on.front_kg + on.rear_kg == pytest.approx(2700.0 + sum(masses))
    assert (on.front_kg - 1500.0) * 3.6 == pytest.approx(float(np.dot(masses, arms)), abs=1e-6)


def test_a_load_behind_the_rear_axle_lifts_the_front() -> None:
    assert loads.axle_weights_kg(loads.Axles(1500.0, 1200.0), [500.0], [-1.0], 3.6).front_kg < 1500.0


@given(st.floats(0.002, 0.3))
def test_the_gap_is_never_under_an_inch(inside: float) -> None:
    assert loads.air_gap_m(inside, "twice_the_hose") >= max(0.0254, 2 * inside)
    assert loads.air_gap_m(inside, "six_inches") == pytest.approx(convert(6, "in", "m"))


def test_a_rule_nobody_wrote_is_missing() -> None:
    with pytest.raises(Missing, match="no rows of the table fit"):
        loads.air_gap_m(0.02, "none")


@given(st.floats(0.5, 1000), st.floats(0.01, 50))
def test_a_drench_turned_back_gives_its_rate(area: float, rate: float) -> None:
    assert rates.applied_l_m2(rates.drench_l(area, rate), area) == pytest.approx(rate)


@pytest.mark.parametrize("grid", ["square", "triangular"])
@given(area=st.floats(20, 5000), rate=st.floats(0.1, 20), spacing=st.floats(0.3, 1.5))
def test_holes_bring_the_same_as_a_drench(grid: rates.Grid, area: float, rate: float, spacing: float) -> None:
    exact = rates.for_places_l(rates.litres_per_hole(rate, spacing, grid), area * rates.holes_per_m2(spacing, grid))
    assert exact == pytest.approx(float(rates.drench_l(area, rate)))
    holes = float(rates.hole_count(area, spacing, grid))
    assert holes == int(holes)
    assert abs(holes - area * rates.holes_per_m2(spacing, grid)) <= 0.5


@pytest.mark.parametrize("grid", ["square", "triangular"])
def test_a_grid_laid_out_has_as_many_holes_as_told(grid: rates.Grid) -> None:
    """Counted one by one on a field of 60 by 60 m, whose edge makes less than a hundredth."""
    spacing, side = 0.75, 60.0
    row_apart = spacing * (1.0 if grid == "square" else np.sqrt(0.75))
    shift = 0.0 if grid == "square" else spacing / 2
    counted = sum(len(np.arange(shift * (row % 2), side, spacing)) for row in range(int(np.ceil(side / row_apart))))
    assert counted == pytest.approx(float(rates.hole_count(side * side, spacing, grid)), rel=0.01)


def test_a_bed_smaller_than_a_hole_gets_one_and_none_gets_none() -> None:
    assert rates.hole_count([0.01, 0.0], 0.75, "square").tolist() == [1.0, 0.0]


@given(st.floats(0.5, 50), st.floats(0.2, 5), st.floats(0.2, 10), st.floats(1, 100))
def test_a_booms_rate_is_what_it_put_on_over_what_it_passed(flow: float, speed: float, width: float,
                                                            seconds: float) -> None:
    passed = rates.applied_l_m2(flow * seconds / 60.0, speed * seconds * width)
    assert calibration.boom_l_m2(flow, speed, width) == pytest.approx(float(passed))


@given(st.floats(0.001, 1), st.floats(0, 1))
def test_a_stock_through_its_injector_has_the_wanted_strength(drawn: float, share: float) -> None:
    injected = calibration.injected_share(drawn * 10.0, 10.0)
    assert calibration.stock_share(share * injected, injected) * injected == pytest.approx(share * injected)


def test_an_injector_that_cannot_reach_the_strength_or_draws_more_than_it_gives_is_refused() -> None:
    with pytest.raises(OutOfRange, match="share of concentrate in the stock"):
        calibration.stock_share(0.1, 0.05)
    with pytest.raises(OutOfRange, match="share drawn"):
        calibration.injected_share(2.0, 1.0)


def test_one_bad_nozzle_is_found_and_the_sound_ones_are_left() -> None:
    assert calibration.nozzle_wear([10.0, 10.0, 10.0, 15.0]).replace == (False, False, False, True)
    assert calibration.nozzle_wear([10.0, 10.0, 6.0]).worst_pct == pytest.approx(40.0)
    with pytest.raises(OutOfRange, match="too few nozzles"):
        calibration.nozzle_wear([10.0, 11.0])


@given(st.lists(st.floats(0.5, 100), min_size=4, max_size=30), st.floats(0.5, 100))
def test_evenness_knows_no_unit(cans: list[float], factor: float) -> None:
    once, scaled = calibration.evenness(cans), calibration.evenness(np.multiply(cans, factor))
    assert scaled[1:] == pytest.approx(once[1:])
    assert once.du_pct == pytest.approx(100 * lower_quarter_uniformity(cans))
    assert once.cu_pct <= 100.0 + 1e-9


def test_cans_that_are_all_empty_or_too_few_are_refused() -> None:
    with pytest.raises(OutOfRange, match="no cup caught water"):
        calibration.evenness([0.0] * 5)
    with pytest.raises(OutOfRange, match="too few cups"):
        calibration.evenness([1.0, 2.0])
    with pytest.raises(OutOfRange, match="too few cups"):
        calibration.evenness([])


def test_the_order_is_wales_and_the_jar_stands_a_quarter_of_an_hour() -> None:
    assert "".join(row["letter"] for row in table("tank/mix_order").rows) == "WALES"
    assert [step.amount for step in mixing.jar_test() if step.unit == "min"] == [15.0]
    assert mixing.stays_mixed(100.0, [80.0, 120.0, 79.0, 121.0]).tolist() == [True, True, False, False]


def test_a_dilute_tank_brings_a_hundredth_of_what_a_dressing_of_compost_brings() -> None:
    nitrogen = claims.nitrogen_of_nitrate_mg_l(claims.compared_figure("leachate_nitrate"))
    rate = table("tank/trials").row(trial="laboratory_dilute")["rate_l_m2"]
    brought = float(claims.brought_kg_m2(nitrogen, rate))
    dressed = float(claims.nitrogen_in_compost_kg(0.0254, 504.0, 0.6, 1.5))
    assert brought < 0.01 * claims.compared_figure("mineral_nitrogen_compared")
    assert brought < 0.01 * dressed


@given(st.floats(1e5, 1e9), st.floats(0.1, 10), st.floats(0.05, 0.3))
def test_twice_the_depth_halves_the_share_added(per_ml: float, rate: float, depth: float) -> None:
    soil = claims.compared_figure("soil_bacteria")
    once = claims.added_organisms_pct(per_ml, rate, soil, 1.3, depth)
    assert claims.added_organisms_pct(per_ml, rate, soil, 1.3, 2 * depth) == pytest.approx(once / 2)
