"""A heap's heat against time: the coldest probe, the rule as a band, gaps left open, turns, and what counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise

from rootcase.ground.clock import day_there, zone
from rootcase.ground.dates import show_date
from rootcase.ground.quantity import number, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.make.heap import Heap, HeapJudged, Stretch
from rootcase.records.observe import System
from rootcase.report.lettering import width_px
from rootcase.report.pictures.signs import Axis, Layout
from rootcase.report.svg import NOT_KNOWN, Canvas, Label, Picture
from rootcase.report.text.heap import days_told, finding, warmth

_WIDTH: dict[Layout, float] = {"wide": 1120.0, "column": 760.0, "phone": 360.0}
_TALL: dict[Layout, float] = {"wide": 330.0, "column": 260.0, "phone": 230.0}
_TOGETHER = timedelta(hours=3)
"""Readings so near to each other are one round past the probes."""
_MOST_POINTS = 160
_GRID_C = (20.0, 40.0)
_EDGE = 7.0
_FAR = timedelta(days=30)
_BULK, _BESIDE_C = 20, 15.0
"""One reading in so many at each end, and further from the rest than this, does not stretch the scale. JUDGEMENT."""


@dataclass(frozen=True, slots=True)
class Round:
    """Probes read at about one time: the coldest, and the others."""

    at: datetime
    coldest_c: float
    others_c: tuple[float, ...]
    counts: bool
    """It lies beside time that counts."""
    doubted: bool
    """Every reading of it is one that is not believed."""


@dataclass(slots=True)
class _Sheet:
    canvas: Canvas
    small: bool
    left: float
    right: float
    bottom: float
    first: datetime
    across: Axis
    up: Axis
    top: float

    def y(self, celsius: float) -> float:
        """At the edge, where it lies beyond the scale."""
        return min(max(self.up.at(celsius), self.top), self.bottom - _EDGE)

    def beyond(self, celsius: float) -> bool:
        return not self.top - 1 <= self.up.at(celsius) <= self.bottom + 1

    def x(self, at: datetime) -> float:
        return self.across.at((at - self.first).total_seconds() / 86400.0)


def draw_heat(heap: Heap, found: HeapJudged, system: System, layout: Layout = "wide") -> Picture:
    """Draw a heap's log, what of it counts, and both counts of days against the rule."""
    canvas, small = Canvas(f"heat-{layout}", _WIDTH[layout]), layout == "phone"
    margin = 16.0 if small else 32.0
    top = canvas.paragraph(margin, 24.0, _under(heap), canvas.width - 2 * margin, 13.0 if small else 16.0,
                           fill="slate") + 36
    rounds = rounds_of(heap, found)
    first, last, turns = _times_drawn(heap, found, rounds)
    left, right = margin + (46 if small else 64), canvas.width - margin - (8 if small else 64)
    bottom = top + _TALL[layout]
    coldest, hottest = _scale(rounds, found)
    sheet = _Sheet(canvas, small, left, right, bottom, first,
                   Axis(left + 6, (right - left - 12) / ((last - first).total_seconds() / 86400.0)),
                   Axis(bottom + coldest * (bottom - top) / (hottest - coldest), -(bottom - top) / (hottest - coldest)),
                   top)
    _band(sheet, found, system, top)
    _unknown(sheet, found, top)
    _turns(sheet, found, turns, top)
    _line(sheet, rounds, found)
    canvas.line(margin, bottom, canvas.width - margin, bottom, weight=4, name="ground-line")
    y = _cells(sheet, heap, found, bottom + 14, last)
    y = _counts(sheet, found, margin, y + 34)
    y = canvas.paragraph(margin, y + 8, _key(sheet, found, rounds, turns), canvas.width - 2 * margin, 13, fill="slate")
    return canvas.finish(y + 6, say("heap.picture.title", name=heap.name), _alt(heap, found, system, rounds))


def _times_drawn(heap: Heap, found: HeapJudged, rounds: Sequence[Round]) -> tuple[datetime, datetime, list[datetime]]:
    """First and last moment of the picture, and the turns in it: one far from all readings would squeeze the rest."""
    read = [heap.complete_at, *(each.at for each in rounds)]
    room = max(max(read) - min(read), _FAR)
    turns = [at for at in found.turned_at if min(read) - room <= at <= max(read) + room]
    return min(*read, *turns, heap.complete_at), max(*read, *turns, min(read) + timedelta(days=1)), turns


def _scale(rounds: Sequence[Round], found: HeapJudged) -> tuple[float, float]:
    """Coldest and hottest of the scale in degC: the rule and the bulk of what was read."""
    warm = sorted(each for one in rounds for each in (one.coldest_c, *one.others_c)) or [10.0]
    beyond = len(warm) // _BULK
    low = max(warm[0], warm[beyond] - _BESIDE_C)
    high = min(warm[-1], warm[-1 - beyond] + _BESIDE_C)
    return min(10.0, low), max(80.0, (found.highest_c or 0.0) + 3, high)


def _key(sheet: _Sheet, found: HeapJudged, rounds: Sequence[Round], turns: Sequence[datetime]) -> str:
    words = [say("heap.picture.key")]
    beyond = sum(sheet.beyond(each) for one in rounds for each in (one.coldest_c, *one.others_c))
    words += [say("heap.picture.beyond", count=beyond)] if beyond else []
    unseen = len(found.turned_at) - len(turns)
    words += [say("heap.picture.turns_beyond", count=unseen)] if unseen else []
    return " ".join(words)


def rounds_of(heap: Heap, found: HeapJudged) -> tuple[Round, ...]:
    """What the probes read, round by round, in order of time."""
    rows = sorted([(each.at, each.probe, each.temperature_c) for each in heap.readings]
                  + [(file.start + timedelta(seconds=after), file.probe, warm) for file in heap.logged
                     for after, warm in zip(file.after_s, file.temperature_c, strict=False)])
    rows = [row for row in rows if row[0] >= heap.complete_at and -60.0 <= row[2] <= 120.0]
    if not rows:
        return ()
    together = max(_TOGETHER, (rows[-1][0] - rows[0][0]) / _MOST_POINTS)
    groups: list[list[tuple[datetime, int, float]]] = []
    for row in rows:
        if groups and row[0] - groups[-1][0][0] < together:
            groups[-1].append(row)
        else:
            groups.append([row])
    return tuple(_round(group, found) for group in groups)


def _round(group: Sequence[tuple[datetime, int, float]], found: HeapJudged) -> Round:
    believed = [row for row in group if not any(doubt.probe == row[1] and doubt.start <= row[0] <= doubt.end
                                                for doubt in found.doubts)]
    coldest_of = {}
    for at, probe, warm in believed or group:
        if probe not in coldest_of or warm < coldest_of[probe][1]:
            coldest_of[probe] = (at, warm)
    at, coldest = min(coldest_of.values(), key=lambda each: each[1])
    others = sorted(warm for when, warm in coldest_of.values() if (when, warm) != (at, coldest))
    counts = any(each.state == "hot" and each.start <= group[-1][0] and group[0][0] <= each.end
                 for each in found.stretches)
    return Round(at, coldest, tuple(others), counts, not believed)


def _under(heap: Heap) -> str:
    place = zone(heap.time_zone)
    under = say(f"heap.picture.under_{heap.shape}", name=heap.name, rule=say(f"heap.rule.{heap.rule}"),
                day=show_date(day_there(heap.complete_at, place)))
    return f"{under} {say('heap.picture.invented')}" if heap.invented else under


def _band(sheet: _Sheet, found: HeapJudged, system: System, top: float) -> None:
    """The rule's band, a few lines of the scale, and their degrees in both systems."""
    canvas, low = sheet.canvas, sheet.up.at(found.lowest_c)
    high = top if found.highest_c is None else sheet.up.at(found.highest_c)
    canvas.rect(sheet.left, high, sheet.right - sheet.left, low - high, fill="forest_tint", name="rule")
    canvas.line(sheet.left, low, sheet.right, low, stroke="forest", weight=3.5, name="lowest")
    if found.highest_c is not None:
        canvas.line(sheet.left, high, sheet.right, high, stroke="forest", weight=1.6, name="highest")
    marks = [(found.lowest_c, True), *([(found.highest_c, True)] if found.highest_c is not None else [])]
    marks += [(each, False) for each in _GRID_C if each < found.lowest_c - 8]
    us = system == "us"
    for celsius, of_rule in marks:
        y = sheet.up.at(celsius)
        if y > sheet.bottom - 8:
            continue
        if not of_rule:
            canvas.line(sheet.left, y, sheet.right, y, stroke="hair", name="grid")
        texts = [with_unit(number(convert(celsius, "degC", unit), 3), unit) for unit in ("degF", "degC")]
        first, other = texts if us else texts[::-1]
        weight, fill = (700, "forest") if of_rule else (400, "slate")
        canvas.text(sheet.left - 6, y + 4, first, 12 if sheet.small else 13, weight=weight, fill=fill,  # type: ignore[arg-type]
                    anchor="end")
        if not sheet.small:
            canvas.text(sheet.right + 6, y + 4, other, 13, weight=weight, fill=fill)  # type: ignore[arg-type]


def _unknown(sheet: _Sheet, found: HeapJudged, top: float) -> None:
    """Time of which nothing is known stays open: paper in a dotted frame."""
    canvas = sheet.canvas
    for each in found.stretches:
        x, wide = sheet.x(each.start), sheet.x(each.end) - sheet.x(each.start)
        if each.state != "not known" or wide < 4:
            continue
        canvas.rect(x, top - 6, wide, sheet.bottom - top + 6, fill="paper", stroke="ink", weight=1.6, dash=NOT_KNOWN,
                    cap="round", name="not-known")


def _turns(sheet: _Sheet, found: HeapJudged, drawn: Sequence[datetime], top: float) -> None:
    taken: list[Label] = []
    for count, each in enumerate(found.turned_at, 1):
        if each not in drawn:
            continue
        x = sheet.x(each)
        sheet.canvas.line(x, top - 8, x, sheet.bottom, stroke="slate", weight=1.2, name="turn")
        box = Label(x - 11, top - 32, x + 11, top - 8, str(count))
        if any(box.touches(other) for other in taken):
            continue
        taken.append(box)
        sheet.canvas.circle(x, top - 20, 11, fill="paper", stroke="ink", weight=2, name="turned")
        if count < 100:
            sheet.canvas.text(x, top - 15.5, str(count), 12, weight=700, anchor="middle")


def _line(sheet: _Sheet, rounds: Sequence[Round], found: HeapJudged) -> None:
    """The coldest probe; no line across time that is not known, and what does not count is hollow or crossed."""
    canvas, radius = sheet.canvas, 4.0 if sheet.small else 6.0
    dense = len(rounds) > 60
    for one, two in pairwise(rounds):
        if _state(found.stretches, one.at + (two.at - one.at) / 2) != "not known":
            canvas.line(sheet.x(one.at), sheet.y(one.coldest_c), sheet.x(two.at), sheet.y(two.coldest_c),
                        weight=2.2, cap="round", name="coldest")
    for each in rounds:
        x, y = sheet.x(each.at), sheet.y(each.coldest_c)
        for warm in () if dense else each.others_c:
            canvas.line(x, y, x, sheet.y(warm), stroke="rule", weight=1.2, name="warmer")
            canvas.line(x - 4, sheet.y(warm), x + 4, sheet.y(warm), stroke="rule", weight=1.6, name="warmer")
        if sheet.beyond(each.coldest_c):
            _arrow(sheet, x, y)
        elif each.doubted:
            canvas.line(x - 4, y - 4, x + 4, y + 4, weight=2, name="doubted")
            canvas.line(x - 4, y + 4, x + 4, y - 4, weight=2, name="doubted")
        elif not dense:
            canvas.circle(x, y, radius, fill="ink" if each.counts else "paper", stroke="ink", weight=2,
                          name="counts" if each.counts else "counts-not")


def _arrow(sheet: _Sheet, x: float, y: float) -> None:
    """A reading beyond the scale, at its edge."""
    tip = 5 if y > sheet.top else -5
    for side in (-6, 6):
        sheet.canvas.line(x + side, y - tip, x, y + tip, weight=2.5, name="beyond")


def _state(stretches: Sequence[Stretch], at: datetime) -> str:
    return next((each.state for each in stretches if each.start <= at <= each.end), "not known")


def _cells(sheet: _Sheet, heap: Heap, found: HeapJudged, y: float, last: datetime) -> float:
    """What counts, stretch by stretch with its days; the days of the calendar below."""
    canvas = sheet.canvas
    for each in found.stretches:
        x, wide = sheet.x(each.start), sheet.x(each.end) - sheet.x(each.start)
        if each.state == "hot":
            canvas.rect(x + 1, y, wide - 2, 24, fill="ink", name="hot")
        else:
            how = {"dash": NOT_KNOWN} if each.state == "not known" else {}
            canvas.rect(x + 1, y, wide - 2, 24, fill="paper", stroke="ink" if how else "rule", weight=1.5,
                        name="unknown" if how else "outside", **how)  # type: ignore[arg-type]
        words = days_told((each.end - each.start) / timedelta(days=1)) if each.state == "hot" else (
            "?" if each.state == "not known" else "")
        if words and width_px(words, 13, 700) + 6 < wide:
            canvas.text(x + wide / 2, y + 17, words, 13, weight=700, anchor="middle",
                        fill="paper" if each.state == "hot" else "ink", on="ink" if each.state == "hot" else "paper")
    return _calendar(sheet, heap, y + 42, last)


def _calendar(sheet: _Sheet, heap: Heap, y: float, last: datetime) -> float:
    place = zone(heap.time_zone)
    room, at, ends = 96.0 if sheet.small else 120.0, sheet.first, -1e9
    while at <= last:
        words = show_date(day_there(at, place)).rsplit(" ", 1)[0]
        x, half = sheet.x(at), width_px(words, 12) / 2
        if x - half > ends + 12 and sheet.left - 8 <= x - half and x + half <= sheet.right + 6:
            ends = sheet.canvas.text(x, y, words, 12, fill="slate", anchor="middle")
            at += max(timedelta(days=1), timedelta(days=room / max(sheet.across.step, 1e-6)) / 2)
        else:
            at += timedelta(days=1)
    return y


def _counts(sheet: _Sheet, found: HeapJudged, margin: float, y: float) -> float:
    """Both ways of counting against what the rule asks."""
    canvas = sheet.canvas
    bars = (("total", found.total_days, found.most_total_days, not found.unbroken),
            ("unbroken", found.unbroken_days, found.most_unbroken_days, found.unbroken))
    left = margin if sheet.small else margin + 300
    most = max(found.needed_days * 1.25, found.most_total_days, 1.0)
    scale = Axis(left, (sheet.canvas.width - margin - left - 64) / most)
    needed = scale.at(found.needed_days)
    words = say("heap.picture.needed", days=f"{found.needed_days:g}")
    half = width_px(words, 13, 700) / 2
    canvas.text(min(max(needed, margin + half + 3), canvas.width - margin - half - 3), y, words, 13, weight=700,
                fill="forest", anchor="middle")
    start, y = y + 8, y + 14
    for name, days, at_most, asked in bars:
        told = say(f"heap.picture.{name}") + (f" ({say('heap.picture.asked')})" if asked else "")
        canvas.text(margin, y + (14 if sheet.small else 19), told, 13, weight=700 if asked else 400)
        y += 22 if sheet.small else 0
        start = y - 6 if sheet.small else start
        canvas.rect(left, y, scale.at(at_most) - left, 26, fill="paper", stroke="ink", weight=1.6, dash=NOT_KNOWN,
                    cap="round", name="at-most")
        canvas.rect(left, y, scale.at(days) - left, 26, fill="ink", name=name)
        figure, x = say("heap.picture.days", days=days_told(days)), scale.at(at_most) + 8
        struck = x - 4 < needed < x + width_px(figure, 13, 700) + 4
        canvas.text(needed + 8 if struck else x, y + 18, figure, 13, weight=700)
        y += 38
        canvas.line(needed, start, needed, y - 6, stroke="forest", weight=3.5, name="needed")
    return y + 12


def _alt(heap: Heap, found: HeapJudged, system: System, rounds: Sequence[Round]) -> str:
    coldest = [each.coldest_c for each in rounds]
    return " ".join([finding(heap, found, system), say(
        "heap.picture.alt", count=len(rounds), low=warmth(min(coldest, default=None), system),
        high=warmth(max(coldest, default=None), system), turns=len(found.turned_at))])
