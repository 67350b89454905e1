"""A photo of soil on the printed card: which Munsell chip has its color."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from rootcase.ground.words import say
from rootcase.science.photo.card import find_card
from rootcase.science.photo.chips import CHROMAS, VALUES
from rootcase.science.photo.light import brightness
from rootcase.science.photo.plane import mapped
from rootcase.science.photo.soil import soil_on
from rootcase.services.upright import upright_pixels


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
    hue: tuple[str, str] | None
    value: tuple[float, float]
    chroma: tuple[float, float]
    lightness: float
    red_green: float
    yellow_blue: float
    """L*, a* and b* of CIELAB under illuminant C."""
    middle_mm: tuple[float, float]
    radius_mm: float
    """The place measured, right and down from the card's upper left corner."""
    spot_px: Spot
    width_px: int
    height_px: int
    warnings: tuple[str, ...]


def soil_in(file: Path, at_px: tuple[float, float] | None = None) -> SoilPhoto:
    """The color of the soil on a photo of the card, looked for or where a person pointed."""
    pixels = upright_pixels(file)
    card = find_card(brightness(pixels))
    pointed = mapped(card.to_mm, np.array([at_px])) if at_px is not None else None
    found = soil_on(pixels, card, None if pointed is None else (float(pointed[0, 0]), float(pointed[0, 1])))
    middle, side = mapped(np.linalg.inv(card.to_mm), np.array(
        [found.middle_mm, (found.middle_mm[0] + found.radius_mm, found.middle_mm[1])]))
    chip = found.chip
    near = tuple(ChipShare(each.notation, share) for each, share in chip.near)
    return SoilPhoto(file.name, chip.nearest.notation, near,
                     chip.hue, chip.value, chip.chroma, *found.lab, found.middle_mm, found.radius_mm,
                     Spot(float(middle[0]), float(middle[1]), float(np.hypot(*(side - middle)))),
                     pixels.shape[1], pixels.shape[0], tuple(say(f"photo.soil.{doubt}") for doubt in found.doubts))


def spans_told(found: SoilPhoto) -> dict[str, str]:
    """Between what value, chroma and hue lie; a chart's first and last step stand for what lies beyond them too."""
    return {"value": _steps(*found.value, VALUES), "chroma": _steps(*found.chroma, (0.0, *CHROMAS)),
            "hue": say("photo.soil.hue", span=_span(*found.hue)) if found.hue else say("photo.soil.no_hue")}


def _steps(low: float, high: float, steps: tuple[float, ...]) -> str:
    if high == steps[-1]:
        return say("photo.soil.or_more", low=f"{low:g}")
    if low == steps[0] > 0.0:
        return say("photo.soil.or_less", high=f"{high:g}")
    return _span(f"{low:g}", f"{high:g}")


def _span(low: str, high: str) -> str:
    return low if low == high else say("photo.soil.span", low=low, high=high)
