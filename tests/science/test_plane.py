"""Geometry of the ground: areas, outlines that cross themselves, pictures laid by two points."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.science.plane import first_crossing, from_outline_m, in_picture_m, outline_area_m2, similarity

metres = st.floats(-2000, 2000)
pixels = st.floats(0, 4000)


@pytest.mark.property
@given(st.integers(3, 60), st.floats(0.5, 500), metres, metres, st.floats(0, 6.3))
def test_a_regular_outline_has_the_area_of_its_formula_and_never_crosses(
        corners: int, radius: float, east: float, north: float, turn: float) -> None:
    angles = turn + 2 * np.pi * np.arange(corners) / corners
    outline = np.column_stack((east + radius * np.cos(angles), north + radius * np.sin(angles)))
    assert outline_area_m2(outline) == pytest.approx(
        corners / 2 * radius**2 * math.sin(2 * math.pi / corners), rel=1e-6)
    assert outline_area_m2(outline[::-1]) == pytest.approx(outline_area_m2(outline), rel=1e-9)
    assert first_crossing(outline) is None


@pytest.mark.property
@given(st.lists(st.tuples(st.integers(-6, 6), st.integers(-6, 6)), min_size=3, max_size=8, unique=True))
def test_crossings_are_those_found_side_by_side(corners: list[tuple[int, int]]) -> None:
    found = first_crossing(corners)
    pairs = ((i, j) for i in range(len(corners)) for j in range(i + 1, len(corners)))
    slowly = next((pair for pair in pairs if meet(corners, *pair)), None)
    assert found == slowly


def meet(corners: list[tuple[int, int]], i: int, j: int) -> bool:
    """Whether two sides share a point other than the corner of neighbours; exact, in whole numbers."""
    def side(at: int) -> tuple[tuple[int, int], tuple[int, int]]:
        return corners[at], corners[(at + 1) % len(corners)]

    def turn(a: tuple[int, int], b: tuple[int, int], c: tuple[int, int]) -> int:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    def on(a: tuple[int, int], b: tuple[int, int], c: tuple[int, int]) -> bool:
        return turn(a, b, c) == 0 and min(a[0], b[0]) <= c[0] <= max(a[0], b[0]) and (
            min(a[1], b[1]) <= c[1] <= max(a[1], b[1]))

    (a, b), (c, d) = side(i), side(j)
    shared = {a, b} & {c, d}
    if shared:
        return any(on(*one, end) for one, other in ((side(i), side(j)), (side(j), side(i)))
                   for end in other if end not in shared)
    return ((turn(a, b, c) > 0) != (turn(a, b, d) > 0) and (turn(c, d, a) > 0) != (turn(c, d, b) > 0)) or any((
        on(a, b, c), on(a, b, d), on(c, d, a), on(c, d, b)))


def test_an_outline_that_runs_back_on_itself_crosses() -> None:
    assert first_crossing([(0, 0), (10, 0), (5, 0), (5, 5)]) == (0, 1)
    assert first_crossing([(0, 0), (10, 0), (10, 5), (5, 0), (0, 5)]) == (0, 2)


@pytest.mark.property
@given(pixels, pixels, pixels, pixels, metres, metres, metres, metres)
def test_both_points_of_a_picture_lie_where_they_were_said_to(
        u1: float, v1: float, u2: float, v2: float, e1: float, n1: float, e2: float, n2: float) -> None:
    assume(math.hypot(u1 - u2, v1 - v2) > 20)
    assume(math.hypot(e1 - e2, n1 - n2) > 1)
    laid = similarity((u1, v1), (u2, v2), (e1, n1), (e2, n2))
    for pixel, ground in (((u1, v1), (e1, n1)), ((u2, v2), (e2, n2))):
        assert in_picture_m(*pixel, *laid) == pytest.approx(ground, abs=1e-6 * (1 + laid[0] * 4000))
    assert laid[0] == pytest.approx(math.hypot(e1 - e2, n1 - n2) / math.hypot(u1 - u2, v1 - v2), rel=1e-9)


def test_a_picture_with_north_up_is_not_turned() -> None:
    assert similarity((0, 100), (0, 0), (3, 4), (3, 54)) == pytest.approx((0.5, 0.0, 3.0, 54.0))
    assert similarity((100, 0), (0, 0), (0, 50), (0, 0))[1] == pytest.approx(-90.0)


def test_points_too_near_or_too_far_give_no_scale() -> None:
    with pytest.raises(OutOfRange, match=r"points in the picture are too near .*got 5 px.*at least 10 px"):
        similarity((0, 0), (3, 4), (0, 0), (9, 9))
    with pytest.raises(OutOfRange, match=r"points on the ground are too near .*got 0.3 m"):
        similarity((0, 0), (30, 40), (0, 0), (0.3, 0))
    with pytest.raises(OutOfRange, match="between -5000 and 5000 m"):
        similarity((0, 0), (30, 40), (0, 0), (0, 6000))
    with pytest.raises(OutOfRange, match="outline"):
        outline_area_m2([(0, 0), (1, 0), (math.nan, 1)])


@pytest.mark.property
@given(st.floats(-30, 30), st.floats(-30, 30))
def test_a_point_is_as_far_from_a_box_as_its_formula_says(east: float, north: float) -> None:
    box = [(-10, -4), (10, -4), (10, 4), (-10, 4)]
    wanted = math.hypot(max(abs(east) - 10, 0), max(abs(north) - 4, 0))
    assert from_outline_m(east, north, box) == pytest.approx(wanted, abs=1e-9)
    assert from_outline_m(east, north, box[::-1]) == pytest.approx(wanted, abs=1e-9)
