"""The printed card found on drawn photos: every turn, a covered or mirrored one, how flat it lies."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from rootcase.ground.errors import OutOfRange
from rootcase.science.photo.card import find_card, places_mm
from rootcase.science.photo.plane import homography, mapped
from tests.science.photo.cards import draw_card

pytestmark = pytest.mark.property


@cache
def shown(linear: bool = True, markers: int = 4) -> np.ndarray:
    return np.asarray(draw_card(7, 3.0, 0.2, linear, markers).pixels.mean(axis=2) / 255.0, np.float32)


@pytest.mark.parametrize("turn", range(4))
def test_the_card_is_found_in_every_turn_and_its_corners_lie_on_it(turn: int) -> None:
    found = find_card(np.ascontiguousarray(np.rot90(shown(), turn)))
    assert found.markers == (0, 1, 2, 3)
    assert found.residual_mm < 0.06
    assert abs(found.growth_mm) < 0.05


def test_the_markers_tell_whether_light_or_what_is_stored_was_blurred() -> None:
    assert find_card(shown(linear=True)).power > 1.7
    assert find_card(shown(linear=False)).power < 1.3


def test_three_squares_are_enough_and_two_are_refused() -> None:
    assert find_card(shown(markers=3)).markers == (0, 1, 2)
    with pytest.raises(OutOfRange, match="too few of the card's corner squares"):
        find_card(shown(markers=2))


def test_a_mirrored_card_is_refused() -> None:
    with pytest.raises(OutOfRange, match="mirrored"):
        find_card(np.ascontiguousarray(shown()[:, ::-1]))


def test_a_map_of_sixteen_corners_takes_each_to_its_place() -> None:
    corners = np.concatenate(list(places_mm().values()))
    aslant = np.array([[3.0, 0.4, 20.0], [-0.2, 2.5, 30.0], [0.001, 0.002, 1.0]])
    assert mapped(homography(mapped(aslant, corners), corners), mapped(aslant, corners)) == pytest.approx(corners)


def test_points_on_a_line_or_too_few_leave_no_map() -> None:
    line = [(0, 0), (1, 1), (2, 2), (3, 3)]
    with pytest.raises(OutOfRange, match="on one line"):
        homography(line, line)
    with pytest.raises(OutOfRange, match="too few points"):
        homography(line[:3], line[:3])
