"""A photo of a crown from below: how much of it is sky."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from rootcase.ground.words import say
from rootcase.science.photo.canopy import gaps_in
from rootcase.services.upright import upright


@dataclass(frozen=True, slots=True)
class CanopyPhoto:
    """The share of sky with its interval of 95 %, and what speaks against it."""

    file: str
    gap_fraction: float
    low: float
    high: float
    warnings: tuple[str, ...]


def canopy_in(file: Path) -> CanopyPhoto:
    """The gaps on a photo of a crown."""
    with upright(file) as image:
        pixels = np.asarray(image.convert("RGB"))
    found = gaps_in(pixels)
    return CanopyPhoto(file.name, found.fraction, found.low, found.high,
                       tuple(say(f"photo.canopy.{doubt}") for doubt in found.doubts))
