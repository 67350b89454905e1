"""Where the parts of the section stand in each layout; the right half is the left one mirrored."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rootcase.ground.quantity import System
from rootcase.report.pictures.section.facts import Side
from rootcase.report.svg import Anchor

DEEPEST_M = 1.0


@dataclass(frozen=True, slots=True)
class Frame:
    """Measures of a layout in px, for its left half; y counted from the ground line."""

    width: float
    margin: float
    ground: float
    """y of the ground line."""
    ground_end: float
    """Right end of the left ground line."""
    foot: float
    crown_half: float
    """Widest half crown that leaves its neighbours alone."""
    crown_height: float
    dimension: float | None
    """Where the height is dimensioned; None where a word must do."""
    twig: float | None
    twig_height: float
    box: float
    """Left edge of the small box on the ground line."""
    block: float
    block_width: float
    block_top: float
    """Below the ground line."""
    px_per_cm: float
    soil_strip: float
    heading: float
    """Room for the names above the highest crown."""
    small: float
    body: float
    tracks: bool
    strokes: int
    """How many strokes stand for all fine roots of a tree."""


WIDE = Frame(1200, 32, 520, 552, 292, 138, 384, 140, 562, 330, 354, 330, 230, 128, 3.4, 24, 26, 12, 14, True, 60)
COLUMN = Frame(680, 6, 0, 310, 140, 68, 160, None, 318, 130, 160, 84, 206, 46, 1.26, 12, 26, 12, 13, False, 36)
PHONE = Frame(360, 16, 0, 160, 88, 60, 168, None, None, 0, 102, 16, 134, 30, 2.3, 0, 62, 13, 14, False, 30)


@dataclass(frozen=True, slots=True)
class Half:
    """One half of the page: a frame, whether it is mirrored, and what it shows."""

    frame: Frame
    right: bool
    side: Side
    px_per_m: float
    """Scale of the trees."""
    px_per_mm: float
    """Scale of the shoots."""
    system: System

    def x(self, left: float) -> float:
        """Mirror a place of the left half into this one."""
        return self.frame.width - left if self.right else left

    def box_x(self, left: float, width: float) -> float:
        """Left edge of a box that is `width` wide."""
        return self.frame.width - left - width if self.right else left

    @property
    def out(self) -> Anchor:
        """Anchor of words that stand at the outer side of their place and run outward."""
        return "start" if self.right else "end"

    @property
    def into(self) -> Anchor:
        return "end" if self.right else "start"

    @property
    def outward(self) -> float:
        return 1.0 if self.right else -1.0

    @property
    def colour(self) -> str:
        return "forest" if self.right else "ink"

    @property
    def name(self) -> str:
        return "there" if self.right else "here"

    def y(self, depth_m: float) -> float:
        """Depth in the soil block."""
        depth = min(max(depth_m, -1.0), DEEPEST_M)
        return self.frame.ground + self.frame.block_top + 100 * depth * self.frame.px_per_cm


def halves(frame: Frame, here: Side, there: Side, ground: float, system: System) -> tuple[Half, Half]:
    """Both halves at one scale, the largest that lets the taller and the wider tree in."""
    shapes = (here.shape, there.shape)
    height = max((s.height_m for s in shapes if s.height_m), default=15.0)
    half = max((s.spread_m / 2 for s in shapes if s.spread_m), default=height / 3)
    px_per_m = min(frame.crown_height / max(height, 0.1), frame.crown_half / max(half, 0.05))
    longest = max((side.shoots_total_mm or 0.0 for side in (here, there)), default=0.0)
    px_per_mm = frame.twig_height / longest if longest else 0.0
    placed = replace(frame, ground=ground)
    left, right = (Half(placed, side is there, side, px_per_m, px_per_mm, system) for side in (here, there))
    return left, right
