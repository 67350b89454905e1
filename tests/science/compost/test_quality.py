"""Density, loss, classes, limits and the bean test."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange
from rootcase.science.compost.density import (
    dry_matter_loss_pct,
    free_air_space_by_bucket_pct,
    free_air_space_by_density_pct,
    organic_matter_loss_pct,
    volume_left_m3,
)
from rootcase.science.compost.maturity import bean_test, maturity_class, maturity_rating
from rootcase.science.compost.quality import Conductivity, limit_kept, saltier_by_ds_m, usual_conductivity, usual_rows
from rootcase.tables.load import table

pytestmark = pytest.mark.property


@given(st.floats(1, 60), st.floats(0, 39))
def test_ash_stays_while_organic_matter_goes(start: float, more: float) -> None:
    dry_left = 1 - float(dry_matter_loss_pct(start, start + more)) / 100
    organic_left = 1 - float(organic_matter_loss_pct(start, start + more)) / 100
    assert dry_left * (start + more) == pytest.approx(start)
    assert (100 - start) * organic_left + start == pytest.approx(100 * dry_left)


@given(st.floats(100, 700), st.floats(20, 80), st.floats(20, 95))
def test_air_water_and_solids_fill_the_heap(density: float, wet: float, organic: float) -> None:
    dry = density * (1 - wet / 100)
    solids = dry * organic / 100 / 1600 + dry * (1 - organic / 100) / 2500
    air = float(free_air_space_by_density_pct(density, wet, organic)) / 100
    assert air + density * wet / 100 / 1000 + solids == pytest.approx(1)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(OutOfRange, match="rise of the ash"):
        dry_matter_loss_pct(40.0, 20.0)
    with pytest.raises(OutOfRange, match="free air space"):
        free_air_space_by_bucket_pct(6.0, 5.0)
    with pytest.raises(OutOfRange, match="free air space"):
        free_air_space_by_density_pct(1500.0, 60.0, 80.0)


def test_rules_of_shrink_stay_apart() -> None:
    web, handbook = (volume_left_m3(10.0, rule) for rule in ("web", "windrow_handbook"))
    assert [float(end) for end in (*web, *handbook)] == [3.0, 5.0, 5.0, 7.5]


@pytest.mark.parametrize(("quantity", "list_"), sorted({(row["quantity"], row["list"])
                                                        for row in table("compost/maturity_classes").rows}))
def test_every_figure_has_exactly_one_class(quantity: str, list_: str) -> None:
    ends = {row[end] for row in table("compost/maturity_classes").rows if row["quantity"] == quantity
            for end in ("low", "high")} - {None}
    for figure in sorted({*ends, *(end + 0.01 for end in ends), *(max(0.0, end - 0.01) for end in ends)}):
        assert maturity_class(quantity, figure, list_)
    if quantity != "self_heating_c" and quantity != "carbon_dioxide_mg_g_day":
        assert maturity_class(quantity, 1e6, list_) in ("immature", "very_mature")


def test_ends_of_classes_are_as_the_list_prints_them() -> None:
    assert [maturity_class("ammonium_mg_kg", figure, "ccqc_2001") for figure in (74.9, 75.0, 500.0, 500.1)] == [
        "very_mature", "mature", "mature", "immature"]
    assert [maturity_class("emergence_pct", figure, "ccqc_2001") for figure in (79.9, 80.0, 90.0, 90.1)] == [
        "immature", "mature", "mature", "very_mature"]
    assert maturity_class("self_heating_c", 20.0, "brinton_1995") == "III"
    with pytest.raises(Missing, match="no class of this quantity"):
        maturity_class("ammonium_mg_kg", 10.0, "brinton_1995")


def test_a_rating_needs_the_gate_and_both_groups() -> None:
    assert maturity_rating(26.0, "very_mature", "very_mature") == "immature"
    assert maturity_rating(15.0, None, "very_mature") is None
    assert maturity_rating(15.0, None, "immature") == "immature"
    assert maturity_rating(15.0, "very_mature", "very_mature") == "very_mature"


def test_the_bean_says_weedkiller_only_beside_a_sound_control() -> None:
    good, slow, dead = np.full((3, 3), 100.0), np.full((3, 3), 60.0), np.zeros((3, 3))
    assert bean_test(good, good, 3, twisted=1, control_twisted=0).verdict == "weedkiller_likely"
    assert bean_test(good, good, 3, twisted=1, control_twisted=1).verdict == "not_shown"
    assert bean_test(good, dead, 3, twisted=1, control_twisted=0).verdict == "not_shown"
    assert bean_test(good[:2], good, 3, twisted=0, control_twisted=0).verdict == "not_shown"
    assert bean_test(slow, good, 3, twisted=0, control_twisted=0) == ("slow", 60.0)
    assert bean_test(good, good, 3, twisted=0, control_twisted=0) == ("sound", 100.0)


def test_a_limit_is_held_in_its_own_unit() -> None:
    assert limit_kept("fecal_coliform", 999.0, "MPN/g dry", "cfr_21_112")
    assert not limit_kept("fecal_coliform", 1000.0, "MPN/g dry", "cfr_21_112")
    assert limit_kept("listeria", None, "CFU/5 g", "cfr_21_112")
    assert not limit_kept("listeria", 0.2, "CFU/5 g", "cfr_21_112")
    assert limit_kept("selenium", 60.0, "mg/kg dry", "cfr_503_13")
    assert not limit_kept("selenium", 60.0, "mg/kg dry", "cfr_503_13_before_1995")
    with pytest.raises(ImpossibleValue, match="different units"):
        limit_kept("salmonella", 1.0, "MPN/g dry", "cfr_21_112")


def test_conductivity_of_two_methods_is_never_compared() -> None:
    with pytest.raises(ImpossibleValue, match="never held against another"):
        saltier_by_ds_m(Conductivity(4.0, "1:5"), Conductivity(4.0, "paste"))
    assert usual_conductivity(Conductivity(4.0, "paste")) == (False, "desired below")
    with pytest.raises(Missing, match="no rows"):
        usual_conductivity(Conductivity(4.0, "1:10"))
    assert [row["source"] for row in usual_rows("ph", finished=True)] != []
