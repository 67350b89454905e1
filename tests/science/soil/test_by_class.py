"""Truths about what books give for the name of a soil: published sets stand side by side and are never mixed."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import Missing, OutOfRange
from rootcase.science.soil.by_class import figures_by_name
from rootcase.science.soil.density import density_limits, tree_density_limits
from rootcase.science.soil.infiltration import steady_rate_mm_h
from rootcase.science.soil.roots import deepest_roots, root_share_above
from rootcase.science.soil.saxton_rawls import soil_water
from rootcase.science.soil.texture import central_fractions
from rootcase.science.soil.water_by_class import depletion_by_feel_mm_m, fao_class_water, handbook_available_water_mm_m
from rootcase.tables.load import table

pytestmark = pytest.mark.property

CLASSES = [row["texture"] for row in table("soil/texture_centres").rows]
HANDBOOK, HANDBOOKS = table("soil/available_water_handbook").rows, ("nrcs", "uc_anr")
FELT = sorted({row["texture"] for row in table("soil/depletion_by_feel").rows})


def test_names_keep_their_lanes() -> None:
    (low,) = figures_by_name("soil/density_trees", "texture", [["loam", "clay"], ["clay", "loam"]], ("low_mg_m3",))
    assert low.tolist() == [[1.45, 1.40], [1.40, 1.45]]


def test_a_name_that_is_not_there_is_named() -> None:
    with pytest.raises(Missing, match="texture = mud"):
        tree_density_limits(["loam", "mud"])
    with pytest.raises(Missing, match="texture = silt, by = nrcs"):
        handbook_available_water_mm_m("silt", "nrcs")
    with pytest.raises(Missing, match="soil = loam, by = hillel"):
        steady_rate_mm_h("loam", "hillel")
    with pytest.raises(Missing, match="texture = sand, available_from = 0"):
        depletion_by_feel_mm_m("sand", 0.5)


@pytest.mark.parametrize("texture", CLASSES)
def test_fao_s_classes_hold_in_order_and_more_than_saxton_and_rawls_at_field_capacity(texture: str) -> None:
    held = fao_class_water(texture)
    assert 0 < held.wilting_point < held.field_capacity < held.saturation < 0.6
    assert held.field_capacity > soil_water(*central_fractions(texture), 2.5).field_capacity


def test_where_two_handbooks_name_a_texture_they_overlap() -> None:
    in_both = sorted(set.intersection(*({row["texture"] for row in HANDBOOK if row["by"] == by} for by in HANDBOOKS)))
    nrcs, california = (handbook_available_water_mm_m(in_both, by) for by in HANDBOOKS)
    assert len(in_both) == 9
    assert np.all(np.maximum(nrcs.low, california.low) < np.minimum(nrcs.high, california.high))


@given(st.sampled_from(FELT), st.floats(0, 1))
def test_what_is_gone_by_feel_lies_in_what_the_handbook_holds(texture: str, available: float) -> None:
    gone, held = depletion_by_feel_mm_m(texture, available), handbook_available_water_mm_m(texture, "nrcs")
    assert 0.0 <= gone.low < gone.high <= held.high
    rounding = 0.09 * 1000 / 12  # the chart prints tenths of an inch a foot, and not always the nearest
    assert gone.low - rounding <= (1.0 - available) * held.low
    assert (1.0 - available) * held.high <= gone.high + rounding


def test_wetter_to_the_feel_is_less_to_bring() -> None:
    low, high = depletion_by_feel_mm_m("clay", [0.0, 0.24, 0.25, 0.5, 0.75, 1.0])
    assert np.all(np.diff(low) <= 0)
    assert np.all(np.diff(high) <= 0)
    assert low[1] > low[2]
    assert low[-1] == 0.0
    with pytest.raises(OutOfRange, match=r"available_share is outside its range .got 60"):
        depletion_by_feel_mm_m("loam", 60)


@pytest.mark.parametrize("texture", CLASSES)
def test_tree_limits_stand_in_order_and_below_solid_ground(texture: str) -> None:
    low, high = tree_density_limits(texture)
    assert 1.0 < low < high
    assert density_limits(*central_fractions(texture)).ideal <= low


def test_lighter_ground_takes_in_more() -> None:
    for by, soils in (("fao", ["clay", "clay_loam", "loam", "sandy_loam", "sand"]),
                      ("hillel", ["sodic_clayey_soils", "clayey_soils", "loams", "sandy_and_silty_soils", "sands"])):
        low, high = steady_rate_mm_h(soils, by)
        assert np.all(low < high)
        assert low[1:].tolist() == high[:-1].tolist()


def test_the_deepest_roots_lie_below_nearly_all_roots() -> None:
    forests = ["boreal_forest", "temperate_coniferous_forest", "temperate_deciduous_forest"]
    (beta,) = figures_by_name("soil/root_curves", "vegetation", forests, ("beta",))
    deepest_m, plus_minus_m = deepest_roots(forests)
    assert np.all(root_share_above(beta, deepest_m) > 0.99)
    assert np.all(plus_minus_m < 0.2 * deepest_m)
