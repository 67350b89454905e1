"""The timeline: what happened at a tree on one line, what is booked ahead dashed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.report.lettering import width_px
from rootcase.report.pictures.signs import Axis, short
from rootcase.report.svg import COMPUTED, Canvas, Picture
from rootcase.report.text.figures import sentence
from rootcase.report.text.happenings import LANES, Happening, Lane
from rootcase.report.text.naming import month_of

_WIDTH, _MARGIN, _LEFT, _RIGHT, _LANE = 1120.0, 32.0, 168.0, 1072.0, 46.0
_ROOM_DAYS = 0.04
"""Free at both ends, of the whole time."""


def draw_timeline(label: str, happenings: Sequence[Happening], today: date) -> Picture:
    """Draw each thing on its day, a lane for each kind of thing, all on one ground line of years."""
    canvas = Canvas("timeline-wide", _WIDTH)
    days = [today, *(each.day for each in happenings)]
    first, last = min(days).toordinal(), max(days).toordinal()
    free = max(60.0, _ROOM_DAYS * (last - first))
    step = (_RIGHT - _LEFT) / (last - first + 2 * free)
    axis = Axis(_LEFT - (first - free) * step, step)
    lanes = [lane for lane in LANES if any(each.lane == lane for each in happenings)]
    foot = 26 + len(lanes) * _LANE
    for i, lane in enumerate(lanes):
        y = 26 + (i + 0.5) * _LANE
        with canvas.group("lane", **{"data-lane": lane}):
            canvas.text(_MARGIN, y + 5, say(f"case.lane.{lane}"), 14, weight=700)
            canvas.line(_LEFT, y, _RIGHT, y, stroke="hair")
            _lane(canvas, lane, [(axis.at(each.day.toordinal()), each) for each in happenings if each.lane == lane], y)
    now = axis.at(today.toordinal())
    canvas.line(now, 22, now, foot, weight=1.4, name="today")
    canvas.text(now, 16, say("case.lane.today"), 13, fill="slate", anchor="middle")
    canvas.line(_MARGIN, foot, _WIDTH - _MARGIN, foot, weight=4, name="ground-line")
    _years(canvas, first - free, last + free, foot, axis)
    return canvas.finish(foot + 34, say("case.timeline", tree=label), _alt(label, happenings))


def _lane(canvas: Canvas, lane: Lane, marks: list[tuple[float, Happening]], y: float) -> None:
    """Marks of one lane, each with its month where there is room for it, behind it or before."""
    taken = [(x - 12, x + 12) for x, _ in marks]
    for x, each in marks:
        with canvas.group("happening", **{"data-day": each.day.isoformat()}):
            _mark(canvas, lane, x, y)
        words = month_of(each.day)
        wide = width_px(words, 12)
        for start in (x + 16, x - 16 - wide):
            if start > _LEFT and start + wide < _RIGHT and not any(
                    low < start + wide + 4 and start - 4 < high for low, high in taken):
                canvas.text(start, y - 6, words, 12, fill="slate", plate=True)
                taken.append((start, start + wide))
                break


def _mark(canvas: Canvas, lane: Lane, x: float, y: float) -> None:
    """Read: an ink stroke. Photo: a frame with its eye. Plan: what we do. Offer: blank. Put on: solid.
    Ahead: dashed."""
    if lane == "read":
        canvas.line(x, y - 14, x, y + 14, weight=5, name="mark")
    elif lane == "photo":
        canvas.rect(x - 9, y - 7, 18, 14, fill="paper", stroke="ink", weight=2, name="mark")
        canvas.circle(x, y, 3.5, fill="ink")
    elif lane == "plan":
        canvas.rect(x - 7, y - 11, 14, 22, fill="weld", stroke="ink", weight=2, name="mark")
    elif lane == "offer":
        canvas.rect(x - 7, y - 11, 14, 22, fill="paper", stroke="ink", weight=2, name="mark")
    elif lane == "put_on":
        canvas.rect(x - 7, y - 11, 14, 22, fill="ink", name="mark")
    else:
        canvas.circle(x, y, 9, fill="paper", stroke="ink", weight=2, dash=COMPUTED, name="mark")


def _years(canvas: Canvas, first: float, last: float, foot: float, axis: Axis) -> None:
    """A tick at each new year, named where there is room."""
    starts = [year for year in range(date.fromordinal(int(first)).year, date.fromordinal(int(last)).year + 2)
              if first <= date(year, 1, 1).toordinal() <= last]
    every = next(n for n in (1, 2, 5, 10, 20, 50) if len(starts) / n <= 14)
    for year in starts:
        x = axis.at(date(year, 1, 1).toordinal())
        canvas.line(x, foot, x, foot + 8, weight=2)
        if year % every == 0:
            canvas.text(x, foot + 24, str(year), 13, fill="slate", anchor="middle")


def _alt(label: str, happenings: Sequence[Happening]) -> str:
    told = [say("case.timeline_row", day=show_date(each.day), told=each.told.rstrip(".")) for each in happenings]
    shown = "; ".join(told[-6:]) or say("picture.not_known")
    return say("case.timeline_alt", tree=sentence(short(label)), count=len(happenings), rows=shown)
