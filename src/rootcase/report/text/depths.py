"""How deep a reading was made, in words."""

from __future__ import annotations

from rootcase.ground.quantity import show, show_interval
from rootcase.records.observe import Reading, System

_PAIR = ("in", "cm")


def depth_told(reading: Reading, system: System) -> str:
    """Return at which depth, or over which, a reading was made; empty where it has none."""
    return stretch_told(reading.depth_from_m, reading.depth_to_m, system)


def stretch_told(top: float | None, bottom: float | None, system: System) -> str:
    """Return a depth, or a stretch between two; empty where there is none."""
    if top is not None and bottom is not None and top != bottom:
        return show_interval(top, bottom, "m", system, _PAIR)
    deep = bottom if top is None else top
    return "" if deep is None else show(deep, "m", system, _PAIR)
