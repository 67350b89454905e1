"""Truths about zones and volumes round a tree."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.science.zones.amounts import layer_volume_m3, ring_area_m2, soil_volume_m3
from rootcase.science.zones.protection import combined_stem_m, protection_radius_m

pytestmark = pytest.mark.property

diameters = st.floats(0, 1.25)


@given(diameters)
def test_a_foot_for_an_inch_is_twelve_diameters(stem: float) -> None:
    assert protection_radius_m(stem, "foot_per_inch") == protection_radius_m(stem, "bs_5837")
    assert protection_radius_m(stem, "foot_and_half_per_inch") == pytest.approx(18 * stem)


def test_only_the_british_rule_stops_at_fifteen_metres() -> None:
    assert protection_radius_m([1.25, 3.0], "bs_5837").tolist() == [15.0, 15.0]
    assert protection_radius_m(3.0, "foot_per_inch") == pytest.approx(36.0)


@given(st.lists(st.floats(0.01, 2), min_size=2, max_size=5))
def test_the_one_stem_has_the_basal_area_of_the_many(stems: list[float]) -> None:
    one = combined_stem_m(stems)
    assert one**2 == pytest.approx(sum(stem**2 for stem in stems))
    assert max(stems) <= one <= sum(stems)


def test_trees_stand_in_lanes() -> None:
    np.testing.assert_allclose(combined_stem_m([[0.3, 0.4], [0.5, 1.2]]), [0.5, 1.3])


@pytest.mark.parametrize("stems", [[0.4], [0.1] * 6])
def test_another_number_of_stems_is_refused(stems: list[float]) -> None:
    with pytest.raises(OutOfRange, match="the rule is for two to five stems"):
        combined_stem_m(stems)


def test_millimetres_given_for_metres_are_refused() -> None:
    with pytest.raises(OutOfRange, match=r"stem_diameter_m is outside its range .got 400 m"):
        protection_radius_m(400.0, "bs_5837")


def test_a_rule_nobody_wrote_is_missing() -> None:
    with pytest.raises(Missing, match="no rows of the table fit"):
        protection_radius_m(0.4, "dripline")


@given(st.floats(0, 100), st.floats(0, 100))
def test_a_ring_and_its_hole_are_the_circle(first: float, second: float) -> None:
    inner, outer = sorted((first, second))
    whole = ring_area_m2(outer, 0.0)
    assert ring_area_m2(outer, inner) + ring_area_m2(inner, 0.0) == pytest.approx(whole, abs=1e-9)


def test_a_hole_larger_than_the_ring_is_refused() -> None:
    with pytest.raises(OutOfRange, match="ring between the radii is outside its range"):
        ring_area_m2(1.0, 2.0)


def test_twice_the_crown_asks_for_four_times_the_soil_and_the_ends_differ_by_two() -> None:
    assert soil_volume_m3(12.0, "two_feet") == pytest.approx(4 * soil_volume_m3(6.0, "two_feet"))
    assert soil_volume_m3(12.0, "two_feet") == pytest.approx(2 * soil_volume_m3(12.0, "one_foot"))


def test_the_soil_of_a_crown_is_two_feet_deep_under_it() -> None:
    assert soil_volume_m3(9.0, "two_feet") == pytest.approx(layer_volume_m3(ring_area_m2(4.5, 0.0), 0.6096))
