"""Printed factors; what is not known is refused; both directions meet."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import UnknownUnit
from rootcase.ground.units import NAMES, convert, convert_exactly, convertible, relatives, unit_label, unit_name


@pytest.mark.published
@pytest.mark.parametrize(("value", "unit", "wanted", "expected"), [
    (1, "psi", "kPa", "6.894757"),  # NIST Special Publication 811, 2008, Appendix B.8 (memory), as are the next
    (1, "inHg", "kPa", "3.386389"),
    (1, "gal", "L", "3.785412"),
    (1, "imp_gal", "L", "4.546090"),
    (1, "fl_oz", "mL", "29.57353"),
    (1, "yd3", "m3", "0.7645549"),
    (1, "lb", "kg", "0.4535924"),
    (1, "oz", "g", "28.34952"),
    (1, "mph", "m/s", "0.44704"),
    (1, "lb/yd3", "kg/m3", "0.5932764"),
    (1, "ton/ft2", "kPa", "95.76052"),
    (1, "ac", "m2", "4046.856"),
])
def test_printed_factors(value: float, unit: str, wanted: str, expected: str) -> None:
    digits = len(expected.replace(".", "").lstrip("0"))
    assert f"{convert(value, unit, wanted):.{digits}g}" == f"{float(expected):.{digits}g}"


@pytest.mark.published
@pytest.mark.parametrize(("mesh", "opening_um"), [(10, 2000), (18, 1000), (40, 425), (100, 150), (200, 75), (325, 45)])
def test_mesh_is_looked_up(mesh: int, opening_um: int) -> None:
    """Nominal openings of ASTM E11 (memory)."""
    assert convert(mesh, "mesh", "um") == opening_um
    assert convert(opening_um, "um", "mesh") == mesh


def test_a_mesh_between_two_rows_is_not_made_up() -> None:
    with pytest.raises(UnknownUnit, match="no screen of 41 mesh; use one of 4, 5"):
        convert(41, "mesh", "um")
    with pytest.raises(UnknownUnit, match="no standard mesh has an opening of 410 µm"):
        convert(410, "um", "mesh")


def test_a_difference_of_temperatures_is_not_a_temperature() -> None:
    assert convert(18, "degF_diff", "degC_diff") == 10
    assert convert(18, "degF", "degC") == pytest.approx(-7.7778, abs=1e-4)
    with pytest.raises(UnknownUnit, match="degF cannot become degC_diff; use one of degC_diff, degF_diff"):
        convert(18, "degF", "degC_diff")


def test_parts_per_million_follow_the_other_unit_and_never_cross() -> None:
    assert convert(7, "ppm", "mg/kg") == convert(7, "ppm", "mg/L") == 7
    with pytest.raises(UnknownUnit, match="mg/kg cannot become mg/L"):
        convert(7, "mg/kg", "mg/L")


def test_laboratories_units_are_exact() -> None:
    assert [convert(3, unit, "mg/kg") for unit in ("mg/100g", "g/kg", "ug/g", "ppm")] == [30, 3000, 3, 3]
    assert [convert(3, unit, "dS/m") for unit in ("mmhos/cm", "umho/cm", "mS/m")] == [3, 0.003, 0.03]


def test_a_rate_on_an_area_is_no_length() -> None:
    assert convert(1, "gal/1000ft2", "L/m2") == pytest.approx(0.0407458, rel=1e-5)
    assert not convertible("gal/1000ft2", "mm")


def test_a_typed_decimal_converts_as_it_is_written() -> None:
    assert convert(0.1, "in", "mm") == 2.54
    assert convert_exactly(Fraction(1, 3), "ft", "in") == 4


@given(st.data())
def test_there_and_back_is_exact(data: st.DataObject) -> None:
    first = data.draw(st.sampled_from([name for name in NAMES if name != "mesh"]))
    second = data.draw(st.sampled_from([name for name in relatives(first) if name != "mesh"]))
    value = data.draw(st.fractions(min_value=-1000, max_value=1000, max_denominator=100))
    assert convert_exactly(convert_exactly(value, first, second), second, first) == value


@given(st.sampled_from(NAMES), st.sampled_from(NAMES))
def test_units_of_different_kinds_never_mix(first: str, second: str) -> None:
    if not convertible(first, second) and first != second:
        with pytest.raises(UnknownUnit, match=r"cannot become|mesh|opening"):
            convert(5, first, second)


@pytest.mark.parametrize(("typed", "name"), [
    ("inches", "in"), ('"', "in"), ("″", "in"), ("’", "ft"), ("Feet", "ft"), ("sq. ft.", "ft2"), ("square feet", "ft2"),
    ("ft²", "ft2"), ("ft^2", "ft2"), ("cu yd", "yd3"), ("cubic yards", "yd3"), ("yd³", "yd3"), ("gallons", "gal"),
    ("gal per 1,000 sq ft", "gal/1000ft2"), ("gallons/1000 sq. ft.", "gal/1000ft2"), ("lbs/acre", "lb/ac"),
    ("°F", "degF"), ("℃", "degC"), ("C", "degC"), ("µS/cm", "uS/cm"), ("μS/cm", "uS/cm"), ("MPA", "MPa"),
    ("kpa", "kPa"),
    ("fl. oz.", "fl_oz"), ("percent", "%"), ("per cent", "%"), ("CFU/100 mL", "1/100mL"), ("meq/100 g", "meq/100g"),
    ("gallons per minute", "gal/min"), ("g/cc", "g/cm3"), ("in/wk", "in/week"), ("Mg/m3", "Mg/m3"), ("mg/m3", "mg/m3"),
    ("mmhos/cm", "mmho/cm"), ("µmhos/cm", "uS/cm"), ("lb/A", "lb/ac"), ("lbs/A", "lb/ac"), ("me/100 g", "meq/100g"),
    ("mg kg-1", "mg/kg"), ("mg kg⁻¹", "mg/kg"), ("mg·kg⁻¹", "mg/kg"), ("cmol kg-1", "cmol/kg"), ("dS m-1", "dS/m"),
    ("kg ha⁻¹", "kg/ha"), ("mg kg-1 day-1", "mg/kg/day"), ("µg/g", "mg/kg"), ("mg/g", "g/kg"), ("mg/dm³", "mg/L"),
    ("mg/100 g", "mg/100g"),
])
def test_spellings(typed: str, name: str) -> None:
    assert unit_name(typed) == name


@pytest.mark.parametrize("name", NAMES)
def test_our_own_names_and_labels_are_read_back(name: str) -> None:
    assert unit_name(name) == name
    label = unit_label(name)
    if label and not label.startswith("per ") and not name.endswith("_diff"):
        assert unit_name(label) == name


@pytest.mark.parametrize(("typed", "way_out"), [
    ("psii", "did you mean psi"), ("furlong", "write a usual unit"), ("tons", "short ton .* or t"),
    ("MG", "write a usual"),
    ("MG/M3", "did you mean Mg/m3"), ("", "write a usual unit"), ("g/furlong", "this unit is not known"),
])
def test_what_is_not_known_is_refused_with_a_way_out(typed: str, way_out: str) -> None:
    with pytest.raises(UnknownUnit, match=way_out):
        unit_name(typed)


def test_sizes_are_all_different_from_nothing() -> None:
    assert all(math.isfinite(convert(1, name, relatives(name)[0])) for name in NAMES if name != "mesh")
