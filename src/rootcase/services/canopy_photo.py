"""A photo of a crown from below: how much of it is sky, and which part was taken for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

import numpy as np
from PIL import Image

from rootcase.ground.words import say
from rootcase.science.photo.canopy import gaps_in
from rootcase.services.upright import Outline, upright_pixels

OVER_SKY = (255, 120, 0)
OVER_SKY_ALPHA = 140
"""An orange that neither sky nor leaves have, through which the photo is still seen."""


@dataclass(frozen=True, slots=True)
class CanopyPhoto:
    """The share of sky with its interval of 95 %, and what speaks against it; the upright photo's size."""

    file: str
    gap_fraction: float
    low: float
    high: float
    width_px: int
    height_px: int
    warnings: tuple[str, ...]


def canopy_in(file: Path, left_out: Sequence[Outline] = ()) -> CanopyPhoto:
    """The gaps on a photo of a crown; outlines of what is no part of it, in pixels of the upright photo, left out."""
    pixels = upright_pixels(file)
    found = gaps_in(pixels, left_out)
    return CanopyPhoto(file.name, found.fraction, found.low, found.high, pixels.shape[1], pixels.shape[0],
                       tuple(say(f"photo.canopy.{doubt}") for doubt in found.doubts))


def sky_overlay(file: Path, left_out: Sequence[Outline] = ()) -> bytes:
    """What was taken for sky as a PNG to lay over the upright photo: transparent where it was not."""
    overlay = Image.fromarray(gaps_in(upright_pixels(file), left_out).sky.astype(np.uint8))
    overlay.putpalette((0, 0, 0, *OVER_SKY))
    kept = BytesIO()
    overlay.save(kept, "PNG", bits=1, transparency=bytes((0, OVER_SKY_ALPHA)))
    return kept.getvalue()
