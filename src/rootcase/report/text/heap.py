"""What a heap shows, in words: the verdict as a sentence, what decides it, and its log as it was told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from math import floor

from rootcase.ground.clock import day_there, show_time, zone
from rootcase.ground.dates import show_date
from rootcase.ground.quantity import number, show, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.make.heap import (
    BeansJudged,
    BeansRead,
    Heap,
    HeapFigure,
    HeapJudged,
    HeapPart,
    HeatReading,
    HeatSlip,
    LimitJudged,
)
from rootcase.records.observe import System
from rootcase.report.text.figures import sentence
from rootcase.science.compost.heat_log import CHECK_HOLDS_S, DAY_S, GAP_BY_HAND_S, GAP_OF_A_LOGGER_S, HOUR_S

_DEGREES = ("degF", "degC")
_CHECK_DAYS = f"{CHECK_HOLDS_S / DAY_S:g}"


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


def warmth_alone(celsius: float, system: System) -> str:
    """A temperature in one unit, as a probe shows it.

    >>> warmth_alone(55.0, "us")
    '131 °F'
    """
    unit = _DEGREES[0] if system == "us" else _DEGREES[1]
    return with_unit(f"{convert(celsius, 'degC', unit):.0f}", unit)


def finding(heap: Heap, found: HeapJudged, system: System) -> str:
    """The verdict and what decides it, a sentence or two."""
    shown = days_told(found.unbroken_days if found.unbroken else found.total_days)
    start, end = found.deciding_from, found.deciding_to
    hours = 0.0 if start is None or end is None else (end - start).total_seconds() / 3600.0
    low, high = found.carbon_nitrogen_asked or (0.0, 0.0)
    why = say(f"heap.why.{found.deciding_why}", days=shown, needed=f"{found.needed_days:g}", turns=found.turns,
              needed_turns=found.needed_turns, hours=number(hours), low=f"{low:g}", high=f"{high:g}",
              at="" if start is None else show_date(day_there(start, zone(heap.time_zone))),
              lowest=warmth(found.lowest_c, system), highest=warmth(found.highest_c, system), within=_CHECK_DAYS)
    return say(f"heap.verdict.{found.verdict.replace(' ', '_')}", why=why)


def heap_line(heap: Heap, found: HeapJudged, system: System) -> str:
    """A heap's name, its verdict, and what holds it back beside that."""
    line = say("heap.line", name=heap.name, finding=finding(heap, found, system))
    held = [say("heap.page.held_for", by=heap.held.by, reason=heap.held.reason)] if heap.held else []
    beans = [say("heap.page.weedkiller")] if found.beans == "weedkiller_likely" else []
    return " ".join([line, *held, *beans])


def reckoning(heap: Heap, found: HeapJudged, system: System) -> tuple[str, ...]:
    """What stands behind the verdict, a line each."""
    total, unbroken = days_told(found.total_days), days_told(found.unbroken_days)
    most, most_unbroken = days_told(found.most_total_days), days_told(found.most_unbroken_days)
    lines = [say("heap.behind.total", days=total) + (
                 f" {say('heap.behind.most', most=most)}" if most != total else ""),
             say("heap.behind.unbroken", days=unbroken) + (
                 f" {say('heap.behind.most', most=most_unbroken)}" if most_unbroken != unbroken else ""),
             say("heap.behind.asked_unbroken" if found.unbroken else "heap.behind.asked_total",
                 needed=f"{found.needed_days:g}")]
    if found.needed_turns:
        lines.append(say("heap.behind.turns", turns=found.turns, needed=found.needed_turns))
    if found.turned_at:
        waits = [say("heap.behind.never_hot") if hours is None else (
            say("heap.behind.at_once") if hours < 1 else say("heap.behind.hours", hours=number(hours)))
                 for hours in found.reheat_hours]
        told = waits[:1] if len(set(waits)) == 1 else waits
        lines += [say("heap.behind.reheat", waits="; ".join(told))] if waits else []
    if found.carbon_nitrogen is not None:
        low, middle, high = (number(each) for each in found.carbon_nitrogen)
        lines.append(say("heap.behind.ratio", low=low, middle=middle, high=high))
    if found.lethality is not None:
        lines.append(say("heap.behind.lethality", times=number(found.lethality)))
    lines += [say(f"heap.doubt.{each.why}", probe=each.probe, start=moment_at(each.start, heap),
                  end=moment_at(each.end, heap), within=_CHECK_DAYS) for each in found.doubts]
    return (*lines, say("heap.behind.gaps", by_hand=f"{GAP_BY_HAND_S / HOUR_S:g}",
                          by_logger=f"{GAP_OF_A_LOGGER_S / HOUR_S:g}"))


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
        alike = row.figure.from_below and row.figure.unit == row.unit
        return limit, say("heap.limit.from_below" if alike else "heap.limit.not_compared")
    if row.binding:
        return limit, say("heap.limit.kept" if row.kept else "heap.limit.broken")
    return limit, say("heap.limit.usual" if row.kept else "heap.limit.unusual")


def beans_told(test: BeansJudged) -> str:
    """One test with beans: its day, who read it and what it says."""
    what = say(f"heap.beans.{test.verdict}") + (f" {say('heap.beans.freed')}" if test.freed else "")
    return say("heap.beans.line", day=show_date(test.read.day), by=test.read.by, what=what)


def part_told(part: HeapPart, system: System) -> str:
    """A material that went in, and where it came from."""
    told = [say("heap.page.part", material=sentence(part.material.replace("_", " ")),
                moisture=number(part.moisture_pct), mass=show(part.mass_kg, "kg", system, ("lb", "kg"), 3))]
    told += [say("heap.page.from", seller=part.bought_from, lot=part.lot)] if part.bought_from else []
    return " ".join([*told, say("heap.page.figures_of", source=part.source)])


def entries(heap: Heap, found: HeapJudged, system: System) -> tuple[Entry, ...]:
    """All that stands in a heap's log, newest first; what is told of a day alone above what was read on it."""
    told = sorted((*_entries(heap, found, system), *_of_days(heap)), key=lambda each: each[0], reverse=True)
    return tuple(entry for _, entry in told)


def _entries(heap: Heap, found: HeapJudged, system: System) -> Iterator[tuple[datetime, Entry]]:
    slips = {each.reading_id: each for each in found.slips}
    for read in heap.readings:
        what = say("heap.entry.read", probe=read.probe, warm=warmth(read.temperature_c, system))
        doubt = say("heap.entry.unlikely") if read.id in found.unlikely else ""
        air = "" if read.air_c is None else say("heap.entry.air", warm=warmth(read.air_c, system))
        note = " ".join(filter(None, (_note(read, heap, slips.get(read.id)), air, doubt)))
        yield read.at, Entry(read.id, moment_at(read.at, heap), what, read.by, note)
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


def _of_days(heap: Heap) -> Iterator[tuple[datetime, Entry]]:
    for figure in heap.figures:
        above = ">" if figure.from_below else ""
        value = say("heap.none_detected") if figure.value is None else f"{above}{figure.value:g}"
        told = value if figure.unit == "1" or figure.value is None else f"{value} {figure.unit}"
        what = say("heap.entry.measured", quantity=say(f"heap.quantity.{figure.quantity}"), told=told)
        note = say("heap.entry.of", names=", ".join(filter(None, (figure.method, figure.lab))))
        yield _end(figure.day, heap), Entry(figure.id, show_date(figure.day), what, figure.by,
                                            " ".join([note, *_corrected(figure)]))
    for beans in heap.beans:
        what = say("heap.entry.beans", count=len(beans.height_mm), twisted=beans.twisted,
                   control=len(beans.control_mm), control_twisted=beans.control_twisted)
        yield _end(beans.day, heap), Entry(beans.id, show_date(beans.day), what, beans.by,
                                           " ".join(_corrected(beans)))


def _corrected(told: HeatReading | HeapFigure | BeansRead) -> list[str]:
    return [say("heap.entry.corrected")] if told.corrected else []


def _end(day: date, heap: Heap) -> datetime:
    return datetime.combine(day, time.max, zone(heap.time_zone))


def _slip_told(slip: HeatSlip, read: HeatReading) -> str:
    typed = read.typed or number(read.temperature_c if slip.other == "degF" else convert(
        read.temperature_c, "degC", "degF"))
    return say("heap.entry.degrees", last=with_unit(number(slip.last_c), "degC"), other=with_unit(typed, slip.other))


def _note(read: HeatReading, heap: Heap, slip: HeatSlip | None) -> str:
    notes = _corrected(read)
    notes += [say("heap.entry.rivals")] if read.rivals else []
    notes += [_slip_told(slip, read)] if slip else []
    notes += [say("heap.entry.before")] if read.at < heap.complete_at else []
    if not read.typed:
        return " ".join(notes)
    return " ".join([say("heap.entry.typed", typed=read.typed), *notes])
