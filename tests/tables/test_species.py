"""The species table says for each cell where it is from; the growth classes' millimetres are their inches."""

from __future__ import annotations

import itertools
import re

import pytest

from rootcase.ground.units import convert
from rootcase.tables.load import Row, table

SPECIES = table("species").rows
CLASSES = {"growth_class": {"slow", "medium", "fast"}, "salt_tolerance": {"none", "low", "medium", "high"},
           "lime_chlorosis_risk": {"low", "medium", "high"}, "growth_habit": {"fixed", "free"}}


def test_names_are_unique_and_so_are_synonyms() -> None:
    names = [row["botanical_name"] for row in SPECIES] + [row["synonym"] for row in SPECIES if row["synonym"]]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("row", SPECIES, ids=lambda row: row["botanical_name"])
def test_each_cell_is_of_its_classes_and_has_a_source(row: Row) -> None:
    for column, allowed in CLASSES.items():
        assert row[column] in allowed
    assert row["botanical_name"].startswith(row["genus"] + " ")
    for column, source in row.items():
        if column.endswith("_source"):
            assert re.match(r"seen: .{8}|memory: .{8}|JUDGEMENT", source)
    assert row["common_name"]
    assert row["native_rooting"]


def test_growth_classes_are_computed_and_do_not_overlap() -> None:
    rows = table("growth_class").rows
    for row in rows:
        for end in ("low", "high"):
            assert row[f"shoot_{end}_mm"] == convert(row[f"shoot_{end}_in"], "in", "mm")
    assert all(slower["shoot_high_mm"] < faster["shoot_low_mm"] for slower, faster in itertools.pairwise(rows))
    assert {row["growth_class"] for row in rows} == CLASSES["growth_class"]
