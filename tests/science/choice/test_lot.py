"""The lot: fair, the same for ever and in any order; and pairs of what is most alike."""

from __future__ import annotations

import hashlib
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.choice.lot import MOST_SEED, left_out, like_pairs

IDS = st.text(max_size=12)
SEEDS = st.integers(0, MOST_SEED)


@pytest.mark.reference
def test_it_is_drawn_as_by_hand_with_sha256sum() -> None:
    """Drawn with coreutils' sha256sum: oak 1 hashes to bacf..., oak 2 to 73fa..., and of seed, oak 2's and oak 1's the
    last hexadecimal figure is a, c, f, d, 9, e."""
    drawn = [left_out(seed, "oak 1", "oak 2") for seed in (0, 1, 2, 3, 7, 2016)]
    assert drawn == ["oak 2", "oak 2", "oak 1", "oak 1", "oak 1", "oak 2"]


@pytest.mark.property
@given(SEEDS, IDS, IDS)
def test_neither_order_nor_spelling_of_the_program_enters(seed: int, one: str, other: str) -> None:
    if one == other:
        with pytest.raises(OutOfRange, match="between two"):
            left_out(seed, one, other)
        return
    found = left_out(seed, one, other)
    assert found == left_out(seed, other, one)
    marks = sorted(hashlib.sha256(each.encode()).hexdigest() for each in (one, other))
    last = hashlib.sha256(f"{seed} {marks[0]} {marks[1]}".encode()).hexdigest()[-1]
    assert hashlib.sha256(found.encode()).hexdigest() == marks[int(last, 16) % 2]


@pytest.mark.property
def test_it_is_fair_and_one_pair_tells_nothing_of_another() -> None:
    n = 4000
    one = np.array([left_out(seed, "a", "b") == "a" for seed in range(n)])
    other = np.array([left_out(seed, "a", "c") == "a" for seed in range(n)])
    next_seed = np.roll(one, 1)
    spread = 0.5 / np.sqrt(n)
    assert abs(one.mean() - 0.5) < 4 * spread
    assert abs((one == other).mean() - 0.5) < 4 * spread
    assert abs((one == next_seed).mean() - 0.5) < 4 * spread


@pytest.mark.parametrize("seed", [-1, MOST_SEED + 1])
def test_a_seed_outside_its_range_is_told(seed: int) -> None:
    with pytest.raises(OutOfRange, match="the lot's seed is outside its range"):
        left_out(seed, "a", "b")


TABLES = st.integers(0, 9).flatmap(lambda n: st.lists(
    st.one_of(st.floats(0, 100), st.just(float("inf"))), min_size=n * n, max_size=n * n).map(
        lambda cells: np.array(cells).reshape(n, n)))


@pytest.mark.property
@given(TABLES)
def test_pairs_are_the_most_alike_and_each_thing_is_in_one_at_most(cells: np.ndarray) -> None:
    apart = np.minimum(cells, cells.T)
    pairs = like_pairs(apart)
    flat = [each for pair in pairs for each in pair]
    assert len(flat) == len(set(flat))
    distances = [apart[pair] for pair in pairs]
    assert np.all(np.isfinite(distances))
    assert distances == sorted(distances)
    free = set(range(len(apart)))
    for pair in pairs:
        assert apart[pair] == min(apart[two] for two in combinations(sorted(free), 2))
        free -= set(pair)
    assert all(np.isinf(apart[two]) for two in combinations(sorted(free), 2))


def test_what_is_no_table_of_distances_is_told() -> None:
    with pytest.raises(OutOfRange, match="not a square table"):
        like_pairs([[1.0, 2.0]])
    with pytest.raises(OutOfRange, match="apart is outside its range"):
        like_pairs([[0.0, -1.0], [-1.0, 0.0]])
    with pytest.raises(OutOfRange, match="apart is outside its range"):
        like_pairs([[0.0, np.nan], [np.nan, 0.0]])
