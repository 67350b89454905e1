"""The part of a record that decides one tree: it gives the same answer to the last bit, and holds no other tree."""

from __future__ import annotations

from dataclasses import replace

import pytest

from rootcase.casework.explain.explain import explain
from rootcase.casework.explain.slice import slice_for
from rootcase.casework.prescribe.outlooks import outlooks_of
from tests.casework.property import (
    FIELD,
    LAWN,
    PLACES,
    TREES,
    WOOD,
    changed,
    compared,
    read,
    record,
    soil_readings,
    weather,
)
from tests.services.test_results import bits

DUG = FIELD + LAWN + WOOD + soil_readings("y-1", organic=0.06, density=1.2, texture="loam")
"""The yardstick's soil read too."""
CONE = read("penetrometer_cone", "another visit", choice="small")


@pytest.mark.property
@pytest.mark.parametrize("tree", ["t-field", "t-lawn"])
def test_a_slice_explains_as_the_whole_does(tree):
    whole, line = record(DUG), compared(tree, 0.4, 100)
    of_slice, of_whole = (explain(each, tree, line, weather(), draws=100, seed=1, threads=1)
                          for each in (slice_for(whole, tree), whole))
    assert bits(of_slice) == bits(of_whole)


@pytest.mark.property
@pytest.mark.parametrize("tree", ["t-field", "t-lawn"])
def test_a_slice_looks_ahead_as_the_whole_does(tree):
    whole, line = record(DUG), compared(tree, 0.4, 60)
    explained = explain(whole, tree, line, weather(), draws=60, seed=1, threads=1)
    of_slice, of_whole = (outlooks_of(each, explained, line, weather(), draws=60, seed=1, threads=1)
                          for each in (slice_for(whole, tree), whole))
    assert bits(of_slice) == bits(of_whole)


def test_a_slice_holds_what_speaks_of_the_tree_and_its_yardstick():
    own = slice_for(record(), "t-field")
    assert {tree.id for tree in own.trees} == {"t-field", "y-1", "y-2"}
    assert {place.id for place in own.places} == {"field", "wood"}
    assert {each.of for each in own.readings} == {"t-field", "p-t-field", "s-t-field", "field", "y-1", "y-2"}
    assert own.compared_with == {"t-field": "yard"}
    assert own == slice_for(own, "t-field")


@pytest.mark.property
def test_another_tree_s_reading_leaves_a_slice_as_it_was_and_one_s_own_does_not():
    before, own = record(), slice_for(record(), "t-field")
    others = [replace(each, value=2.0) if each in LAWN and each.kind == "bulk_density" else each
              for each in before.readings]
    assert slice_for(replace(before, readings=tuple(others)), "t-field") == own
    assert slice_for(replace(before, readings=tuple(changed(before.readings, "dbh", value=1.0))), "t-field") != own


def test_ground_of_no_tree_goes_with_its_place_and_a_cone_with_every_tree():
    whole = record()
    pit = replace(whole.pits[0], id="free", tree_id=None, place_id="lawn")
    readings = (*whole.readings, read("texture_feel", "free", choice="clay"), CONE)
    whole = replace(whole, pits=(*whole.pits, pit), readings=readings)
    assert "free" in {each.of for each in slice_for(whole, "t-lawn").readings}
    assert "free" not in {each.of for each in slice_for(whole, "t-field").readings}
    assert CONE in slice_for(whole, "t-field").readings


def test_a_tree_nobody_knows_leaves_nothing_but_the_property():
    own = slice_for(record(), "elsewhere")
    assert (own.trees, own.readings, own.property) == ((), (), record().property)
    assert slice_for(replace(record(trees=TREES[:1]), places=PLACES[:1]), "t-field").yardsticks == record().yardsticks
