"""A heap's heat against time: the coldest probe, the rule as a band, gaps left open, turns, and what counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from math import ceil
from typing import TypedDict

from rootcase.ground.clock import day_there, zone
from rootcase.ground.dates import show_date
from rootcase.ground.quantity import number, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.make.heap import Heap, HeapJudged, Stretch
from rootcase.records.observe import System
from rootcase.report.lettering import Weight, width_px
from rootcase.report.pictures.heat_sheet import CELLS, DATES, Sheet, sheet_of, spread
from rootcase.report.pictures.signs import Axis, Layout
from rootcase.report.svg import NOT_KNOWN, Canvas, Picture, Style
from rootcase.report.text.heap import days_told, finding, warmth


class _Letters(TypedDict):
    weight: Weight
    fill: str


_WIDTH: dict[Layout, float] = {"wide": 1120.0, "column": 760.0, "phone": 360.0}
_TOGETHER = timedelta(hours=3)
"""Readings so near to each other are one round past the probes."""
_MOST_POINTS = 160
_GRID_C = (20.0, 40.0)
_ROW = 26.0
"""Of the calendar, where time runs down: a day with the name of its month above."""
_TURN = 11.0
"""Radius of the ring with a turn's number."""
_DEGREES_WIDE, _DEGREES_TALL = 48.0, 15.0
_OF_RULE: _Letters = {"weight": 700, "fill": "forest"}
_OF_GRID: _Letters = {"weight": 400, "fill": "slate"}
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


def draw_heat(heap: Heap, found: HeapJudged, system: System, layout: Layout = "wide") -> Picture:
    """Draw a heap's log, what of it counts, and both counts of days against the rule; on a phone time runs down."""
    canvas, small = Canvas(f"heat-{layout}", _WIDTH[layout]), layout == "phone"
    margin = 16.0 if small else 32.0
    top = canvas.paragraph(margin, 24.0, _under(heap), canvas.width - 2 * margin, 13.0 if small else 16.0,
                           fill="slate") + 36
    rounds = rounds_of(heap, found)
    first, last, turns = _times_drawn(heap, found, rounds)
    sheet = sheet_of(canvas, layout, margin, top, (first, last), _scale(rounds, found))
    _band(sheet, found, system)
    _unknown(sheet, found)
    _turns(sheet, found, turns)
    _line(sheet, rounds, found)
    y = _ground(sheet, margin)
    _cells(sheet, found)
    y = _calendar(sheet, heap, margin, last, y)
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


def _key(sheet: Sheet, found: HeapJudged, rounds: Sequence[Round], turns: Sequence[datetime]) -> str:
    words = [say("heap.picture.key"), say("heap.picture.key_beside" if sheet.down else "heap.picture.key_below")]
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


def _band(sheet: Sheet, found: HeapJudged, system: System) -> None:
    """The rule's band, a few lines of the scale, and their degrees in both systems."""
    low = sheet.warm.at(found.lowest_c)
    high = sheet.hot if found.highest_c is None else sheet.warm.at(found.highest_c)
    sheet.rect(sheet.start, low, sheet.end, high, fill="forest_tint", name="rule")
    sheet.line(sheet.start, low, sheet.end, low, stroke="forest", weight=3.5, name="lowest")
    if found.highest_c is not None:
        sheet.line(sheet.start, high, sheet.end, high, stroke="forest", weight=1.6, name="highest")
    marks = [(found.lowest_c, True), *([(found.highest_c, True)] if found.highest_c is not None else [])]
    marks += [(each, False) for each in _GRID_C if each < found.lowest_c - 8]
    told: list[float] = []
    for celsius, of_rule in marks:
        across = sheet.warm.at(celsius)
        if (across - sheet.cold) * sheet.toward_hot <= 8:
            continue
        if not of_rule:
            sheet.line(sheet.start, across, sheet.end, across, stroke="hair", name="grid")
        texts = [with_unit(number(convert(celsius, "degC", unit), 3), unit) for unit in ("degF", "degC")]
        if all(abs(across - each) >= (_DEGREES_WIDE if sheet.down else _DEGREES_TALL) for each in told):
            _degrees(sheet, across, texts if system == "us" else texts[::-1], of_rule)
            told.append(across)


def _degrees(sheet: Sheet, across: float, texts: Sequence[str], of_rule: bool) -> None:
    """A line's degrees at both its ends, or above each other where time runs down."""
    canvas, style = sheet.canvas, _OF_RULE if of_rule else _OF_GRID
    if sheet.down:
        for words, y in zip(texts, (sheet.start - 22, sheet.start - 8), strict=True):
            canvas.text(across, y, words, 12, anchor="middle", **style)
    else:
        canvas.text(sheet.start - 6, across + 4, texts[0], 13, anchor="end", **style)
        canvas.text(sheet.end + 6, across + 4, texts[1], 13, **style)


def _unknown(sheet: Sheet, found: HeapJudged) -> None:
    """Time of which nothing is known stays open: paper in a dotted frame."""
    for each in found.stretches:
        start, end = sheet.along(each.start), sheet.along(each.end)
        if each.state == "not known" and end - start >= 4:
            sheet.rect(start, sheet.hot + 6 * sheet.toward_hot, end, sheet.cold, fill="paper", stroke="ink",
                       weight=1.6, dash=NOT_KNOWN, cap="round", name="not-known")


def _turns(sheet: Sheet, found: HeapJudged, drawn: Sequence[datetime]) -> None:
    places = [(count, sheet.along(each)) for count, each in enumerate(found.turned_at, 1) if each in drawn]
    beside = sheet.toward_hot
    for (count, along), fits in zip(places, spread([at for _, at in places], 2 * _TURN + 3), strict=True):
        sheet.line(along, sheet.hot + 8 * beside, along, sheet.cold, stroke="slate", weight=1.2, name="turn")
        if fits:
            x, y = sheet.point(along, sheet.hot + (9 + _TURN) * beside)
            sheet.canvas.circle(x, y, _TURN, fill="paper", stroke="ink", weight=2, name="turned")
            sheet.canvas.text(x, y + 4.5, str(count) if count < 100 else "", 12, weight=700, anchor="middle")


def _line(sheet: Sheet, rounds: Sequence[Round], found: HeapJudged) -> None:
    """The coldest probe; no line across time that is not known, and what does not count is hollow or crossed."""
    dense = len(rounds) > 60
    for one, two in pairwise(rounds):
        if _state(found.stretches, one.at + (two.at - one.at) / 2) != "not known":
            sheet.line(sheet.along(one.at), sheet.across(one.coldest_c), sheet.along(two.at),
                       sheet.across(two.coldest_c), weight=2.2, cap="round", name="coldest")
    for each in rounds:
        along, across = sheet.along(each.at), sheet.across(each.coldest_c)
        for warm in () if dense else (sheet.across(each) for each in each.others_c):
            sheet.line(along, across, along, warm, stroke="rule", weight=1.2, name="warmer")
            sheet.line(along - 4, warm, along + 4, warm, stroke="rule", weight=1.6, name="warmer")
        if sheet.beyond(each.coldest_c):
            _arrow(sheet, along, across)
        elif each.doubted:
            sheet.line(along - 4, across - 4, along + 4, across + 4, weight=2, name="doubted")
            sheet.line(along - 4, across + 4, along + 4, across - 4, weight=2, name="doubted")
        elif not dense:
            sheet.canvas.circle(*sheet.point(along, across), 4.5 if sheet.down else 6.0, stroke="ink", weight=2,
                                fill="ink" if each.counts else "paper", name="counts" if each.counts else "counts-not")


def _arrow(sheet: Sheet, along: float, across: float) -> None:
    """A reading beyond the scale, at its edge."""
    tip = 5 * sheet.toward_hot * (1 if across == sheet.hot else -1)
    for side in (-6, 6):
        sheet.line(along + side, across - tip, along, across + tip, weight=2.5, name="beyond")


def _state(stretches: Sequence[Stretch], at: datetime) -> str:
    return next((each.state for each in stretches if each.start <= at <= each.end), "not known")


def _ground(sheet: Sheet, margin: float) -> float:
    """The ground line on the cold side; returns where the picture goes on below it."""
    if sheet.down:
        sheet.line(sheet.start, sheet.cold, sheet.end, sheet.cold, weight=4, name="ground-line")
        return sheet.end
    sheet.line(margin, sheet.cold, sheet.canvas.width - margin, sheet.cold, weight=4, name="ground-line")
    return sheet.cold + 56


def _cells(sheet: Sheet, found: HeapJudged) -> None:
    """What counts, stretch by stretch with its days, on the far side of the ground line."""
    canvas, near = sheet.canvas, sheet.cold - (6 if sheet.down else 14) * sheet.toward_hot
    far = near - CELLS * sheet.toward_hot
    for each in found.stretches:
        start, end = sheet.along(each.start) + 1, sheet.along(each.end) - 1
        if each.state == "hot":
            sheet.rect(start, near, end, far, fill="ink", name="hot")
        elif end > start:
            how: Style = {"dash": NOT_KNOWN} if each.state == "not known" else {}
            sheet.rect(start, near, end, far, fill="paper", stroke="ink" if how else "rule", weight=1.5,
                       name="unknown" if how else "outside", **how)
        words = days_told((each.end - each.start) / timedelta(days=1)) if each.state == "hot" else (
            "?" if each.state == "not known" else "")
        wide = width_px(words, 13, 700)
        if words and (wide <= CELLS and end - start > 18 if sheet.down else wide + 4 < end - start):
            x, y = sheet.point((start + end) / 2, (near + far) / 2)
            on = "ink" if each.state == "hot" else "paper"
            canvas.text(x, y + 5, words, 13, weight=700, anchor="middle", on=on,
                        fill="paper" if on == "ink" else "ink")


def _calendar(sheet: Sheet, heap: Heap, margin: float, last: datetime, y: float) -> float:
    """Days of the calendar below the sheet or, where time runs down, at its left; returns the lowest line of it."""
    canvas, place, day = sheet.canvas, zone(heap.time_zone), timedelta(days=1)
    days = [sheet.first + each * day for each in range((last - sheet.first) // day + 1)]
    told = [show_date(day_there(at, place)).rsplit(" ", 1)[0] for at in days]
    room = _ROW if sheet.down else max(width_px(words, 12) for words in told) + 12
    step, named = max(1, ceil(room / sheet.time.step)), ""
    for at, words in zip(days[::step], told[::step], strict=True):
        along, half = sheet.along(at), width_px(words, 12) / 2
        if sheet.down:
            count, month = words.split(" ", 1)
            canvas.text(margin, along - 9, month if month != named else "", 12, fill="slate")
            canvas.text(margin + DATES - 6, along + 4, count, 12, fill="slate", anchor="end")
            named = month
        elif sheet.start - 40 <= along - half and along + half <= sheet.end + 40:
            canvas.text(along, y, words, 12, fill="slate", anchor="middle")
    return y


def _counts(sheet: Sheet, found: HeapJudged, margin: float, y: float) -> float:
    """Both ways of counting against what the rule asks."""
    canvas = sheet.canvas
    bars = (("total", found.total_days, found.most_total_days, not found.unbroken),
            ("unbroken", found.unbroken_days, found.most_unbroken_days, found.unbroken))
    left = margin if sheet.down else margin + 300
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
        canvas.text(margin, y + (14 if sheet.down else 19), told, 13, weight=700 if asked else 400)
        y += 22 if sheet.down else 0
        start = y - 6 if sheet.down else start
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
