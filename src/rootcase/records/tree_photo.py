"""A photo of a tree's leaves, crown or soil that was measured."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

Shows = Literal["leaves", "crown", "soil"]
"""Leaves on the printed card, the crown from below, soil on the card."""
SoilState = Literal["moist", "dry"]
"""As the catalogue's soil_colour_state has it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeafOnCard:
    """One leaf with its interval of 95 %."""

    number: int
    """As it was found, from left to right on the card; those drawn by hand come behind."""
    area_mm2: float
    low_mm2: float
    high_mm2: float
    x_mm: float
    """Of its middle, right of the card's upper left corner."""
    y_mm: float
    """Of its middle, down from that corner."""
    dark_green: float | None = None
    """Index from 0 to 1; None where it is no green."""
    by_hand: bool = False
    """A person drew its outline."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CrownGaps:
    """How much of a photo from below is sky, with its interval of 95 %."""

    gap_share: float
    low_share: float
    high_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NearChip:
    """A Munsell chip and how likely it is the one meant."""

    chip: str
    likely_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SoilOnCard:
    """The color of soil: the nearest chip, and the likeliest with how likely each is."""

    chip: str
    near: tuple[NearChip, ...] = ()
    value: str = ""
    chroma: str = ""
    """Between what they lie nine times in ten, in steps of the chart: "2.5 3"."""
    hue: str = ""
    """Likewise, "7.5YR 2.5Y"; empty where no hue is told."""
    state: SoilState
    spot: str
    """Label of the pit."""
    from_m: float | None = None
    """Depth it was taken from."""
    to_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TreePhoto:
    """A photo as measured, and as a person mended it."""

    id: str
    tree_id: str
    shows: Shows
    photo: str
    """Mark of the kept picture."""
    day: date
    by: str
    """Who measured or mended it last: a code, never a name."""
    leaves: tuple[LeafOnCard, ...] = ()
    """Those that count."""
    crown: CrownGaps | None = None
    soil: SoilOnCard | None = None
    left_out: str = ""
    """What a person left out: of leaves their middles, "x y; x y" in millimeters on the card; of a crown outlines,
    "x y, x y, x y; ..." in pixels of the upright photo."""
    drawn: str = ""
    """Leaves drawn by hand: outlines, "x y, x y, x y; ..." in pixels of the upright photo; of soil the place that a
    person pointed to, "x y"."""
    stand: str = ""
    """Of a crown: where the camera was held and with which lens."""
    warnings: tuple[str, ...] = ()
    """What spoke against it when it was measured, in words."""
    mended: bool = False


@dataclass(frozen=True, slots=True)
class PhotoReading:
    """One reading of the catalogue that a photo gives."""

    kind: str
    number: int
    """Which repeat."""
    value: float | None = None
    """In the kind's SI unit."""
    choice: str = ""
    """Where it is no number."""
