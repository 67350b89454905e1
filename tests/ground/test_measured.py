"""What is measured out comes back from either system to the last printed digit, read by our own parser."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.measured import Pair, measured, not_above, on_a_tape, told
from rootcase.ground.quantity import System, show
from rootcase.ground.typed import read
from rootcase.ground.units import convert

PAIRS: list[tuple[str, Pair]] = [
    ("m2", ("ft2", "m2")), ("m3", ("yd3", "m3")), ("kg", ("lb", "kg")), ("L", ("gal", "L")), ("m", ("in", "cm")),
    ("mm", ("in", "mm")), ("m", ("ft", "m")), ("L/m2", ("gal/1000ft2", "L/100m2")),
    ("kg/m2", ("lb/1000ft2", "kg/100m2"))]
SYSTEMS: tuple[System, ...] = ("us", "metric")


def parts(text: str) -> list[str]:
    """The figure of the property's own system, and the other one."""
    found = re.fullmatch(r"(.+?) \((.+)\)", text)
    assert found, text
    return list(found.groups())


def comes_back(text: str, unit: str, system: System, pair: Pair, figures: int | None = None) -> bool:
    """Whether either printed figure, read as a person's typing is, prints the whole again."""
    for printed in parts(text):
        typed = read(printed)
        assert typed is not None
        assert typed.value is not None
        assert typed.unit is not None
        if told(convert(typed.value, typed.unit, unit), unit, system, pair, figures) != text:
            return False
    return True


@pytest.mark.property
@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize(("unit", "pair"), PAIRS)
@given(value=st.floats(1e-3, 1e6))
def test_either_figure_brings_the_other_back(system: System, unit: str, pair: Pair, value: float) -> None:
    assert comes_back(told(value, unit, system, pair), unit, system, pair)


def test_figures_as_few_as_usual_do_not_come_back() -> None:
    litres = convert(9.9, "gal", "L")
    assert show(litres, "L", "us").replace("\u00a0", " ") == "9.9 gal (37 L)"  # and 37 L are 9.8 gal
    assert not comes_back("9.9 gal (37 L)", "L", "us", ("gal", "L"))
    assert told(litres, "L", "us", ("gal", "L")).replace("\u00a0", " ") == "9.9 gal (37.5 L)"


@pytest.mark.property
@pytest.mark.parametrize("system", SYSTEMS)
@given(value=st.floats(1e-3, 1e6))
def test_rounding_twice_is_rounding_once(system: System, value: float) -> None:
    once = measured(value, "m3", system, ("yd3", "m3"))
    assert once == pytest.approx(value, rel=0.051)
    assert measured(once, "m3", system, ("yd3", "m3")) == once


@pytest.mark.parametrize(("depth_m", "system", "written"), [
    (0.08, "us", "3 in"), (0.08, "metric", "8 cm"), (0.065, "us", "2.5 in"), (0.065, "metric", "6.5 cm"),
    (0.2, "us", "8 in"), (0.0125, "us", "0.5 in"), (0.0125, "metric", "1.3 cm"), (0.001, "us", "0.25 in")])
def test_a_depth_is_one_a_tape_shows(depth_m: float, system: System, written: str) -> None:
    assert parts(told(on_a_tape(depth_m, system), "m", system, ("in", "cm")))[0].replace("\u00a0", " ") == written


@pytest.mark.property
@pytest.mark.parametrize("system", SYSTEMS)
@given(value=st.floats(1e-3, 1e5))
def test_what_is_weighed_out_is_never_rounded_over_its_cap(system: System, value: float) -> None:
    out = not_above(value, "kg", system, ("lb", "kg"), 3)
    assert value * 0.99 <= out <= value * (1 + 1e-5)
    assert measured(out, "kg", system, ("lb", "kg"), 3) == out
