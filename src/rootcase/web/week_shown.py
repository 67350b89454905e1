"""The days ahead as the page Week shows them: rows are places with their work, columns are days."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from rootcase.fieldbook.intake.used_days import used_days
from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.apply.told import GroundTold
from rootcase.records.apply.windows import PlaceDay, Windows
from rootcase.records.observe import System
from rootcase.report.icalendar import CalendarDay
from rootcase.report.pictures.week import Bar, CalendarRow, draw_week
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.windows import (
    cell,
    cell_with_chance,
    day_name,
    finding_lines,
    forecast_line,
    row_name,
    squeezed_lines,
)
from rootcase.services.ground_told import ALL_WORK, works
from rootcase.services.windows import GroundWindows
from rootcase.web.picture import both


def work_choices() -> list[tuple[str, str]]:
    """What a permit may be for, to choose from; nothing is chosen before somebody does."""
    return [("", say("windows.tell.choose")),
            *((each, say("windows.tell.all_work") if each == ALL_WORK else remedy_name(each)) for each in works())]


@dataclass(frozen=True, slots=True)
class ShownCell:
    """One day of one row."""

    day: str
    state: str
    words: str
    chance: str
    """The same with all reasons and its chance."""
    lines: tuple[str, ...]
    """Figures behind it."""


@dataclass(frozen=True, slots=True)
class ShownGround:
    """One property of the week."""

    id: str
    name: str
    forecast: str
    in_words: tuple[str, ...]
    picture: Markup
    rows: tuple[tuple[str, tuple[ShownCell, ...]], ...]
    days: tuple[str, ...]


def shown_ground(found: GroundWindows, today: date, system: System) -> ShownGround:
    """A property with its picture and its table."""
    days = [day.day for day in found.windows[0].days]
    rows = [(row_name(window, found.record, found.jobs), window) for window in found.windows]
    drawn = [CalendarRow(name, tuple(day.state for day in window.days)) for name, window in rows]
    bars = list(bars_of(found, days))
    pictures = (draw_week(found.ground.name, days, drawn, bars, layout) for layout in ("wide", "phone"))
    places = {place.id: place.name for place in found.record.places}
    said = tuple(say("windows.in_words", place=places[each.of], words=words)
                 for each in found.record.readings if each.kind == "closed_days" and each.choice and each.of in places
                 for words in used_days(each.choice, each.day)[1])
    said += tuple(squeezed_lines(found.told, found.record, today))
    return ShownGround(found.ground.id, found.ground.name, forecast_line(found.windows[0].forecast_issued, today), said,
                       both(*pictures, key=found.ground.id),
                       tuple((name, tuple(_cell(day, system) for day in window.days)) for name, window in rows),
                       tuple(map(day_name, days)))


def bars_of(found: GroundWindows, days: Sequence[date]) -> Iterator[Bar]:
    """What was told that opens or closes days, each with its days; what lies in none of these is left out."""
    told: GroundTold = found.told
    for locate in told.locates:
        yield Bar(say("windows.bar.locate", number=locate.number, last=show_date(locate.last)), locate.first,
                  locate.last, opens=True)
    for permit in told.permits:
        if permit.number:
            yield Bar(say("windows.bar.permit", what=permit.what), permit.first, permit.last, opens=True)
    for use in told.uses:
        starts = [day for n, day in enumerate(days) if use.on(day) and (n == 0 or not use.on(days[n - 1]))]
        yield from (Bar(use.name, day, use.until(day), opens=False) for day in starts)
    for bloom in told.blooms:
        yield Bar(say("windows.bar.bloom"), bloom.first, bloom.last, opens=False)
    yield from _law_bars(found.windows)


def calendar_days(found: Sequence[GroundWindows], system: System) -> Iterator[CalendarDay]:
    """Every fit day of every row."""
    for each in found:
        for window in each.windows:
            name = row_name(window, each.record, each.jobs)
            yield from (CalendarDay(
                key="\n".join((each.ground.id, window.place_id, *window.job_ids)), day=day.day, where=each.ground.name,
                title=say("windows.calendar_title", ground=each.ground.name, remedy=remedy_name(window.remedy)),
                words="\n".join((name, cell_with_chance(day), *finding_lines(day, system), say("windows.caution"))))
                for day in window.days if day.state == "fit")


def _law_bars(windows: Sequence[Windows]) -> Iterator[Bar]:
    """Days that a law closes, of whatever remedy."""
    closed: dict[str, list[date]] = {}
    for window in windows:
        for day in window.days:
            for each in day.findings:
                if each.gate == "law" and each.state == "not_fit":
                    closed.setdefault(each.says, []).append(day.day)
    yield from (Bar(say("windows.bar.law", law=law), min(days), max(days), opens=False)
                for law, days in closed.items())


def _cell(day: PlaceDay, system: System) -> ShownCell:
    return ShownCell(day_name(day.day), day.state, cell(day), cell_with_chance(day), tuple(finding_lines(day, system)))
