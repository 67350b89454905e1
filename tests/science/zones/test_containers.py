"""Barrows, sacks and buckets: enough, and not one too many."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.units import convert
from rootcase.science.zones.containers import UNITS, Measure, carried

MEASURES: tuple[Measure, ...] = ("loose", "weighed", "liquid")


@pytest.mark.property
@pytest.mark.parametrize("system", ["us", "metric"])
@pytest.mark.parametrize("measure", MEASURES)
@given(amount=st.floats(0.0, 1e5))
def test_they_hold_it_and_one_fewer_would_not(measure: Measure, system: str, amount: float) -> None:
    for found in carried(measure, amount, system):
        one = convert(found.holds, found.unit, UNITS[measure])
        assert found.number * one >= amount - 1e-5 * one
        assert (found.number - 1) * one < amount


def test_a_truck_is_told_beside_the_barrows_and_a_bag_only_where_no_barrow_is_filled() -> None:
    names = {volume: [each.container for each in carried("loose", volume, "metric")] for volume in (0.06, 1.0, 16.0)}
    assert names == {0.06: ["bag"], 1.0: ["barrow"], 16.0: ["barrow", "truck"]}
    assert carried("loose", 16.0, "metric")[1].number == 2
    assert carried("loose", convert(4.2, "yd3", "m3"), "us")[0].number == 19
    assert carried("loose", convert(4.2, "yd3", "m3"), "us")[0].unit == "ft3"
