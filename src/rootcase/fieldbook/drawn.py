"""The kinds of events by which the map of a property is drawn, beside the outlines and the places of trees."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.fieldbook.body import Body
from rootcase.records.observe import LineKind


@dataclass(frozen=True, slots=True, kw_only=True)
class LineDrawn(Body):
    KIND = "line_drawn"
    line: str
    name: str
    line_kind: LineKind
    points_m: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOffDrawn(Body):
    KIND = "keep_off_drawn"
    area: str
    name: str
    reason: str
    outline_m: tuple[tuple[float, float], ...]
    distance_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class AerialLaid(Body):
    """A picture from above, and where it lies: its upper left corner, its scale, where its upper edge points."""

    KIND = "aerial_laid"
    photo: str
    width_px: int
    height_px: int
    own_width_px: int = 0
    own_height_px: int = 0
    """Of the person's own file; 0 where it was not kept, before it was."""
    scale_m_px: float
    turned_deg: float
    east_m: float
    north_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingTakenBack(Body):
    """What it supersedes should not be on the map."""

    KIND = "drawing_taken_back"
    reason: str
