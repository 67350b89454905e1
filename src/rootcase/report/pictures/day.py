"""A crew's day against the clock: stops on their ground line, the tank, and how old each make of extract gets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from rootcase.ground.measured import told
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.apply.crew_day import CrewDay, DayMake, DayStop, StopWork
from rootcase.report.lettering import fitted, width_px
from rootcase.report.pictures.signs import Axis, Layout, hatch, head
from rootcase.report.svg import COMPUTED, NOT_KNOWN, Canvas, Picture
from rootcase.report.text.crew_day import (
    day_alt,
    day_finding,
    day_under,
    ends_told,
    hand_told,
    loads_told,
    make_short,
    refuse_told,
    stop_what,
)
from rootcase.report.text.doses import LIQUID
from rootcase.report.text.rounds import Names, clock_told

_HOUR, _LEAST_HOUR = 60.0, 46.0
"""Minutes of an hour, and the least room of its name."""
_LEAST_HOURS = 4
_STOP, _TANK, _MAKE, _ROW = 58.0, 80.0, 74.0, 38.0
"""Height of a stop, of a full tank, of a make's row, and of a row of names."""
_LABELS, _MOST_LABEL = 3, 170.0
"""Rows of names below the stops, and the widest of them."""
_GAP = 14.0
_FIGURES = 3


@dataclass(frozen=True, slots=True)
class _Frame:
    """Room of the picture: what the names at the left have, and the clock."""

    width: float
    margin: float
    start: float
    end: float
    names: float
    """Size of the names at the left."""


_FRAMES: dict[Layout, _Frame] = {"wide": _Frame(1120.0, 32.0, 200.0, 1080.0, 15.0),
                                 "column": _Frame(680.0, 4.0, 132.0, 656.0, 13.0)}


@dataclass(frozen=True, slots=True)
class _Label:
    """A stop's name and work, in a row of its own where others would lie on it."""

    place: str
    what: str
    left: float
    row: int


def draw_day(day: CrewDay, names: Names, system: System, layout: Layout = "wide") -> Picture:
    """Draw one crew's day, the clock from left to right; a column leaves the finding to its page."""
    frame = _FRAMES[layout]
    canvas = Canvas(f"day-{layout}", frame.width)
    top = 20.0
    if layout == "wide":
        top = 26 + head(canvas, day_finding(day), day_under(day, names), frame.margin, frame.width - 2 * frame.margin)
    first, last = hours_of(day)
    step = (frame.end - frame.start) / ((last - first) * _HOUR)
    clock = Axis(frame.start - first * _HOUR * step, step)
    labels = _labels(day, names, clock, frame)
    below = _ROW * (1 + max((each.row for each in labels), default=0))
    foot = top + 44 + _STOP + below + (64 + _TANK if day.makes else 0) + _MAKE * len(day.makes) + 8
    for hour in range(first, last + 1):
        at = clock.at(hour * _HOUR)
        if (hour - first) % ceil(_LEAST_HOUR / (_HOUR * step)) == 0:
            canvas.text(at, top, clock_told(hour * _HOUR), 13, fill="slate", anchor="middle")
        canvas.line(at, top + 8, at, foot, stroke="hair", name="hour")
    y = _stops(canvas, day, labels, clock, top + 44 + _STOP, frame) + below
    if day.makes:
        y = _tank(canvas, day, clock, y + 44, system, frame)
        for make in day.makes:
            y = _make(canvas, day, make, clock, y + _MAKE, frame)
    y = _key(canvas, day, max(y, foot) + 12, frame)
    return canvas.finish(y, say("crew_day.title"), day_alt(day, names))


def hours_of(day: CrewDay) -> tuple[int, int]:
    """First and last whole hour of the picture."""
    starts = [each.starts_min for each in day.stops] + [at for at, _ in day.tank]
    ends = [each.ends_min for each in day.stops]
    for make in day.makes:
        starts += [each for each in (make.starts_min, make.ends_min) if each is not None]
        ends += [make.use_by_min or make.last_use_min, make.last_use_min]
    first, last = floor(min(starts, default=8 * _HOUR) / _HOUR), ceil(max(ends, default=16 * _HOUR) / _HOUR)
    return first, max(last, first + _LEAST_HOURS)


def fill_of(canvas: Canvas, work: StopWork, x: float, y: float, wide: float, high: float) -> None:
    """A block of work: what we do is cased; chips and water carry their hatch."""
    if work == "water":
        canvas.rect(x, y, wide, high, fill="woad_tint")
        canvas.rect(x, y, wide, high, fill=hatch(canvas, "water", "woad"))
        canvas.rect(x, y, wide, high, stroke="woad", weight=2.2, name="water")
        return
    canvas.rect(x, y, wide, high, fill="weld")
    if work in ("chips", "other"):
        canvas.rect(x, y, wide, high, fill=hatch(canvas, "mulch" if work == "chips" else "past", "walnut"), opacity=0.6)
    canvas.rect(x, y, wide, high, stroke="ink", weight=2.2, name=work)


def _stops(canvas: Canvas, day: CrewDay, labels: Sequence[_Label], clock: Axis, ground: float, frame: _Frame) -> float:
    """Stops on the ground line, drives between them, names below; returns where the line is."""
    canvas.text(frame.margin, ground - 34, say("crew_day.stops"), frame.names, weight=700)
    canvas.text(frame.margin, ground - 16, say("crew_day.width"), 13, fill="slate")
    for start, end in day.drives:
        canvas.line(clock.at(start) + 1, ground - 8, clock.at(end) - 1, ground - 8, weight=2, name="drive")
    for start, end in day.rests:
        if clock.at(end) - clock.at(start) > width_px(say("crew_day.rest"), 13) - 4:
            canvas.text((clock.at(start) + clock.at(end)) / 2, ground - 14, say("crew_day.rest"), 13, fill="slate",
                        anchor="middle")
    for stop in day.stops:
        with canvas.group("stop"):
            _stop(canvas, stop, clock, ground)
    canvas.line(frame.start, ground, frame.end, ground, weight=4, name="ground-line")
    for each in labels:
        y = ground + 22 + each.row * _ROW
        canvas.text(each.left, y, each.place, 13, weight=700, plate=True)
        canvas.text(each.left, y + 17, each.what, 13, fill="slate", plate=True)
    return ground


def _stop(canvas: Canvas, stop: DayStop, clock: Axis, ground: float) -> None:
    x, wide = clock.at(stop.starts_min), clock.at(stop.ends_min) - clock.at(stop.starts_min)
    works = stop.works or ("other",)
    high = _STOP / len(works)
    for at, work in enumerate(works):
        fill_of(canvas, work, x, ground - _STOP + at * high, wide, high)
    number = str(stop.number)
    if wide >= width_px(number, 20, 700) + 14:
        canvas.text(x + wide / 2, ground - _STOP / 2 + 7, number, 20, weight=700, anchor="middle", plate=True)
    else:
        canvas.text(x + wide / 2, ground - _STOP - 6, number, 13, weight=700, anchor="middle")


def _labels(day: CrewDay, names: Names, clock: Axis, frame: _Frame) -> list[_Label]:
    """Names below the stops, none over another; what finds no room stands in the table alone."""
    ends, found = [0.0] * _LABELS, []
    for stop in day.stops:
        place = fitted(names.grounds.get(stop.property_id, say("week.no_place")), _MOST_LABEL, 13, 700)
        what = fitted(stop_what(stop, names), _MOST_LABEL, 13)
        width = max(width_px(place, 13, 700), width_px(what, 13))
        middle = (clock.at(stop.starts_min) + clock.at(stop.ends_min)) / 2
        left = min(max(middle - width / 2, frame.margin), frame.width - frame.margin - width)
        row = next((at for at, end in enumerate(ends) if left >= end + _GAP), None)
        if row is not None:
            ends[row] = left + width
            found.append(_Label(place, what, left, row))
    return found


def _tank(canvas: Canvas, day: CrewDay, clock: Axis, top: float, system: System, frame: _Frame) -> float:
    """What is aboard, between empty and full."""
    most = max([day.tank_l, *(litres for _, litres in day.tank)])
    foot = top + _TANK
    level = Axis(foot, -_TANK / most)
    canvas.text(frame.margin, top + 20, say("crew_day.tank"), frame.names, weight=700)
    holds = told(day.tank_l, "L", system, LIQUID, _FIGURES)
    canvas.text(frame.margin, top + 38, say("crew_day.tank_of", tank=holds), 13, fill="slate")
    corners = [(clock.at(at), level.at(litres)) for at, litres in day.tank]
    if corners:
        outline = [(corners[0][0], foot), *corners, (corners[-1][0], foot)]
        canvas.shape(outline, closed=True, fill="woad_tint")
        canvas.shape(outline, closed=True, fill=hatch(canvas, "water", "woad_middle"))
        canvas.shape(outline, stroke="woad", weight=3, join="round", name="aboard")
    canvas.line(frame.start, foot, frame.end, foot, weight=1.5, name="empty")
    full = level.at(day.tank_l)
    canvas.line(frame.start, full, frame.end, full, stroke="rule", weight=1.2, dash=COMPUTED,
                name="full")
    taken = 0.0
    for load in (load for make in day.makes for load in make.loads):
        words = told(load.litres, "L", system, LIQUID, _FIGURES)
        x = clock.at(load.filled_min)
        if x > taken + _GAP and x + width_px(words, 13, 700) < frame.width - frame.margin:
            taken = canvas.text(x, top - 8, words, 13, weight=700, fill="woad")
    return foot


def _make(canvas: Canvas, day: CrewDay, make: DayMake, clock: Axis, y: float, frame: _Frame) -> float:
    """One fuse: from the end of extraction over its loads to the last use, and on to where it is too old."""
    y -= 30
    canvas.text(frame.margin, y - 3, fitted(make_short(make), frame.start - frame.margin - 20, frame.names, 700),
                frame.names, weight=700)
    canvas.text(frame.margin, y + 15, ends_told(make), 13, fill="slate")
    if make.ends_min is None or make.use_by_min is None:
        start, end = clock.at(make.loads[0].filled_min), clock.at(make.last_use_min)
        canvas.rect(start, y - 13, end - start, 26, fill="paper", stroke="ink", weight=1.6, dash=NOT_KNOWN, cap="round",
                    name="not-there")
        _beside(canvas, make, start, end, y, frame)
        return y + 30
    start, use, limit = (clock.at(each) for each in (make.ends_min, make.last_use_min, make.use_by_min))
    if make.starts_min is not None:
        began = clock.at(make.starts_min)
        canvas.rect(began, y - 13, start - began, 26, fill="mist", stroke="ink", weight=2, name="making")
    canvas.rect(start, y - 13, use - start, 26, fill="ink", name="age")
    _loads(canvas, make, clock, y)
    canvas.line(start, y - 20, start, y + 20, weight=4, name="ends")
    if limit >= use:
        canvas.line(use, y, limit, y, weight=2.2, dash=COMPUTED, name="in-hand")
    canvas.circle(use, y, 7, fill="paper", stroke="ink", weight=2.5, name="last-use")
    canvas.line(limit, y - 20, limit, y + 20, stroke="madder", weight=4, name="limit")
    _beside(canvas, make, start, max(limit, use), y, frame)
    words = loads_told(day, make)
    canvas.text(min(start, frame.end - width_px(words, 13)), y + 38, words, 13)
    return y + 30


def _loads(canvas: Canvas, make: DayMake, clock: Axis, y: float) -> None:
    """Where one tank of a make ends and the next begins."""
    for load in make.loads[1:]:
        canvas.line(clock.at(load.filled_min), y - 13, clock.at(load.filled_min), y + 13, stroke="paper", weight=2.5,
                    name="load")


def _beside(canvas: Canvas, make: DayMake, start: float, end: float, y: float, frame: _Frame) -> None:
    """From when it is refused and the time in hand, right of the fuse or, where no room is, left of it."""
    lines: Sequence[tuple[str, int, str]] = ((refuse_told(make), 700, "madder"), (hand_told(make), 400, "slate"))
    room = max(width_px(words, 13, 700) for words, _, _ in lines)
    right = end + 11 + room <= frame.width - 4
    for at, (words, weight, fill) in enumerate(lines):
        canvas.text(end + 11 if right else start - 30, y - 3 + 17 * at, words, 13, weight=700 if weight == 700 else 400,
                    fill=fill, anchor="start" if right else "end")


def _key(canvas: Canvas, day: CrewDay, y: float, frame: _Frame) -> float:
    canvas.line(frame.margin, y, frame.width - frame.margin, y, stroke="hair", name="rule")
    y += 26
    if day.makes:
        canvas.text(frame.margin, y, say("crew_day.key"), 13, fill="slate")
        y += 18
    x = frame.margin
    for work in dict.fromkeys(work for stop in day.stops for work in stop.works):
        fill_of(canvas, work, x, y - 2, 26, 18)
        x = canvas.text(x + 34, y + 12, say(f"crew_day.work.{work}"), 13, fill="slate") + 20
    return y + 28
