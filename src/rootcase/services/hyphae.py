"""A photo through the microscope: how long the hyphae on it are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from rootcase.ground.words import say
from rootcase.science.photo.ruled import RULED_SHARE, along_axes
from rootcase.services.upright import upright

DRAWN_PX = 0.3
"""So far a drawn line may be off the measured one. JUDGEMENT: the eye sees none of it."""


@dataclass(frozen=True, slots=True)
class OverlayLine:
    """A line to be drawn over the upright photo, (x, y) a point from the middle of its upper left pixel; one that
    was not
    seen bridges a gap."""

    points_px: tuple[tuple[float, float], ...]
    length_um: float
    seen: bool


@dataclass(frozen=True, slots=True)
class HyphaePhoto:
    """Length with its interval of 95 %, of which estimated under other strands; the ground looked at; what was taken
    for
    something else; the lines to be looked at."""

    file: str
    um_per_px: float
    width_px: int
    height_px: int
    area_mm2: float
    length_um: float
    low_um: float
    high_um: float
    hidden_um: float
    rejected_um: Mapping[str, float]
    lines: tuple[OverlayLine, ...]
    doubt: str
    """Why the lines may be no hyphae at all; empty: no such sign."""


def hyphae_on(file: Path, um_per_px: float) -> HyphaePhoto:
    """The length of the hyphae on a photo (JPEG, PNG, WebP, TIFF or GIF)."""
    grey = _grey(file)
    # Where a photo is measured the compiler is needed, and only there.
    from rootcase.science.photo.hyphae import hyphae_of
    from rootcase.science.photo.paths import fewer_points

    found = hyphae_of(grey, um_per_px)
    drawn = [fewer_points(piece.points_px, DRAWN_PX).round(1).tolist() for piece in found.pieces]
    lines = tuple(OverlayLine(tuple((x, y) for x, y in points), piece.length_um, piece.seen)
                  for points, piece in zip(drawn, found.pieces, strict=True))
    rejected = {"grains": found.grains_um, "rims": found.rims_um, "bubbles": found.bubbles_um, "short": found.short_um}
    height_px, width_px = grey.shape
    return HyphaePhoto(file.name, um_per_px, width_px, height_px, found.area_mm2, found.length_um, found.low_um,
                       found.high_um, found.hidden_um, rejected, lines, _doubt_of(lines))


def compile_all() -> None:
    """Have every loop compiled that a photo needs, by measuring a small one."""
    from rootcase.science.photo.hyphae import hyphae_of
    from rootcase.science.photo.paths import fewer_points

    tried = np.full((200, 400), 200, np.uint8)
    tried[99:103, 50:350] = 120
    for piece in hyphae_of(tried, 0.5).pieces:
        fewer_points(piece.points_px, DRAWN_PX)


def _doubt_of(lines: Sequence[OverlayLine]) -> str:
    share = along_axes([line.points_px for line in lines])
    return say("photo.ruled", pct=f"{100.0 * share:.0f}") if share > RULED_SHARE else ""


def _grey(file: Path) -> np.ndarray:
    """Grey values of the upright picture; of more than 8 bits as they are."""
    with upright(file) as image:
        return np.asarray(image if image.mode.startswith("I") else image.convert("L"))
