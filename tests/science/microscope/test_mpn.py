"""Tubes: the estimate against a search of the likelihood, the limits against every outcome there can be."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom

from rootcase.ground.errors import ImpossibleValue, OutOfRange
from rootcase.science.microscope.mpn import mpn, mpn_limits_delta, thomas_estimate

pytestmark = pytest.mark.property

TENFOLD = np.array([0.1, 0.01, 0.001])
THREE = np.array([3, 3, 3])


@st.composite
def rows(draw: st.DrawFn) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Inocula, tubes and positives, neither none nor all."""
    dilutions = draw(st.integers(1, 5))
    inoculum = np.array(draw(st.lists(st.floats(1e-6, 10.0), min_size=dilutions, max_size=dilutions)))
    tubes = np.array(draw(st.lists(st.integers(1, 8), min_size=dilutions, max_size=dilutions)))
    positive = np.array([draw(st.integers(0, int(n))) for n in tubes])
    if tubes.sum() < 2 or not 0 < positive.sum() < tubes.sum():
        return TENFOLD, THREE, np.array([2, 1, 0])
    return inoculum, tubes, positive


def log_likelihood(number: np.ndarray, inoculum: np.ndarray, tubes: np.ndarray, positive: np.ndarray) -> np.ndarray:
    return binom.logpmf(positive, tubes, -np.expm1(-np.multiply.outer(number, inoculum))).sum(axis=-1)


@given(rows())
def test_no_other_number_is_likelier(row: tuple[np.ndarray, np.ndarray, np.ndarray]) -> None:
    low, high, best = -15.0, 25.0, 0.0
    while high - low > 1e-8:
        grid = np.linspace(low, high, 200)
        best = grid[np.argmax(log_likelihood(np.exp(grid), *row))]
        low, high = best - (high - low) / 60, best + (high - low) / 60
    # Flat at its top: a search by likelihood alone is blind below the root of a float's last digit.
    number = mpn(*row, 0.95).number
    assert np.log(number) == pytest.approx(best, abs=1e-6)
    assert log_likelihood(np.array(number), *row) >= log_likelihood(np.array(np.exp(best)), *row) - 1e-12


@given(rows(), st.floats(1e-3, 1e3))
def test_a_hundredth_of_the_volume_is_a_hundred_times_the_number(
        row: tuple[np.ndarray, np.ndarray, np.ndarray], times: float) -> None:
    inoculum, tubes, positive = row
    one, other = mpn(inoculum, tubes, positive, 0.95), mpn(inoculum * times, tubes, positive, 0.95)
    assert [other.number * times, other.low * times, other.high * times, other.rarity] == pytest.approx(
        [one.number, one.low, one.high, one.rarity], rel=1e-6)
    assert one.least <= one.number <= one.most * (1 + 1e-9)
    assert one.low <= one.number <= one.high


@given(rows())
def test_one_more_positive_is_more(row: tuple[np.ndarray, np.ndarray, np.ndarray]) -> None:
    inoculum, tubes, positive = row
    at = int(np.argmax(tubes - positive))
    more = positive + np.eye(tubes.size, dtype=int)[at]
    one, other = mpn(inoculum, tubes, positive, 0.95), mpn(inoculum, tubes, more, 0.95)
    assert other.number > one.number
    assert other.low >= one.low * (1 - 1e-9)
    assert other.high >= one.high * (1 - 1e-9)


def test_the_order_of_the_dilutions_does_not_matter() -> None:
    one, other = mpn(TENFOLD, [5, 3, 4], [4, 1, 1], 0.9), mpn(TENFOLD[::-1], [4, 3, 5], [1, 1, 4], 0.9)
    assert [one.number, one.low, one.high] == pytest.approx([other.number, other.low, other.high], rel=1e-9)


OUTCOMES = np.array(list(product(range(4), repeat=3)))
FOUND = [mpn(TENFOLD, THREE, outcome, 0.95) for outcome in OUTCOMES]


def chances(number: float) -> np.ndarray:
    return np.exp(log_likelihood(np.array(number), TENFOLD, THREE, OUTCOMES))


@pytest.mark.parametrize("at", [1, 4, 23, 37, 52, 62, 63])
def test_at_the_limits_an_outcome_as_far_out_has_half_of_the_rest_as_its_chance(at: int) -> None:
    numbers, ours = np.array([each.number for each in FOUND]), FOUND[at]
    assert chances(ours.low)[numbers >= ours.number * (1 - 1e-9)].sum() == pytest.approx(0.025, rel=1e-6)
    if np.isfinite(ours.number):
        assert chances(ours.high)[numbers <= ours.number * (1 + 1e-9)].sum() == pytest.approx(0.025, rel=1e-6)


def test_the_exact_limits_cover_and_those_of_the_logarithm_do_not_always() -> None:
    exact, delta = [], []
    inside = [slice(None) if 0 < each.number < np.inf else None for each in FOUND]
    logs = [mpn_limits_delta(TENFOLD, THREE, o, 0.95)[1:] if some else (0.0, 0.0)
            for o, some in zip(OUTCOMES, inside, strict=True)]
    for number in np.geomspace(1.0, 3000.0, 120):
        chance = chances(number)
        exact.append(chance[[each.low <= number <= each.high for each in FOUND]].sum())
        delta.append(chance[[low <= number <= high for low, high in logs]].sum())
    assert min(exact) >= 0.95 - 1e-9
    assert min(delta) < 0.9


def test_none_and_all_positive_are_bounds() -> None:
    none, every = mpn(TENFOLD, THREE, [0, 0, 0], 0.95), mpn(TENFOLD, THREE, THREE, 0.95)
    assert (none.number, none.low, every.number, every.high) == (0.0, 0.0, np.inf, np.inf)
    assert none.high == pytest.approx(-np.log(0.025) / 0.333)
    assert np.prod(-np.expm1(-every.low * TENFOLD)) ** 3 == pytest.approx(0.025)
    assert (none.least, every.most) == (FOUND[1].number, FOUND[62].number)


def test_ten_dilutions_in_which_only_the_last_ones_speak() -> None:
    inoculum = 10.0 ** -np.arange(11.0)
    many, few = (mpn(inoculum[first:], np.full(11 - first, 3), [3] * (8 - first) + [2, 1, 0], 0.95) for first in (0, 6))
    assert [many.number, many.low, many.high] == pytest.approx([few.number, few.low, few.high], rel=1e-4)


@given(rows())
def test_thomas_lies_near(row: tuple[np.ndarray, np.ndarray, np.ndarray]) -> None:
    inoculum, tubes, positive = row
    low, high = positive.sum() / (inoculum * tubes).sum(), positive.sum() / (inoculum * (tubes - positive)).sum()
    assert low * (1 - 1e-8) <= mpn(*row, 0.95).number <= high * (1 + 1e-8)
    assert thomas_estimate(*row) == pytest.approx((low * high) ** 0.5)


def test_a_row_that_hardly_can_be_is_told_as_rare() -> None:
    assert mpn(TENFOLD, THREE, [0, 0, 3], 0.95).rarity < 1e-4
    assert mpn(TENFOLD, THREE, [3, 1, 0], 0.95).rarity > 0.1


def test_a_number_never_lies_beyond_its_own_limits() -> None:
    odd = mpn([1.0, 1e-6], [1, 5], [0, 4], 0.95)
    assert odd.rarity < 1e-4
    assert odd.high == odd.number > -np.log(0.025)  # what the first tube alone allows


@pytest.mark.parametrize(("row", "message"), [
    ((TENFOLD, [3, 3, 3], [4, 0, 0]), "more positive than tubes"),
    ((TENFOLD, [3, 3], [1, 0]), "do not match"),
    ((TENFOLD, [3, 3, 2.5], [1, 0, 0]), "not a count"),
    (([0.1], [1], [1]), "tubes in all"),
    (([0.0], [5], [1]), "inoculum_g is outside"),
    ((2.0 ** -np.arange(12.0), [20] * 12, [10] * 12), "too many outcomes"),
])
def test_what_is_no_row_of_tubes_is_refused(row: tuple[object, ...], message: str) -> None:
    with pytest.raises((OutOfRange, ImpossibleValue), match=message):
        mpn(*row, 0.95)  # type: ignore[arg-type]


@pytest.mark.parametrize("positive", [[0, 0, 0], [3, 3, 3]])
def test_the_logarithm_has_no_limits_where_it_has_no_end(positive: list[int]) -> None:
    with pytest.raises(OutOfRange, match="no standard error"):
        mpn_limits_delta(TENFOLD, THREE, positive, 0.95)
