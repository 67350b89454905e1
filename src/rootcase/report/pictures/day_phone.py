"""A crew's day on a phone: time runs down, stops at the left, the hour of each make at the right."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.ground.words import say
from rootcase.records.apply.crew_day import CrewDay, DayMake, DayStop
from rootcase.report.lettering import wrapped
from rootcase.report.pictures.day import fill_of, hours_of
from rootcase.report.pictures.signs import Axis, head
from rootcase.report.svg import COMPUTED, NOT_KNOWN, Canvas, Picture
from rootcase.report.text.crew_day import (
    day_alt,
    day_finding,
    day_under,
    ends_told,
    hand_told,
    make_short,
    refuse_told,
    stop_what,
)
from rootcase.report.text.rounds import Names, clock_told

_WIDTH, _MARGIN, _RIGHT = 360.0, 16.0, 344.0
_PX_PER_MIN = 86.0 / 60.0
_GROUND, _BLOCK, _WORDS = 62.0, 50.0, 120.0
"""The line that stops stand on, how far they reach, and where their names begin."""
_FUSE, _OVER = 22.0, 6.0
"""Width of a fuse, and how far its ends reach out."""
_LANE, _LANES = 306.0, (316.0, 282.0)
"""Where it stands; two where one begins while another still burns."""
_ROOM = 92.0
"""Of a stop's name."""
_LINE = 17.0


@dataclass
class Column:
    """Words that keep beside their time as far as no others stand there."""

    free: float = 0.0

    def at(self, wanted: float, lines: int) -> float:
        """Baseline of the first of so many lines."""
        y = max(wanted, self.free)
        self.free = y + lines * _LINE + 3
        return y


def draw_day_phone(day: CrewDay, names: Names) -> Picture:
    """Draw one crew's day, the clock from top to bottom."""
    canvas = Canvas("day-phone", _WIDTH)
    y = head(canvas, day_finding(day), day_under(day, names), _MARGIN, _WIDTH - 2 * _MARGIN, size=21,
             under_size=13, top=30)
    first, last = hours_of(day)
    top = y + 36
    clock = Axis(top - first * 60 * _PX_PER_MIN, _PX_PER_MIN)
    canvas.text(_GROUND, top - 12, say("crew_day.stops"), 14, weight=700)
    if day.makes:
        canvas.text(_RIGHT, top - 12, say("crew_day.make"), 14, weight=700, anchor="end")
    for hour in range(first, last + 1):
        at = clock.at(hour * 60)
        canvas.line(_MARGIN, at, _RIGHT, at, stroke="hair", name="hour")
        canvas.text(_MARGIN, at + 5, clock_told(hour * 60), 12, fill="slate", plate=True)
    canvas.line(_GROUND, clock.at(first * 60), _GROUND, clock.at(last * 60), weight=4, name="ground-line")
    stops, makes = Column(), Column()
    for stop in day.stops:
        _stop(canvas, stop, names, clock, stops)
    for at, make in enumerate(day.makes):
        _make(canvas, make, clock, makes, _lane(day, at))
    y = max(clock.at(last * 60), stops.free, makes.free) + 18
    canvas.line(_MARGIN, y, _RIGHT, y, stroke="hair", name="rule")
    if day.makes:
        y = canvas.paragraph(_MARGIN, y + 20, say("crew_day.key_down"), _RIGHT - _MARGIN, 13, fill="slate")
    return canvas.finish(y + 6, say("crew_day.title"), day_alt(day, names))


def _stop(canvas: Canvas, stop: DayStop, names: Names, clock: Axis, column: Column) -> None:
    y, high = clock.at(stop.starts_min), clock.at(stop.ends_min) - clock.at(stop.starts_min)
    works = stop.works or ("other",)
    with canvas.group("stop"):
        for at, work in enumerate(works):
            fill_of(canvas, work, _GROUND, y + at * high / len(works), _BLOCK, high / len(works))
        if high >= 24:
            canvas.text(_GROUND + _BLOCK / 2, y + high / 2 + 6, str(stop.number), 18, weight=700, anchor="middle",
                        plate=True)
    ground = names.grounds.get(stop.property_id, say("week.no_place"))
    place = say("crew_day.numbered", number=stop.number, place=ground)
    lines = [(line, True) for line in wrapped(place, _ROOM, 13, 700, most=2)]
    lines += [(line, False) for line in wrapped(stop_what(stop, names), _ROOM, 13, most=2)]
    at = column.at(y + high / 2 - (len(lines) - 1) * _LINE / 2 + 4, len(lines))
    for row, (line, bold) in enumerate(lines):
        canvas.text(_WORDS, at + row * _LINE, line, 13, weight=700 if bold else 400, fill="ink" if bold else "slate",
                    plate=True)


def _called(make: DayMake) -> str:
    return make_short(make) if make.number else say("crew_day.planned_shortest")


def _lane(day: CrewDay, at: int) -> float:
    """Where a make's fuse stands: in turns in two lanes where any begins while one before it still burns."""
    begins = [min(each for each in (make.starts_min, make.ends_min, make.loads[0].filled_min) if each is not None)
              for make in day.makes]
    ends = [max(make.use_by_min or 0.0, make.last_use_min) for make in day.makes]
    apart = all(later >= before for before, later in zip(ends, begins[1:], strict=False))
    return _LANE if apart else _LANES[at % 2]


def _make(canvas: Canvas, make: DayMake, clock: Axis, column: Column, x: float) -> None:
    middle = x + _FUSE / 2
    if make.ends_min is None or make.use_by_min is None:
        start, end = clock.at(make.loads[0].filled_min), clock.at(make.last_use_min)
        canvas.rect(x, start, _FUSE, end - start, fill="paper", stroke="ink", weight=1.6, dash=NOT_KNOWN, cap="round",
                    name="not-there")
    else:
        start, use, end = (clock.at(each) for each in (make.ends_min, make.last_use_min, make.use_by_min))
        if make.starts_min is not None:
            canvas.rect(x, clock.at(make.starts_min), _FUSE, start - clock.at(make.starts_min), fill="mist",
                        stroke="ink", weight=2, name="making")
        canvas.rect(x, start, _FUSE, use - start, fill="ink", name="age")
        for load in make.loads[1:]:
            at = clock.at(load.filled_min)
            canvas.line(x, at, x + _FUSE, at, stroke="paper", weight=2.5, name="load")
        canvas.line(x - _OVER, start, x + _FUSE + _OVER, start, weight=4, name="ends")
        if end >= use:
            canvas.line(middle, use, middle, end, weight=2.2, dash=COMPUTED, name="in-hand")
        canvas.circle(middle, use, 6.5, fill="paper", stroke="ink", weight=2.5, name="last-use")
        canvas.line(x - _OVER, end, x + _FUSE + _OVER, end, stroke="madder", weight=4, name="limit")
        end = max(end, use)
    at = column.at(start + 4, 2)
    canvas.text(x - _OVER - 4, at, _called(make), 13, weight=700, anchor="end", plate=True)
    canvas.text(x - _OVER - 4, at + _LINE, ends_told(make), 13, fill="slate", anchor="end", plate=True)
    at = column.at(end + 20, 2)
    canvas.text(_RIGHT, at, refuse_told(make), 13, weight=700, fill="madder", anchor="end", plate=True)
    canvas.text(_RIGHT, at + _LINE, hand_told(make), 13, fill="slate", anchor="end", plate=True)
