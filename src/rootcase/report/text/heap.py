"""What a heap shows, in words: the verdict as a sentence, what decides it, and its log as it was told."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import floor

from rootcase.ground.clock import day_there, show_time, zone
from rootcase.ground.dates import show_date
from rootcase.ground.quantity import number, show, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.make.heap import Heap, HeapJudged, HeapPart, HeatReading, LimitJudged
from rootcase.records.observe import System

_DEGREES = ("degF", "degC")
_SOON, _FAR_C, _NEAR_C = timedelta(days=3), 20.0, 12.0
"""When a number may have been of the other degrees. JUDGEMENT."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of a heap's log, newest first."""

    id: str
    at: str
    what: str
    by: str
    note: str = ""


def warmth(celsius: float | None, system: System) -> str:
    """A temperature in both degrees.

    >>> warmth(55.0, "us")
    '131 °F (55 °C)'
    """
    return show(celsius, "degC", system, _DEGREES, 3)


def days_told(days: float) -> str:
    """Days, never rounded up to what was not shown.

    >>> days_told(14.96), days_told(15.0)
    ('14.9', '15')
    """
    return f"{floor(days * 10 + 1e-6) / 10:g}"


def moment_at(at: datetime, heap: Heap) -> str:
    """Day and time on the clock where the heap lies."""
    place = zone(heap.time_zone)
    return say("heap.moment", day=show_date(day_there(at, place)), time=show_time(at, place))


def finding(heap: Heap, found: HeapJudged, system: System) -> str:
    """The verdict and what decides it, a sentence or two."""
    shown = days_told(found.unbroken_days if found.unbroken else found.total_days)
    start, end = found.deciding_from, found.deciding_to
    hours = 0.0 if start is None or end is None else (end - start).total_seconds() / 3600.0
    low, high = found.carbon_nitrogen_asked or (0.0, 0.0)
    why = say(f"heap.why.{found.deciding_why}", days=shown, needed=f"{found.needed_days:g}", turns=found.turns,
              needed_turns=found.needed_turns, hours=number(hours), low=f"{low:g}", high=f"{high:g}",
              at="" if start is None else show_date(day_there(start, zone(heap.time_zone))),
              lowest=warmth(found.lowest_c, system), highest=warmth(found.highest_c, system))
    return say(f"heap.verdict.{found.verdict.replace(' ', '_')}", why=why)


def reckoning(heap: Heap, found: HeapJudged, system: System) -> tuple[str, ...]:
    """What stands behind the verdict, a line each."""
    lines = [say("heap.behind.total", days=days_told(found.total_days), most=days_told(found.most_total_days)),
             say("heap.behind.unbroken", days=days_told(found.unbroken_days), most=days_told(found.most_unbroken_days)),
             say("heap.behind.asked_unbroken" if found.unbroken else "heap.behind.asked_total",
                 needed=f"{found.needed_days:g}")]
    if found.needed_turns:
        lines.append(say("heap.behind.turns", turns=found.turns, needed=found.needed_turns))
    if heap.turns:
        waits = [say("heap.behind.never_hot") if hours is None else (
            say("heap.behind.at_once") if hours < 1 else say("heap.behind.hours", hours=number(hours)))
                 for hours in found.reheat_hours]
        lines += [say("heap.behind.reheat", waits="; ".join(waits))] if waits else []
    if found.carbon_nitrogen is not None:
        low, middle, high = (number(each) for each in found.carbon_nitrogen)
        lines.append(say("heap.behind.ratio", low=low, middle=middle, high=high))
    if found.lethality is not None:
        lines.append(say("heap.behind.lethality", times=number(found.lethality)))
    lines += [say(f"heap.doubt.{each.why}", probe=each.probe, start=moment_at(each.start, heap),
                  end=moment_at(each.end, heap)) for each in found.doubts]
    return (*lines, say("heap.behind.gaps"))


def limit_told(row: LimitJudged) -> tuple[str, str]:
    """The limit or range of a figure, and how the figure stands to it."""
    if row.low is None and row.high is None:
        limit = say("heap.limit.none")
    elif row.low is None:
        limit = say("heap.limit.high", high=f"{row.high:g}")
    elif row.high is None:
        limit = say("heap.limit.low", low=f"{row.low:g}")
    else:
        limit = say("heap.limit.both", low=f"{row.low:g}", high=f"{row.high:g}")
    if row.kept is None:
        return limit, say("heap.limit.not_compared")
    if row.binding:
        return limit, say("heap.limit.kept" if row.kept else "heap.limit.broken")
    return limit, say("heap.limit.usual" if row.kept else "heap.limit.unusual")


def part_told(part: HeapPart, system: System) -> str:
    """A material that went in, and where it came from."""
    told = say("heap.page.part", material=part.material.replace("_", " "), moisture=number(part.moisture_pct),
               mass=show(part.mass_kg, "kg", system, ("lb", "kg"), 3), source=part.source)
    return f"{told} {say('heap.page.from', seller=part.bought_from, lot=part.lot)}" if part.bought_from else told


def entries(heap: Heap, system: System) -> tuple[Entry, ...]:
    """All that stands in a heap's log, newest first."""
    found = sorted(_entries(heap, system), key=lambda each: each[0], reverse=True)
    return tuple(entry for _, entry in found)


def _entries(heap: Heap, system: System) -> Iterator[tuple[datetime, Entry]]:
    for read in heap.readings:
        what = say("heap.entry.read", probe=read.probe, warm=warmth(read.temperature_c, system))
        yield read.at, Entry(read.id, moment_at(read.at, heap), what, read.by, _note(read, heap))
    for file in heap.logged:
        warmest, coldest = max(file.temperature_c, default=None), min(file.temperature_c, default=None)
        yield file.start, Entry(file.id, moment_at(file.start, heap), say(
            "heap.entry.logged", probe=file.probe, count=f"{len(file.after_s):,}", file=file.file,
            low=warmth(coldest, system), high=warmth(warmest, system)), file.by)
    for turned in heap.turns:
        yield turned.at, Entry(turned.id, moment_at(turned.at, heap), say("heap.entry.turned"), turned.by)
    for check in heap.checks:
        what = say("heap.entry.checked", probes=", ".join(map(str, check.probes)))
        yield check.at, Entry(check.id, moment_at(check.at, heap), what, check.by)


def _other_degrees(read: HeatReading, heap: Heap) -> str:
    """The number in the other degrees, where no unit was typed and only so it lies by what this probe read before."""
    before = [each for each in heap.readings if each.probe == read.probe and each.at < read.at]
    if not before or read.at - before[-1].at > _SOON or re.search("[cf]", read.typed, re.IGNORECASE):
        return ""
    last = before[-1].temperature_c
    as_f = convert(read.temperature_c, "degC", "degF")
    for unit, other_c in (("degC", as_f), ("degF", convert(read.temperature_c, "degF", "degC"))):
        if abs(read.temperature_c - last) > _FAR_C and abs(other_c - last) < _NEAR_C:
            return say("heap.entry.degrees", last=with_unit(number(last), "degC"),
                       other=with_unit(read.typed or number(as_f), unit))
    return ""


def _note(read: HeatReading, heap: Heap) -> str:
    notes = [say("heap.entry.corrected")] if read.corrected else []
    notes += [say("heap.entry.rivals")] if read.rivals else []
    other = _other_degrees(read, heap)
    notes += [other] if other else []
    notes += [say("heap.entry.before")] if read.at < heap.complete_at else []
    if not read.typed:
        return " ".join(notes)
    return " ".join([say("heap.entry.typed", typed=read.typed), *notes])
