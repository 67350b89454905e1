"""A photo of soil on the printed card: which Munsell chip has its color."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from rootcase.ground.words import say
from rootcase.science.photo.card import find_card
from rootcase.science.photo.plane import mapped
from rootcase.science.photo.soil import soil_on
from rootcase.services.upright import upright


@dataclass(frozen=True, slots=True)
class ChipShare:
    """A chip and how likely it is the one meant. 0 to 1"""

    chip: str
    share: float


@dataclass(frozen=True, slots=True)
class Spot:
    """The round place that was measured, in pixels of the upright photo."""

    x: float
    y: float
    radius: float


@dataclass(frozen=True, slots=True)
class SoilPhoto:
    """The nearest chip, the likeliest others, and between what hue, value and chroma lie nine times in ten."""

    file: str
    chip: str
    near: tuple[ChipShare, ...]
    hue: tuple[str, str]
    value: tuple[float, float]
    chroma: tuple[float, float]
    lightness: float
    red_green: float
    yellow_blue: float
    """L*, a* and b* of CIELAB under illuminant C."""
    spot_px: Spot
    width_px: int
    height_px: int
    warnings: tuple[str, ...]


def soil_in(file: Path, at_px: tuple[float, float] | None = None) -> SoilPhoto:
    """The color of the soil on a photo of the card, looked for or where a person pointed."""
    with upright(file) as image:
        pixels = np.asarray(image.convert("RGB"))
    card = find_card(pixels.mean(axis=2, dtype=np.float32) / np.float32(255))
    pointed = mapped(card.to_mm, np.array([at_px])) if at_px is not None else None
    found = soil_on(pixels, card, None if pointed is None else (float(pointed[0, 0]), float(pointed[0, 1])))
    middle, side = mapped(np.linalg.inv(card.to_mm), np.array(
        [found.middle_mm, (found.middle_mm[0] + found.radius_mm, found.middle_mm[1])]))
    chip = found.chip
    near = tuple(ChipShare(each.notation, share) for each, share in chip.near)
    return SoilPhoto(file.name, chip.nearest.notation, near,
                     chip.hue, chip.value, chip.chroma, *found.lab,
                     Spot(float(middle[0]), float(middle[1]), float(np.hypot(*(side - middle)))),
                     pixels.shape[1], pixels.shape[0], tuple(say(f"photo.soil.{doubt}") for doubt in found.doubts))
