"""Outlines on a photo: traced, thinned, checked, filled; and what a leaf outlined by hand measures."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from rootcase.ground.errors import OutOfRange
from rootcase.science.photo.card import find_card
from rootcase.science.photo.leaf import Leaf
from rootcase.science.photo.leaf_by_hand import leaf_inside
from rootcase.science.photo.leaves import leaves_on
from rootcase.science.photo.outline import drawn_outline, filled, half_way_outline
from rootcase.science.photo.plane import mapped
from rootcase.science.plane import outline_area_m2
from tests.science.photo.test_leaves import DATA, FLAT, TRUTH

PHOTO = np.full((600, 800, 3), 220, np.uint8)
PHOTO[240:320, 300:400] = (40, 100, 30)
AROUND = ((299.5, 239.5), (399.5, 239.5), (399.5, 319.5), (299.5, 319.5))


def disk(radius: float, side: int = 120) -> np.ndarray:
    down, along = np.mgrid[:side, :side] - (side - 1) / 2
    return (radius + 0.5 - np.hypot(down, along)).clip(0, 1).astype(np.float32)


@pytest.mark.property
def test_a_traced_outline_holds_what_is_inside_and_no_more_points_than_asked() -> None:
    traced = half_way_outline(disk(40.0), 200)
    assert np.hypot(*(traced - 59.5).T) == pytest.approx(40.0, abs=0.2)
    few = half_way_outline(disk(40.0), 12)
    assert 8 <= len(few) <= 12
    for outline, off in ((traced, 0.005), (few, 0.1)):
        assert outline_area_m2(outline) == pytest.approx(np.pi * 1600, rel=off)


@pytest.mark.property
def test_what_hangs_on_a_corner_alone_and_what_touches_the_rim_are_traced() -> None:
    share = np.zeros((6, 6), np.float32)
    share[:3, :3] = share[3:, 3:] = 1.0
    assert half_way_outline(share, 50).max() == 2.5
    with pytest.raises(OutOfRange, match="nothing is inside"):
        half_way_outline(np.zeros((6, 6), np.float32), 50)


@pytest.mark.property
def test_a_filled_outline_holds_the_pixels_whose_middles_it_holds() -> None:
    outline = [(2.5, 1.5), (40.2, 8.3), (35.0, 30.1), (20.0, 12.0), (5.5, 28.0)]
    within = filled(outline, 30, 25)
    for x, y in ((10, 10), (20, 11), (20, 14), (1, 3), (29, 20), (34, 29)):
        sides = [(first, second) for first, second in zip(outline, outline[1:] + outline[:1], strict=True)
                 if (first[1] > y) != (second[1] > y)]
        right_of = [a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]) > x for a, b in sides]
        if x < 30 and y < 25:
            assert within[y, x] == bool(sum(right_of) % 2), (x, y)


@pytest.mark.property
@pytest.mark.parametrize(("points", "told"), [
    ([(1, 1), (9, 9)], "too few points"), ([(1, 1), (9, 9), (1, 1)], "too few points"),
    ([(0, 0)] * 1001, "too many"), ([(1, 1), (9, 1), (9, 99)], "beside the photo"),
    ([(1, 1), (9, 9), (9, 1), (1, 9)], "cross or touch"), ([(1, 1), (9, 9), (5, 5)], "cross or touch"),
    ([(1, 1), (9, float("nan")), (9, 1)], "beside the photo"), ([1, 2, 3], "too few points")])
def test_what_is_no_outline_is_refused(points: list[tuple[float, float]], told: str) -> None:
    with pytest.raises(OutOfRange, match=told):
        drawn_outline(points, 20, 20)


@pytest.mark.reference
@pytest.mark.parametrize("file", TRUTH)
def test_what_is_outlined_as_it_was_found_measures_alike(file: str) -> None:
    pixels = np.asarray(Image.open(DATA / file))
    card = find_card(pixels.mean(axis=2, dtype=np.float32) / np.float32(255))
    for leaf, true in zip(leaves_on(pixels, card), TRUTH[file], strict=True):
        assert len(leaf.outline_px) <= 200
        drawn = leaf_inside(pixels, card, leaf.outline_px)
        assert drawn.area_mm2 == pytest.approx(leaf.area_mm2, rel=0.006)
        assert drawn.low_mm2 < true < drawn.high_mm2
        assert drawn.high_mm2 - drawn.low_mm2 > 2 * (leaf.high_mm2 - leaf.low_mm2) or leaf.shade < 0.8
        assert drawn.color == pytest.approx(leaf.color, abs=0.03)
        assert drawn.middle_mm == pytest.approx(leaf.middle_mm, abs=0.3)
        outwards = mapped(card.to_mm, leaf.outline_px) - leaf.middle_mm
        assert (np.hypot(*outwards.T) < 25).all()


@pytest.mark.property
def test_a_hand_s_outline_beside_the_card_or_of_nothing_is_refused_and_one_on_a_square_is_told_of() -> None:
    found: Leaf = leaf_inside(PHOTO, FLAT, AROUND)
    assert (found.area_mm2, found.reaches_out) == (pytest.approx(500.0), False)
    assert leaf_inside(PHOTO, FLAT, [(100, 100), (200, 100), (200, 200), (100, 200)]).reaches_out
    wide = np.full((700, 900, 3), 220, np.uint8)
    with pytest.raises(OutOfRange, match=r"beside the card \(got 202, 70 mm\); stay within 200 x 150 mm"):
        leaf_inside(wide, FLAT, [(400, 280), (810, 280), (400, 400)])
    for sliver in ([(300, 300), (310, 300), (310, 310)], [(300.1, 300.1), (700, 300.3), (300.1, 300.6)]):
        with pytest.raises(OutOfRange, match="too little to be a leaf"):
            leaf_inside(PHOTO, FLAT, sliver)
