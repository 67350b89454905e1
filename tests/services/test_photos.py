"""Photos that are measured, mended by hand: a leaf outlined, a part of the crown's picture left out."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from rootcase.ground.errors import OutOfRange
from rootcase.services.canopy_photo import canopy_in, sky_overlay
from rootcase.services.leaf_photo import leaves_in

DATA = Path(__file__).parents[1] / "data"


def test_a_leaf_outlined_by_hand_comes_after_those_found() -> None:
    plain = leaves_in(DATA / "card_flat.jpg")
    drawn = leaves_in(DATA / "card_flat.jpg", (plain.leaves[0].outline_px,))
    assert drawn.leaves[:3] == plain.leaves
    assert [leaf.by_hand for leaf in drawn.leaves] == [False, False, False, True]
    assert drawn.leaves[3].area_mm2 == pytest.approx(plain.leaves[0].area_mm2, rel=0.01)
    assert (drawn.width_px, drawn.height_px) == Image.open(DATA / "card_flat.jpg").size
    assert all(round(each, 1) == each for point in plain.leaves[1].outline_px for each in point)


@pytest.fixture(scope="module")
def crown(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Half sky, half leaves, and in the sky a wall of a quarter of it."""
    pixels = np.full((400, 600, 3), (150, 180, 230), np.uint8)
    pixels[:, 300:] = (30, 50, 20)
    pixels[:200, :150] = (60, 60, 60)
    file = tmp_path_factory.mktemp("crown") / "crown.png"
    Image.fromarray(pixels).save(file)
    return file


WALL = ((-0.5, -0.5), (149.5, -0.5), (149.5, 199.5), (-0.5, 199.5))
IN_LEAVES = ((400, 20), (500, 20), (450, 90))


def test_what_is_left_out_counts_neither_as_sky_nor_as_crown(crown: Path) -> None:
    assert canopy_in(crown).gap_fraction == pytest.approx(0.375, abs=0.01)
    left = canopy_in(crown, (WALL,))
    assert left.gap_fraction == pytest.approx(0.75 / 1.75, abs=0.01)
    assert (left.width_px, left.height_px) == (600, 400)
    with pytest.raises(OutOfRange, match=r"nearly all of the photo is left out \(got 6 %\)"):
        canopy_in(crown, (((-0.5, -0.5), (599.5, -0.5), (599.5, 374.5), (-0.5, 374.5)),))


def test_what_was_taken_for_sky_is_laid_over_the_photo(crown: Path) -> None:
    plain, left = (Image.open(io.BytesIO(sky_overlay(crown, out))) for out in ((), (IN_LEAVES,)))
    assert (plain.size, plain.mode) == ((600, 400), "P")
    colors = np.asarray(plain.convert("RGBA"))
    assert colors[300, 100].tolist() == [255, 120, 0, 140]
    assert colors[100, 100, 3] == colors[300, 450, 3] == 0
    assert np.array_equal(np.asarray(left), np.asarray(plain))
    sky = Image.open(io.BytesIO(sky_overlay(crown, (((100, 220), (200, 220), (200, 300), (100, 300)),))))
    assert np.asarray(sky.convert("RGBA"))[250, 150, 3] == 0
