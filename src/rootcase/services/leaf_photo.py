"""A photo of leaves on the printed card: how large and of which color each is."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from rootcase.ground.words import say
from rootcase.science.photo.card import find_card
from rootcase.science.photo.leaves import leaf_doubts, leaves_on
from rootcase.services.upright import upright


@dataclass(frozen=True, slots=True)
class LeafColor:
    """Against the paper as white, 0 to 255; the index of dark green from 0 to 1, None where the leaf is not green."""

    red: int
    green: int
    blue: int
    dark_green: float | None


@dataclass(frozen=True, slots=True)
class LeafSeen:
    """An area with its interval of 95 %; x right and y down from the card's upper left corner."""

    area_mm2: float
    low_mm2: float
    high_mm2: float
    x_mm: float
    y_mm: float
    colour: LeafColor


@dataclass(frozen=True, slots=True)
class LeafPhoto:
    """The leaves from left to right on the card; how well the card was read; what speaks against it."""

    file: str
    leaves: tuple[LeafSeen, ...]
    markers: tuple[int, ...]
    px_per_mm: float
    residual_mm: float
    warnings: tuple[str, ...]


def leaves_in(file: Path) -> LeafPhoto:
    """The leaves on a photo of the card."""
    with upright(file) as image:
        pixels = np.asarray(image.convert("RGB"))
    card = find_card(pixels.mean(axis=2, dtype=np.float32) / np.float32(255))
    found = leaves_on(pixels, card)
    seen = tuple(LeafSeen(leaf.area_mm2, leaf.low_mm2, leaf.high_mm2, *leaf.middle_mm,
                          LeafColor(*(round(255 * each) for each in leaf.color), leaf.dark_green)) for leaf in found)
    return LeafPhoto(file.name, seen, card.markers, card.px_per_mm, card.residual_mm,
                     tuple(say(f"photo.leaf.{doubt}") for doubt in leaf_doubts(card, found)))
