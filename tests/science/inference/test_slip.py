"""The chance of a slip: by hand, whatever the numbers, and refused where they mean nothing."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.inference.slip import SLIP_BEFOREHAND, chance_of_slip

INCH = math.log(2.54)


def test_by_hand() -> None:
    # 0.02 n(0.5) / (0.98 n(1) + 0.02 n(0.5)), n the normal density with spread 1
    by_hand = 0.02 * math.exp(-0.125) / (0.98 * math.exp(-0.5) + 0.02 * math.exp(-0.125))
    assert chance_of_slip(1.0, [1.5], 1.0) == pytest.approx(by_hand)


@pytest.mark.property
@given(st.floats(-3, 3), st.floats(0.02, 2), st.floats(0, 1), st.lists(st.sampled_from([0.3, -0.9, 1.2, 2.3]),
                                                                       min_size=1, unique=True))
def test_chances_are_shares_of_one_and_order_does_not_matter(ratio: float, spread: float, beforehand: float,
                                                             factors: list[float]) -> None:
    chances = chance_of_slip(ratio, factors, spread, beforehand)
    assert (chances >= 0).all()
    assert chances.sum() <= 1 + 1e-12
    assert np.allclose(chances[::-1], chance_of_slip(ratio, factors[::-1], spread, beforehand))
    assert np.allclose(chances, chance_of_slip(-ratio, [-each for each in factors], spread, beforehand))


@pytest.mark.property
@given(st.floats(0.05, 1.0))
def test_half_way_the_chance_is_what_it_was_beforehand_and_rises_towards_the_slip(spread: float) -> None:
    along = chance_of_slip(np.linspace(0, INCH, 9), [INCH], spread)[:, 0]
    assert along[4] == pytest.approx(SLIP_BEFOREHAND)
    assert (np.diff(along) >= 0).all()


def test_far_from_everything_it_stays_a_number() -> None:
    assert chance_of_slip([-50.0, 50.0], [INCH], 0.001).tolist() == [[0.0], [1.0]]


@pytest.mark.parametrize(("wrong", "name"), [
    ({"log_ratio": math.nan}, "log_ratio"), ({"log_factors": [0.0]}, "log_factors"),
    ({"log_spread": 0.0}, "log_spread"), ({"beforehand": 1.5}, "beforehand")])
def test_what_means_nothing_is_refused(wrong: dict[str, object], name: str) -> None:
    right: dict[str, object] = {"log_ratio": 0.5, "log_factors": [INCH], "log_spread": 0.3}
    with pytest.raises(OutOfRange, match=name):
        chance_of_slip(**(right | wrong))  # type: ignore[arg-type]
