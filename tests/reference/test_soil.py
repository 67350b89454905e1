"""Texture classes beside the polygons of soiltexture 1.0.4; water contents beside aquacrop 3.1.0."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from rootcase.science.soil.saxton_rawls import (
    LEAST_AIR_AT_FIELD_CAPACITY,
    LEAST_WATER,
    SoilWater,
    soil_water,
)
from rootcase.science.soil.texture import central_fractions, texture_class
from rootcase.tables.load import table
from tests.reference.programs import read

A_HAIR_PCT = 0.01
ROUNDED_WATER, ROUNDED_MM_DAY = 0.0005 + 1e-9, 0.05 + 1e-9  # half of the last digit aquacrop keeps


def points(grid: str) -> Iterator[tuple[float, float, str]]:
    """Sand and clay in percent, and their class by soiltexture."""
    for row in read("soiltexture_triangle.csv"):
        if row["grid"] == grid:
            first, last = float(row["sand_from_pct"]), float(row["sand_to_pct"])
            for step in range(round(last - first) + 1):
                yield first + step, float(row["clay_pct"]), row["texture"]


def ours(sand_pct: float, clay_pct: float) -> str:
    return str(texture_class(sand_pct / 100, max(0.0, 100 - sand_pct - clay_pct) / 100, clay_pct / 100))


def classes_around(sand_pct: float, clay_pct: float) -> set[str]:
    """Our classes of a point and of its six neighbours a hair away that are soils."""
    found = set()
    for sand, clay in ((0, 0), (1, 0), (-1, 0), (0, 1), (0, -1), (1, -1), (-1, 1)):
        near = sand_pct + A_HAIR_PCT * sand, clay_pct + A_HAIR_PCT * clay
        if min(near) >= 0 and sum(near) <= 100:
            found.add(ours(*near))
    return found


def on_the_rim(sand_pct: float, clay_pct: float) -> bool:
    return sand_pct == 0 or clay_pct == 0 or sand_pct + clay_pct == 100


def test_off_the_borders_every_class_is_soiltextures() -> None:
    off = list(points("off"))
    assert len(off) == 5050
    assert [point for point in off if ours(*point[:2]) != point[2]] == []


def test_on_whole_percents_only_borders_differ() -> None:
    """There a polygon gives the neighbour or, on the rim too, nothing; the inequalities give every soil one class."""
    whole = list(points("whole"))
    differing = [point for point in whole if ours(*point[:2]) != point[2]]
    assert (len(whole), len(differing)) == (5151, 317)
    for sand, clay, theirs in differing:
        around = classes_around(sand, clay)
        assert len(around) > 1 or on_the_rim(sand, clay), (sand, clay)
        assert theirs in around | {"none"}, (sand, clay)


def pedotransfer() -> tuple[dict[str, np.ndarray], SoilWater]:
    rows = read("aquacrop_pedotransfer.csv")
    theirs = {name: np.array([float(row[name]) for row in rows]) for name in rows[0]}
    texture = theirs["sand_pct"] / 100, theirs["clay_pct"] / 100, theirs["organic_matter_pct"]
    density = soil_water(*texture).normal_density_mg_m3 * theirs["density_factor"]
    return theirs, soil_water(*texture, density)


def test_saxton_and_rawls_is_the_same_where_our_two_guards_do_not_act() -> None:
    theirs, water = pedotransfer()
    guarded = ((water.wilting_point == LEAST_WATER)
               | np.isclose(water.saturation - water.field_capacity, LEAST_AIR_AT_FIELD_CAPACITY, rtol=0, atol=1e-12))
    assert (len(guarded), int(guarded.sum())) == (467, 14)
    for name, tolerance, found in (
            ("wilting_point", ROUNDED_WATER, water.wilting_point),
            ("field_capacity", ROUNDED_WATER, water.field_capacity), ("saturation", ROUNDED_WATER, water.saturation),
            ("conductivity_mm_day", ROUNDED_MM_DAY, 24.0 * water.conductivity_mm_h)):
        assert np.abs(found - theirs[name])[~guarded].max() <= tolerance, name


def test_where_a_guard_acts_aquacrop_leaves_what_can_be() -> None:
    """Hardly any water at wilting in pure sand, or no air left at field capacity; the rest agrees there too."""
    theirs, water = pedotransfer()
    dry = water.wilting_point == LEAST_WATER
    assert theirs["wilting_point"][dry].max() <= LEAST_WATER + ROUNDED_WATER
    airless = np.isclose(water.saturation - water.field_capacity, LEAST_AIR_AT_FIELD_CAPACITY, rtol=0, atol=1e-12)
    left = (theirs["saturation"] - theirs["field_capacity"])[airless]
    assert left.max() <= LEAST_AIR_AT_FIELD_CAPACITY + 2 * ROUNDED_WATER
    assert np.abs(water.saturation - theirs["saturation"]).max() <= ROUNDED_WATER


def test_the_second_set_of_soils_stands_in_our_table_as_the_program_has_it() -> None:
    kept = read("aquacrop_classes.csv")
    figures = [name for name in kept[0] if name != "texture"]
    theirs = {row["texture"]: [float(row[name]) for name in figures] for row in kept}
    assert {row["texture"]: [row[name] for name in figures] for row in table("soil/water_by_class_fao").rows} == theirs


@pytest.mark.parametrize("row", read("aquacrop_classes.csv"), ids=lambda row: row["texture"])
def test_two_published_sets_of_soils_differ_by_no_more_than_is_known(row: dict[str, str]) -> None:
    """A program's defaults by class beside Saxton and Rawls at the class's centre and 2.5 % organic matter.

    Widest apart in clay (field capacity .54 against .42) and in sand (saturation .36 against .46).
    """
    found = soil_water(*central_fractions(row["texture"]), 2.5)
    theirs = {name: float(row[name]) for name in row if name != "texture"}
    assert found.wilting_point == pytest.approx(theirs["wilting_point"], abs=0.10)
    assert found.field_capacity == pytest.approx(theirs["field_capacity"], abs=0.12)
    assert found.saturation == pytest.approx(theirs["saturation"], abs=0.11)
    assert found.field_capacity - found.wilting_point == pytest.approx(
        theirs["field_capacity"] - theirs["wilting_point"], abs=0.045)
    assert 24.0 * found.conductivity_mm_h == pytest.approx(theirs["conductivity_mm_day"], rel=0.35)
