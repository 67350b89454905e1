"""Fair shares: by hand, closing, blind to names, nothing for those who do nothing."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.inference.shapley import owen_values, shapley_values

pytestmark = pytest.mark.property


def test_two_limits_harmless_alone_and_deadly_together_share_the_loss() -> None:
    assert shapley_values([1.0, 1.0, 1.0, 0.0]).tolist() == [-0.5, -0.5]


def test_a_third_that_does_nothing_gets_nothing() -> None:
    worth = [1.0, 1.0, 1.0, 0.0] * 2
    assert np.abs(shapley_values(worth) - [-0.5, -0.5, 0.0]).max() <= 1e-15


def test_three_by_hand() -> None:
    # Orders of A, B, C with v(A)=1, v(AB)=3, v(ABC)=6, all else 0: A 1,1,0,0+6,3,6 over 6 and so on.
    worth = np.zeros(8)
    worth[0b001], worth[0b011], worth[0b111] = 1.0, 3.0, 6.0
    by_order = {"ABC": (1, 2, 3), "ACB": (1, 6, -1), "BAC": (3, 0, 3), "BCA": (6, 0, 0), "CAB": (0, 6, 0),
                "CBA": (6, 0, 0)}
    assert np.abs(shapley_values(worth) - np.mean(list(by_order.values()), axis=0)).max() <= 1e-12


@given(st.integers(1, 6), st.integers(0, 2**32 - 1))
def test_the_shares_are_all_there_is(players: int, seed: int) -> None:
    worth = np.random.default_rng(seed).normal(size=(1 << players, 7))
    assert np.abs(shapley_values(worth).sum(axis=0) - (worth[-1] - worth[0])).max() <= 1e-12


@given(st.integers(1, 4), st.integers(1, 3), st.integers(0, 2**32 - 1))
def test_the_parts_are_their_player(others: int, parts: int, seed: int) -> None:
    worth = np.random.default_rng(seed).normal(size=(1 << others, 1 << parts, 3))
    whole = np.concatenate([worth[:, 0], worth[:, -1]])  # the player as the highest bit: absent, then present
    assert np.abs(owen_values(worth).sum(axis=0) - shapley_values(whole)[-1]).max() <= 1e-12


def test_parts_alone_among_players_are_a_game_of_their_own() -> None:
    worth = np.array([[1.0, 0.5, 0.4, 0.2]])
    assert np.abs(owen_values(worth) - shapley_values(worth[0])).max() <= 1e-15


def test_every_coalition_must_be_there() -> None:
    with pytest.raises(OutOfRange, match=r"not a power of two .got 3"):
        shapley_values([1.0, 2.0, 3.0])
