"""A photo of leaves on the printed card: how large and of which color each is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from rootcase.ground.words import say
from rootcase.science.photo.card import find_card
from rootcase.science.photo.leaf import Leaf, leaf_doubts
from rootcase.science.photo.leaf_by_hand import leaf_inside
from rootcase.science.photo.leaves import leaves_on
from rootcase.science.photo.light import brightness
from rootcase.services.upright import Outline, upright_pixels


@dataclass(frozen=True, slots=True)
class LeafColor:
    """Against the paper as white, 0 to 255; the index of dark green from 0 to 1, None where the leaf is not green."""

    red: int
    green: int
    blue: int
    dark_green: float | None


@dataclass(frozen=True, slots=True)
class LeafSeen:
    """An area with its interval of 95 %; x right and y down from the card's upper left corner; its outline in pixels of
    the upright photo, and whether a hand drew that."""

    area_mm2: float
    low_mm2: float
    high_mm2: float
    x_mm: float
    y_mm: float
    colour: LeafColor
    outline_px: Outline
    by_hand: bool


@dataclass(frozen=True, slots=True)
class LeafPhoto:
    """The leaves from left to right on the card, then those outlined by hand; how well the card was read; the
    upright photo's size; what speaks against it."""

    file: str
    leaves: tuple[LeafSeen, ...]
    markers: tuple[int, ...]
    px_per_mm: float
    residual_mm: float
    width_px: int
    height_px: int
    warnings: tuple[str, ...]


def leaves_in(file: Path, drawn: Sequence[Outline] = ()) -> LeafPhoto:
    """The leaves on a photo of the card, and those that a person outlined on the upright photo, in pixels."""
    pixels = upright_pixels(file)
    card = find_card(brightness(pixels))
    found, outlined = leaves_on(pixels, card), [leaf_inside(pixels, card, outline) for outline in drawn]
    seen = (*(_seen(leaf, by_hand=False) for leaf in found), *(_seen(leaf, by_hand=True) for leaf in outlined))
    return LeafPhoto(file.name, seen, card.markers, card.px_per_mm, card.residual_mm, pixels.shape[1], pixels.shape[0],
                     tuple(say(f"photo.leaf.{doubt}") for doubt in leaf_doubts(card, [*found, *outlined])))


def _seen(leaf: Leaf, *, by_hand: bool) -> LeafSeen:
    red, green, blue = (round(255 * each) for each in leaf.color)
    outline = tuple((round(float(x), 1), round(float(y), 1)) for x, y in leaf.outline_px)
    return LeafSeen(leaf.area_mm2, leaf.low_mm2, leaf.high_mm2, *leaf.middle_mm,
                    LeafColor(red, green, blue, leaf.dark_green), outline, by_hand)
