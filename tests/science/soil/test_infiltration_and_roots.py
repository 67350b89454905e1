"""Truths about what a ring takes in, and about the depth of roots."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.soil.infiltration import permeability_class, ring_depth_mm, ring_rate_mm_h
from rootcase.science.soil.roots import root_share_above
from rootcase.tables.load import table

pytestmark = pytest.mark.property


def test_twice_the_diameter_stands_a_quarter_as_deep_and_half_the_time_is_twice_the_rate() -> None:
    assert ring_depth_mm(400.0, 300.0) == pytest.approx(ring_depth_mm(400.0, 150.0) / 4)
    assert ring_rate_mm_h(400.0, 150.0, 5.0) == pytest.approx(2 * ring_rate_mm_h(400.0, 150.0, 10.0))


def test_a_litre_on_a_quarter_of_a_square_metre_stands_four_millimetres() -> None:
    assert ring_depth_mm(1000.0, 2000.0 / np.sqrt(4 * np.pi)) == pytest.approx(4.0)


def test_a_rate_on_the_border_is_of_the_slower_class() -> None:
    assert permeability_class([508.0, 508.1, 1.524, 1.525, 0.0]).tolist() == [
        "rapid", "very_rapid", "very_slow", "slow", "very_slow"]


def test_no_time_at_all_is_refused() -> None:
    with pytest.raises(OutOfRange, match=r"time_min is outside its range .got 0 min"):
        ring_rate_mm_h(400.0, 150.0, 0.0)


@given(st.floats(0.9, 0.99), st.floats(0, 3), st.floats(0, 3))
def test_deeper_holds_more_roots_and_never_all(beta: float, first_m: float, second_m: float) -> None:
    shallow, deep = root_share_above(beta, sorted([first_m, second_m]))
    assert 0.0 <= shallow <= deep <= 1.0


def test_no_roots_stand_above_the_ground_and_a_larger_beta_goes_deeper() -> None:
    assert root_share_above(0.966, 0.0) == 0.0
    assert np.all(np.diff(root_share_above([0.93, 0.95, 0.97], 0.3)) < 0)


def test_every_published_curve_can_be_drawn() -> None:
    for curve in table("soil/root_curves").rows:
        assert 0.4 < root_share_above(curve["beta"], 0.3) < 0.95
