"""How numbers and quantities are written."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.quantity import interval, number, show, show_interval, with_unit


@pytest.mark.parametrize(("value", "written"), [
    (0, "0"), (-0.0, "0"), (5, "5"), (5.04, "5"), (5.06, "5.1"), (12.7, "13"), (99.6, "100"), (127.4, "127"),
    (1249.2, "1,250"),
    (1234567, "1,230,000"), (0.0834, "0.083"), (0.1, "0.1"), (-3.25, "−3.2"), (-1249, "−1,250"), (float("nan"),
    "not known"),
    (None, "not known"),
])
def test_a_number_has_sensible_figures(value: float | None, written: str) -> None:
    assert number(value) == written


def test_more_figures_are_written_when_asked() -> None:
    assert (number(45.72, 3), number(1234567, 9), number(2.0684, 3)) == ("45.7", "1,234,567", "2.07")


@pytest.mark.parametrize(("low", "high", "written"), [
    (22.3, 38.1, "22 to 38"), (-3.2, 12.4, "−3 to 12"), (0, 0.3, "0 to 0.3"), (-0.004, 0.3, "0 to 0.3"), (0, 0, "0"),
    (2.34, 38, "2 to 38"),
    (5.01, 5.02, "5"),
    (95, 120, "95 to 120"), (-12, -3.4, "−12 to −3"),
])
def test_both_ends_of_an_interval_have_the_same_decimals(low: float, high: float, written: str) -> None:
    assert interval(low, high) == written


@pytest.mark.parametrize(("value", "unit", "pair", "us", "metric"), [
    (0.127, "m", ("in", "cm"), "5 in (13 cm)", "13 cm (5 in)"),
    (457.2, "mm", ("in", "cm"), "18 in (46 cm)", "46 cm (18 in)"),
    (1.68, "m", None, "5.5 ft (1.7 m)", "1.7 m (5.5 ft)"),
    (2068.4, "kPa", None, "300 psi (2070 kPa)", "2070 kPa (300 psi)"),
    (20, "degC", None, "68 °F (20 °C)", "20 °C (68 °F)"),
    (10, "degC_diff", None, "18 °F (10 °C)", "10 °C (18 °F)"),
    (2, "m3", None, "2.6 yd³ (2 m³)", "2 m³ (2.6 yd³)"),
    (10, "L/m2", None, "245 gal/1000 ft² (10 L/m²)", "10 L/m² (245 gal/1000 ft²)"),
    (0.14, "1", None, "14 %", "14 %"), (6.5, "pH", None, "6.5", "6.5"), (1995, "year", None, "1995", "1995"),
    (3.2, "dS/m", None, "3.2 dS/m", "3.2 dS/m"), (None, "m", None, "not known", "not known"),
])
def test_the_readers_system_comes_first_and_the_other_behind(
        value: float | None, unit: str, pair: tuple[str, str] | None, us: str, metric: str) -> None:
    assert show(value, unit, "us", pair) == us
    assert show(value, unit, "metric", pair) == metric


def test_intervals_of_quantities() -> None:
    assert show_interval(0.1, 0.25, "m", "us", ("in", "cm")) == "3.9 to 9.8 in (10 to 25 cm)"
    assert show_interval(0.02, 0.38, "1", "metric") == "2 to 38 %"
    assert with_unit("45", "deg") == "45°"


@given(st.floats(-1e9, 1e9).filter(lambda value: abs(value) > 1e-9))
def test_a_written_number_is_near_the_number(value: float) -> None:
    text = number(value)
    back = float(text.replace(",", "").replace("−", "-"))
    assert abs(back - value) <= abs(value) * 0.051
    assert "-" not in text
    assert not math.isnan(back)
