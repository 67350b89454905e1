"""How much of a crown from below is sky: pictures of known gaps, and what is told against a photo."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from rootcase.ground.errors import OutOfRange
from rootcase.science.photo.canopy import Gaps, gaps_in
from tests.science.photo.crowns import draw_crown

DATA = Path(__file__).parents[2] / "data"
BAR, SUN_BAR = 0.02, 0.03


def split_of_stored(pixels: np.ndarray) -> float:
    """By one threshold half-way between crown and sky as they are stored."""
    blue = pixels[..., 2]
    return float(np.mean(blue > (np.percentile(blue, 2) + np.percentile(blue, 98)) / 2))


@pytest.mark.reference
@pytest.mark.parametrize(("file", "true", "bar", "doubts"), [("canopy_clear.jpg", 0.61702, BAR, ()),
                                                             ("canopy_sun.jpg", 0.41532, SUN_BAR, ("sun",))])
def test_gaps_of_known_share_are_measured(file: str, true: float, bar: float, doubts: tuple[str, ...]) -> None:
    found = gaps_in(np.asarray(Image.open(DATA / file)))
    assert found.fraction == pytest.approx(true, abs=bar)
    assert found.low < true < found.high
    assert found.doubts == doubts


@pytest.mark.property
def test_drawn_crowns_are_measured_from_open_to_closed(long: bool) -> None:
    for seed in range(30 if long else 4):
        sun = bool(seed % 2)
        pixels, true = draw_crown(seed, leaves=(150, 500, 1200)[seed % 3], sun=sun)
        found = gaps_in(pixels)
        assert found.fraction == pytest.approx(true, abs=SUN_BAR if sun else BAR), seed
        assert found.low < true < found.high, seed
        if not sun:
            assert abs(found.fraction - true) < abs(split_of_stored(pixels) - true)


@pytest.mark.property
def test_a_burnt_sky_and_a_dark_photo_are_told_of() -> None:
    pixels, _ = draw_crown(0)
    burnt = np.where(pixels > 120, 255, pixels).astype(np.uint8)
    assert gaps_in(burnt).doubts == ("burnt",)
    assert gaps_in((pixels * 0.2).astype(np.uint8)).doubts == ("dark",)


@pytest.mark.property
def test_a_closed_crown_has_no_gap_and_a_tiny_picture_is_refused() -> None:
    closed = np.full((300, 300, 3), 30, np.uint8)
    closed[:40, :40] = 220
    found: Gaps = gaps_in(closed)
    assert found.fraction == pytest.approx(1600 / 90000, abs=0.005)
    with pytest.raises(OutOfRange, match="too small"):
        gaps_in(closed[:40])
