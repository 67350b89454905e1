"""Shares in words: no words claim more than the numbers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.records.estimate import Estimate
from rootcase.report.text.shares import between, nearest, of_its_kind, outward, plain

pytestmark = pytest.mark.property


@given(st.floats(0.001, 8), st.floats(1, 4))
def test_the_words_of_an_interval_hold_it(low: float, ratio: float) -> None:
    bottom, top = outward(low, low * ratio)
    assert bottom <= low * 1.04 + 1e-12
    assert top * 1.04 >= low * ratio - 1e-12
    assert bottom <= top


@given(st.floats(0.045, 5))
def test_the_nearest_fraction_is_near(share: float) -> None:
    assert abs(math.log(nearest(share) / share)) < math.log(1.45)


@given(st.floats(0, 50), st.floats(0, 50))
def test_more_growth_never_sounds_like_less(one: float, other: float) -> None:
    less, more = sorted((one, other))
    assert nearest(less) <= nearest(more)


@pytest.mark.parametrize(("share", "words"), [
    (0.14, "about a seventh of what its healthy kind grows"),
    (0.005, "next to nothing of what its healthy kind grows"),
    (1.02, "about as much as its healthy kind"),
    (1.22, "about a quarter more than its healthy kind"),
    (2.1, "about twice as much as its healthy kind"),
    (11.0, "more than five times as much as its healthy kind"),
])
def test_the_best_estimate_in_words(share: float, words: str) -> None:
    assert of_its_kind(Estimate(share, share, share, share, share, share)) == words


@pytest.mark.parametrize(("low", "high", "words"), [
    (0.10, 0.19, "between a tenth and a fifth"),
    (0.01, 0.2, "under a fifth"),
    (0.9, 1.02, "between nine tenths and all"),
    (0.8, 1.32, "between four fifths of that and a third more than that"),
    (0.5, 0.5, "very close to half"),
    (0.99, 1.01, "very close to all of that"),
    (3.0, 9.0, "over three times as much as that"),
    (0.0, 0.01, "under a twentieth"),
])
def test_an_interval_in_words(low: float, high: float, words: str) -> None:
    assert between(low, high) == words


def test_a_bare_share() -> None:
    assert [plain(share) for share in (0.0, 0.26, 1.0)] == ["next to nothing", "a quarter", "as much"]
