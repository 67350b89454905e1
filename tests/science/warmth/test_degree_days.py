"""Truths about degree days."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.warmth.degree_days import (
    average_degree_days_c,
    four_case_degree_days_c,
    single_sine_capped_degree_days_c,
    single_sine_degree_days_c,
    substituted_degree_days_c,
)

pytestmark = pytest.mark.property

UNCAPPED = (average_degree_days_c, single_sine_degree_days_c, four_case_degree_days_c)
CAPPED = (single_sine_capped_degree_days_c, substituted_degree_days_c)
MOMENTS = (np.arange(20_000) + 0.5) / 20_000
days = st.tuples(st.floats(-40, 20), st.floats(0, 30)).map(lambda day: (day[0], day[0] + day[1]))
bases = st.floats(-5, 20)


def of_the_sine(low: float, high: float, base: float, upper: float = np.inf) -> float:
    """The day as a sine, cut at the base and the upper limit, summed moment by moment."""
    warmth = (low + high) / 2 + (high - low) / 2 * np.sin(2 * np.pi * MOMENTS)
    return float(np.mean(np.clip(warmth, base, upper) - base))


@given(days, bases)
def test_the_sine_in_one_formula_is_the_sine_summed_by_moments(day: tuple[float, float], base: float) -> None:
    assert single_sine_degree_days_c(*day, base) == pytest.approx(of_the_sine(*day, base), abs=1e-4)


@given(days, bases, st.floats(1, 20))
def test_the_cut_sine_is_the_cut_sine_summed_by_moments(day: tuple[float, float], base: float, width: float) -> None:
    ours = single_sine_capped_degree_days_c(*day, base, base + width)
    assert ours == pytest.approx(of_the_sine(*day, base, base + width), abs=1e-4)


@pytest.mark.parametrize("method", UNCAPPED)
@given(day=days, base=bases, shift=st.floats(-10, 10))
def test_only_the_distance_from_the_base_counts(method: object, day: tuple[float, float], base: float,
                                                shift: float) -> None:
    here = method(*day, base)  # type: ignore[operator]
    there = method(day[0] + shift, day[1] + shift, base + shift)  # type: ignore[operator]
    assert there == pytest.approx(here, abs=1e-6)


@pytest.mark.parametrize("method", UNCAPPED)
def test_a_day_wholly_above_counts_its_middle_and_one_wholly_below_nothing(method: object) -> None:
    told = method([12.0, -20.0, 10.0], [20.0, -3.0, 10.0], [10.0, 5.0, 10.0])  # type: ignore[operator]
    assert told == pytest.approx([6.0, 0.0, 0.0], abs=1e-12)


@given(days, bases)
def test_the_methods_stand_in_their_order(day: tuple[float, float], base: float) -> None:
    """A cut at the base lifts the cold half of the day: the floor on the mean is least, substitution most."""
    average, sine = average_degree_days_c(*day, base), single_sine_degree_days_c(*day, base)
    assert -1e-12 <= average <= sine + 1e-12
    assert sine <= substituted_degree_days_c(*day, base, 60.0) + 1e-9
    assert average <= four_case_degree_days_c(*day, base) + 1e-12


@pytest.mark.parametrize("method", CAPPED)
@given(day=days, base=bases, width=st.floats(0.5, 20))
def test_a_cap_holds(method: object, day: tuple[float, float], base: float, width: float) -> None:
    assert 0.0 <= method(*day, base, base + width) <= width + 1e-12  # type: ignore[operator]


def test_a_limit_never_reached_changes_nothing() -> None:
    low, high = np.array([-8.0, 2.0, 9.0, 14.0]), np.array([4.0, 15.0, 22.0, 31.0])
    capped = single_sine_capped_degree_days_c(low, high, 5.0, 40.0)
    np.testing.assert_allclose(capped, single_sine_degree_days_c(low, high, 5.0), rtol=0.0, atol=1e-12)


def test_the_four_cases_meet_where_the_base_leaves_one() -> None:
    edges = four_case_degree_days_c(4.0, 16.0, [4.0 - 1e-9, 4.0 + 1e-9, 10.0 - 1e-9, 10.0 + 1e-9, 16.0 - 1e-9, 16.0])
    assert edges == pytest.approx([6.0, 6.0, 1.5, 1.5, 0.0, 0.0], abs=1e-8)


def test_swapped_sides_of_a_day_are_refused() -> None:
    with pytest.raises(OutOfRange, match=r"t_max_c less t_min_c is outside its range .got -5 degC"):
        single_sine_degree_days_c(15.0, 10.0, 5.0)


def test_swapped_limits_are_asked_about() -> None:
    with pytest.raises(OutOfRange, match=r"base_c is not below upper_c .*were the two boxes swapped\?"):
        single_sine_capped_degree_days_c(5.0, 20.0, 30.0, 10.0)


def test_a_day_not_known_is_no_warmth() -> None:
    with pytest.raises(OutOfRange, match=r"t_min_c is outside its range .got nan"):
        average_degree_days_c([5.0, np.nan], [20.0, 20.0], 10.0)
