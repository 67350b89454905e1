"""The sheet of a heap's heat: time to the right and warmth upward, or on a phone time down and warmth to the right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Unpack

from rootcase.report.pictures.signs import Axis, Layout
from rootcase.report.svg import Canvas, Point, Style

_TALL: dict[Layout, float] = {"wide": 330.0, "column": 260.0}
_DAY_PX, _SHORTEST, _LONGEST = 18.0, 230.0, 640.0
"""Of time that runs down: one day, where that makes a picture of a fit length."""
DATES, CELLS = 62.0, 24.0
"""What the days of the calendar and the boxes of what counts take beside time that runs down."""
_EDGE = 7.0


@dataclass(slots=True)
class Sheet:
    """Places by two numbers: how far along in time, and how far across in warmth, both in px of the page."""

    canvas: Canvas
    down: bool
    """Time runs down."""
    first: datetime
    start: float
    end: float
    """Along, from where the sheet begins to where it ends."""
    cold: float
    hot: float
    """Across, its cold and its hot side."""
    time: Axis
    warm: Axis

    @property
    def toward_hot(self) -> float:
        """1 where warmth grows with the page's numbers, else -1."""
        return 1.0 if self.down else -1.0

    def along(self, at: datetime) -> float:
        return self.time.at((at - self.first).total_seconds() / 86400.0)

    def across(self, celsius: float) -> float:
        """At the edge, where it lies beyond the scale."""
        low, high = sorted((self.hot, self.cold + _EDGE * self.toward_hot))
        return min(max(self.warm.at(celsius), low), high)

    def beyond(self, celsius: float) -> bool:
        low, high = sorted((self.hot, self.cold))
        return not low - 1 <= self.warm.at(celsius) <= high + 1

    def point(self, along: float, across: float) -> Point:
        return (across, along) if self.down else (along, across)

    def line(self, along: float, across: float, to_along: float, to_across: float, **style: Unpack[Style]) -> None:
        self.canvas.line(*self.point(along, across), *self.point(to_along, to_across), **style)

    def rect(self, along: float, across: float, to_along: float, to_across: float, **style: Unpack[Style]) -> None:
        (left, top), (right, bottom) = self.point(along, across), self.point(to_along, to_across)
        self.canvas.rect(min(left, right), min(top, bottom), abs(right - left), abs(bottom - top), **style)


def sheet_of(canvas: Canvas, layout: Layout, margin: float, top: float, times: tuple[datetime, datetime],
             scale: tuple[float, float]) -> Sheet:
    """times: first and last drawn; scale: coldest and hottest drawn, degC."""
    days = (times[1] - times[0]) / timedelta(days=1)
    down = layout == "phone"
    if down:
        start, end = top + 6, top + 6 + min(max(_DAY_PX * days, _SHORTEST), _LONGEST)
        cold, hot = margin + DATES + CELLS + 12, canvas.width - margin - 30
    else:
        start, end = margin + 64, canvas.width - margin - 64
        cold, hot = top + _TALL[layout], top
    coldest, hottest = scale
    step = (hot - cold) / (hottest - coldest)
    return Sheet(canvas, down, times[0], start, end, cold, hot, Axis(start + 6, (end - start - 12) / days),
                 Axis(cold - coldest * step, step))


def spread(places: Sequence[float], apart: float) -> list[bool]:
    """Which of places in order have room, each as far from the one before that has.

    >>> spread([0, 5, 20], 10)
    [True, False, True]
    """
    shown, before = [], float("-inf")
    for place in places:
        fits = place - before >= apart
        before = place if fits else before
        shown.append(fits)
    return shown
