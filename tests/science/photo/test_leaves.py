"""Leaves on the card: areas of drawn leaves, flat, aslant, in shadow, coarse; what speaks against them."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageDraw

from rootcase.science.photo.card import Card, find_card
from rootcase.science.photo.leaf import Leaf, leaf_doubts
from rootcase.science.photo.leaves import leaves_on
from tests.science.photo.cards import draw_card

DATA = Path(__file__).parents[2] / "data"
TRUTH = {row.pop("file"): [float(each) for each in row.values()]
         for row in csv.DictReader((DATA / "card_truth.csv").open(encoding="utf-8"))}
BARS = {"card_flat.jpg": 0.02, "card_tilt30.jpg": 0.02, "card_shadow20.jpg": 0.04}
COARSE_BAR, LIT_BAR, SHADE_BAR, SUM_BAR = 0.03, 0.02, 0.04, 0.015
FLAT = Card(np.diag([0.25, 0.25, 1.0]), (0, 1, 2, 3), 1.0, 0.0, 0.0, 4.0, 0.5)
Case = dict[str, Any]


def seen_on(pixels: np.ndarray) -> tuple[Card, list[Leaf]]:
    card = find_card(pixels.mean(axis=2, dtype=np.float32) / np.float32(255))
    return card, leaves_on(pixels, card)


def case(seed: int) -> Case:
    return {"seed": seed, "px_per_mm": (4.0, 3.0, 2.0)[seed % 3], "tilt": (0.05, 0.15, 0.25)[seed // 3 % 3],
            "linear": bool(seed % 2), "shadow": (1.0, 1.0, 0.75, 0.6)[seed % 4], "jpeg": (88, 75, 92)[seed % 3]}


@cache
def measured(seed: int) -> tuple[Card, list[Leaf], list[float]]:
    drawn = draw_card(**case(seed))
    return *seen_on(drawn.pixels), drawn.areas_mm2


@pytest.fixture(scope="module")
def seeds(long: bool) -> list[int]:
    return list(range(130, 160)) if long else [130, 131, 132]


@pytest.mark.reference
@pytest.mark.parametrize("file", TRUTH)
def test_leaves_of_known_area_are_measured(file: str) -> None:
    _, found = seen_on(np.asarray(Image.open(DATA / file)))
    assert [leaf.area_mm2 for leaf in found] == pytest.approx(TRUTH[file], rel=BARS[file])
    assert sum(leaf.area_mm2 for leaf in found) == pytest.approx(sum(TRUTH[file]), rel=SUM_BAR)
    assert all(leaf.low_mm2 < true < leaf.high_mm2 for leaf, true in zip(found, TRUTH[file], strict=True))


@pytest.mark.property
def test_drawn_leaves_are_measured_or_their_shadow_is_told(seeds: list[int]) -> None:
    for seed in seeds:
        card, found, true = measured(seed)
        asked = case(seed)
        bar = SHADE_BAR if asked["shadow"] < 1.0 else COARSE_BAR if asked["px_per_mm"] < 3.0 else LIT_BAR
        off = np.abs(np.array([leaf.area_mm2 for leaf in found]) / true - 1.0)
        assert len(found) == 3
        assert off.max() <= bar or "shadow" in leaf_doubts(card, found), (seed, off)
        if asked["shadow"] == 1.0:
            assert set(leaf_doubts(card, found)) <= {"coarse"}, seed


@pytest.mark.property
def test_the_intervals_hold_what_they_say(seeds: list[int]) -> None:
    held = [leaf.low_mm2 <= area <= leaf.high_mm2 for seed in seeds
            for leaf, area in zip(*measured(seed)[1:], strict=True)]
    assert np.mean(held) >= 0.95


@pytest.mark.property
def test_a_hole_is_no_leaf_and_a_leaf_at_a_square_is_told_of() -> None:
    photo = Image.new("RGB", (800, 600), (220, 220, 220))
    ImageDraw.Draw(photo).rectangle((300, 240, 399, 319), fill=(40, 100, 30))
    ImageDraw.Draw(photo).rectangle((330, 260, 369, 299), fill=(220, 220, 220))
    ImageDraw.Draw(photo).rectangle((60, 200, 119, 300), fill=(40, 100, 30))
    ImageDraw.Draw(photo).rectangle((60, 126, 80, 200), fill=(40, 100, 30))
    out, holed = leaves_on(np.asarray(photo), FLAT)
    assert holed.area_mm2 == pytest.approx((8000 - 1600) / 16, rel=0.005)
    assert (out.reaches_out, holed.reaches_out) == (True, False)
    assert leaf_doubts(FLAT, [out, holed]) == ("reaches_out",)


@pytest.mark.property
def test_color_is_held_against_the_paper_and_only_green_is_called_so() -> None:
    for light, color in ((1.0, (40, 110, 30)), (0.6, (40, 110, 30)), (1.0, (180, 40, 30))):
        photo = np.full((600, 800, 3), 250.0)
        photo[240:320, 300:400] = color
        [leaf] = leaves_on((photo * light).astype(np.uint8), FLAT)
        assert [250 * each for each in leaf.color] == pytest.approx(color, abs=2)
        assert (leaf.dark_green is None) == (color[0] > color[1])


@pytest.mark.property
def test_a_bent_card_a_coarse_photo_and_no_leaf_are_told_of() -> None:
    assert leaf_doubts(FLAT._replace(residual_mm=0.2), []) == ("none", "bent")
    assert leaf_doubts(FLAT._replace(px_per_mm=1.5, residual_mm=0.2), []) == ("none", "coarse")
