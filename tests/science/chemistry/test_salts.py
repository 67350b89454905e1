"""Truths about salts, sodium and the salt index."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.science.chemistry import salinity, salt_index, sodium
from rootcase.tables.load import table

pytestmark = pytest.mark.property

charges = st.floats(0.1, 100)
ROWS = table("chemistry/salt_tolerance").rows


def test_a_soil_just_on_a_limit_is_not_yet_of_the_worse_class() -> None:
    told = salinity.salt_class([4.0, 4.01, 4.0, 4.01], [15.0, 15.0, 15.01, 15.01])
    assert told.tolist() == ["normal", "saline", "sodic", "saline-sodic"]


@given(charges, charges, charges, st.floats(0.1, 10))
def test_a_water_thickened_n_times_has_the_root_of_n_times_the_ratio(
        na: float, ca: float, mg: float, times: float) -> None:
    thicker = sodium.sodium_adsorption_ratio(times * na, times * ca, times * mg)
    assert thicker == pytest.approx(np.sqrt(times) * sodium.sodium_adsorption_ratio(na, ca, mg))


@given(charges, charges, charges)
def test_calcium_and_magnesium_count_alike(na: float, ca: float, mg: float) -> None:
    here, swapped = sodium.sodium_adsorption_ratio(na, [ca, mg], [mg, ca])
    assert here == pytest.approx(swapped)


def test_water_without_calcium_or_magnesium_has_no_ratio() -> None:
    with pytest.raises(OutOfRange, match="calcium and magnesium together is outside its range"):
        sodium.sodium_adsorption_ratio(5.0, 0.0, 0.0)


def test_more_sodium_in_the_water_is_never_less_on_the_clay() -> None:
    esp = sodium.exchangeable_sodium_pct(np.linspace(0.0, 60.0, 601))
    assert np.all(np.diff(esp) >= 0.0)
    assert esp[0] == 0.0
    assert esp[130] == pytest.approx(15.19, abs=0.005)


def test_soil_that_is_not_sodic_gets_no_gypsum() -> None:
    to_replace = sodium.sodium_to_replace_cmol_kg([3.0, 15.0, 15.1, 40.0], 10.0, 20.0)
    np.testing.assert_allclose(sodium.gypsum_kg_m2(to_replace, 200.0, 100.0, 1.0) > 0.0, [False, False, True, True])
    assert to_replace[3] == pytest.approx(6.0)


def test_gypsum_aimed_at_a_sodic_soil_is_refused() -> None:
    with pytest.raises(OutOfRange, match="wanted_esp_pct is not below the limit of a sodic soil"):
        sodium.sodium_to_replace_cmol_kg(30.0, 20.0, 20.0)


@given(st.floats(0, 20), st.floats(1, 400), st.floats(50, 100), st.floats(1, 1.3))
def test_a_product_half_as_pure_is_spread_twice_as_thick(na: float, soil: float, purity: float, more: float) -> None:
    exact = sodium.gypsum_kg_m2(na, soil, 100.0, 1.0)
    assert sodium.gypsum_kg_m2(na, soil, purity, more) == pytest.approx(more * exact * 100.0 / purity)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['crop']} {row['list']}")
def test_a_crop_loses_nothing_to_its_threshold_and_all_a_hundred_over_slope_above(row: dict[str, float]) -> None:
    pair = salinity.salt_tolerance(row["crop"], row["list"])  # type: ignore[arg-type]
    dead = pair.threshold_ds_m + 100.0 / pair.slope_pct_per_ds_m
    left = salinity.relative_yield_pct([0.0, pair.threshold_ds_m, (pair.threshold_ds_m + dead) / 2, dead, 60.0], *pair)
    np.testing.assert_allclose(left, [100.0, 100.0, 50.0, 0.0, 0.0], atol=1e-9)


def test_a_crop_that_a_list_does_not_hold_is_missing() -> None:
    with pytest.raises(Missing, match=r"no rows of the table fit .got crop = plum, list = maas_grattan_1999"):
        salinity.salt_tolerance("plum", "maas_grattan_1999")


@given(st.floats(0.1, 3), st.floats(2, 10), st.floats(1, 500))
def test_salt_in_is_salt_out(water: float, wanted: float, used: float) -> None:
    """What drains, LR of what is applied, carries all the salt at 5 EC_e - EC_w, the source's mean of the root zone."""
    share = salinity.leaching_requirement(water, wanted)
    applied = salinity.water_with_leaching_mm(used, share)
    assert applied * water == pytest.approx((applied - used) * (5 * wanted - water))


def test_water_too_salty_to_wash_with_is_refused() -> None:
    with pytest.raises(OutOfRange, match="the water's salt beside five times what is wanted is outside its range"):
        salinity.leaching_requirement(5.0, 1.0)


def test_clean_water_needs_no_leaching() -> None:
    assert salinity.water_with_leaching_mm(30.0, salinity.leaching_requirement(0.0, 2.0)) == 30.0


@given(st.floats(0, 4.9), st.floats(1, 300))
def test_salt_that_came_with_water_gives_it_its_conductivity_back(ec: float, water: float) -> None:
    brought = salinity.salt_from_water_kg_m2(ec, water)
    assert salinity.conductivity_rise_ds_m(brought, water) == pytest.approx(ec, abs=1e-9)


def test_salt_holds_water_back() -> None:
    assert np.all(np.diff(salinity.osmotic_potential_kpa([0.0, 1.0, 8.0])) < 0.0)


def test_a_blend_of_one_part_is_that_part() -> None:
    per_unit = salt_index.salt_index_per_unit(74.4, 46.0)
    assert salt_index.blend_salt_index([46.0], [per_unit]) == pytest.approx(74.4)


@given(st.lists(st.tuples(st.floats(0, 30), st.floats(0, 5)), min_size=2, max_size=3))
def test_a_blend_lies_between_its_mildest_and_its_harshest_part(parts: list[tuple[float, float]]) -> None:
    nutrients, per_unit = np.transpose(parts)
    blend = salt_index.blend_salt_index(nutrients, per_unit)
    assert per_unit.min() * nutrients.sum() - 1e-9 <= blend <= per_unit.max() * nutrients.sum() + 1e-9


def test_blends_stand_in_lanes() -> None:
    assert salt_index.blend_salt_index([[44.0, 0.0], [0.0, 60.0]], [0.455, 1.936]) == pytest.approx([20.02, 116.16])


def test_a_blend_of_more_than_all_is_refused() -> None:
    with pytest.raises(OutOfRange, match="nutrients of a blend is outside its range"):
        salt_index.blend_salt_index([60.0, 60.0], [1.0, 1.0])


def test_the_lists_agree_within_a_tenth_but_for_ammonium_sulfate() -> None:
    """The one split the table's title warns of; a second one would be a slip of the pen."""
    by_list = {name: {row["material"]: row["salt_index"] for row in table("chemistry/salt_index").rows
                      if row["list"] == name} for name in ("mortvedt_2001", "older_list")}
    newer, older = by_list["mortvedt_2001"], by_list["older_list"]
    assert {name for name in newer.keys() & older.keys() if abs(older[name] / newer[name] - 1) > 0.1} == {
        "ammonium_sulfate"}
    assert newer["sodium_nitrate"] == 100.0
