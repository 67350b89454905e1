"""The days ahead as a calendar: a row for each piece of work, a column for each day, bars for what was told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rootcase.ground.words import say
from rootcase.records.apply.windows import DayState
from rootcase.report.lettering import wrapped
from rootcase.report.pictures.signs import Layout
from rootcase.report.svg import NOT_KNOWN, Canvas, Picture
from rootcase.report.text.windows import day_name

_SIZES: dict[Layout, tuple[float, float, float]] = {"wide": (1120.0, 32.0, 300.0), "phone": (344.0, 12.0, 0.0)}
"""Width of the page, its margin, and where the days begin; on a phone the names stand above their rows."""
_ROW, _BAR, _MOST_PHONE_DAYS = 44.0, 24.0, 7


@dataclass(frozen=True, slots=True)
class Bar:
    """Days on which something holds that was told."""

    words: str
    first: date
    last: date
    opens: bool
    """Marks and permits open days; use, law and bloom close them."""


@dataclass(frozen=True, slots=True)
class CalendarRow:
    """One piece of work at one place."""

    name: str
    states: tuple[DayState, ...]
    """In the order of the days."""


def draw_week(ground: str, days: Sequence[date], rows: Sequence[CalendarRow], bars: Sequence[Bar],
              layout: Layout = "wide") -> Picture:
    """Draw the days of one property; on a phone the first seven."""
    width, margin, start = _SIZES[layout]
    days = days if layout == "wide" else days[:_MOST_PHONE_DAYS]
    start = start or margin
    step = (width - margin - start) / len(days)
    canvas = Canvas(f"week-{layout}", width)
    for n, day in enumerate(days):
        shown = day_name(day).split()
        canvas.text(start + (n + 0.5) * step, 16, shown[0], 12, weight=700, anchor="middle")
        canvas.text(start + (n + 0.5) * step, 32, shown[1], 12, fill="slate", anchor="middle")
    y = 32 + 10.0
    for row in rows:
        y = _row(canvas, row, len(days), (margin, start, step), y, layout)
    for bar in bars:
        y = _bar(canvas, bar, days, (margin, start, step), y, layout)
    y = _key(canvas, margin, y + 22, layout)
    fits = [row.name for row in rows if "fit" in row.states[:len(days)]]
    title = say("windows.picture.title", ground=ground, fit=len(fits), of=len(rows))
    return canvas.finish(y + 12, title, _alt(days, rows))


def _row(canvas: Canvas, row: CalendarRow, count: int, place: tuple[float, float, float], y: float,
         layout: Layout) -> float:
    margin, start, step = place
    room = start - margin - 14 if layout == "wide" else canvas.width - 2 * margin
    lines = wrapped(row.name, room, 13, most=2)
    if layout == "wide":
        for n, line in enumerate(lines):
            canvas.text(margin, y + _ROW / 2 + 5 + (n - (len(lines) - 1) / 2) * 16, line, 13)
    else:
        for n, line in enumerate(lines):
            canvas.text(margin, y + 16 + n * 16, line, 13)
        y += 16 * len(lines) + 8
    with canvas.group("week-row"):
        for n, state in enumerate(row.states[:count]):
            _cell(canvas, state, start + n * step + 2, y + 3, step - 4, _ROW - 6)
    return y + _ROW


def _cell(canvas: Canvas, state: DayState, x: float, y: float, wide: float, high: float) -> None:
    """Fit: a full field with a tick. Not fit: crossed out. Not known: a dotted edge and a question mark."""
    middle, centre = y + high / 2, x + wide / 2
    if state == "fit":
        canvas.rect(x, y, wide, high, fill="forest_tint", stroke="forest", weight=1.5, name="fit")
        canvas.line(centre - 8, middle, centre - 2, middle + 6, stroke="forest", weight=3, cap="round")
        canvas.line(centre - 2, middle + 6, centre + 8, middle - 7, stroke="forest", weight=3, cap="round")
    elif state == "not_fit":
        canvas.rect(x, y, wide, high, fill="mist", stroke="rule", weight=1, name="not-fit")
        canvas.line(centre - 7, middle - 7, centre + 7, middle + 7, stroke="madder", weight=2.5, cap="round")
        canvas.line(centre - 7, middle + 7, centre + 7, middle - 7, stroke="madder", weight=2.5, cap="round")
    else:
        canvas.rect(x, y, wide, high, stroke="slate", weight=1.5, dash=NOT_KNOWN, name="not-known")
        canvas.text(centre, middle + 6, "?", 16, fill="slate", anchor="middle")


def _bar(canvas: Canvas, bar: Bar, days: Sequence[date], place: tuple[float, float, float], y: float,
         layout: Layout) -> float:
    margin, start, step = place
    inside = [n for n, day in enumerate(days) if bar.first <= day <= bar.last]
    if not inside:
        return y
    room = start - margin - 14 if layout == "wide" else canvas.width - 2 * margin
    words = wrapped(bar.words, room, 12, most=1)[0]
    canvas.text(margin, y + 16, words, 12, fill="slate")
    y += 0 if layout == "wide" else 18
    left, right = start + inside[0] * step + 2, start + (inside[-1] + 1) * step - 2
    colour = "woad" if bar.opens else "madder"
    with canvas.group("week-bar"):
        canvas.line(left, y + 12, right, y + 12, stroke=colour, weight=5, name="opens" if bar.opens else "closes")
        if bar.last <= days[-1]:
            canvas.line(right, y + 4, right, y + 20, stroke=colour, weight=3, name="last-day")
    return y + _BAR


def _key(canvas: Canvas, margin: float, y: float, layout: Layout) -> float:
    x = margin
    states: tuple[DayState, ...] = ("fit", "not_fit", "not_known")
    for state in states:
        _cell(canvas, state, x, y - 12, 30, 24)
        canvas.text(x + 38, y + 5, say(f"windows.{state}"), 12, fill="slate")
        x += 130 if layout == "wide" else 112
    return y + 12


def _alt(days: Sequence[date], rows: Sequence[CalendarRow]) -> str:
    told = []
    for row in rows:
        fit = [day_name(day) for day, state in zip(days, row.states, strict=False) if state == "fit"]
        told.append(say("windows.picture.row", name=row.name, days=", ".join(fit) or say("windows.picture.none")))
    return " ".join(told)
