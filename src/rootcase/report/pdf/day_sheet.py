"""The day sheet: one crew's round on a page, the picture of its day and the stops in driving order."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rootcase.ground.clock import zone
from rootcase.ground.words import say
from rootcase.records.apply.round_paper import RoundPaper, StopPaper
from rootcase.records.apply.rounds import GivenStep
from rootcase.report.lettering import printable
from rootcase.report.pdf.typeset import PAPER, placed, typeset
from rootcase.report.pictures.day import draw_day
from rootcase.report.text.batch import day_and_clock
from rootcase.report.text.crew_day import day_finding
from rootcase.report.text.figures import sentence
from rootcase.report.text.rounds import (
    Names,
    age_told,
    clock_told,
    day_told,
    lasts,
    left_out_line,
    place_told,
    state_told,
    tank_told,
    work_told,
)
from rootcase.report.text.stop_paper import locate_line, round_who, stops_work, who_lines

_HEADS = ("time", "place", "tank", "age")


def day_sheet_pdf(paper: RoundPaper, names: Names) -> bytes:
    """Return the sheet of a crew's day."""
    pictures: dict[str, bytes] = {}
    drawn = draw_day(paper.day, names, paper.system, "column") if paper.day.stops else None
    document: dict[str, Any] = {
        "lang": say("report.language"), "paper": PAPER[paper.system], "page": say("report.page"),
        "of": say("report.of"),
        "title": say("day_sheet.title", crew=sentence(paper.crew.name), day=day_told(paper.given.day)),
        "head": printable(paper.practice.name), "finding": day_finding(paper.day),
        "under": [sentence(state_told(paper.given)), round_who(paper)],
        "invented": say("report.invented") if any(each.record.property.invented for each in paper.stops) else "",
        "picture": placed(pictures, "day", drawn) if drawn else None,
        "heads": [say(f"week.head.{each}") for each in _HEADS], "rows": list(_rows(paper, names)),
        "ring_title": say("day_sheet.ring"), "ring": list(_ring(paper)),
        "left_title": say("week.left"), "left": list(_left(paper, names)),
        "foot": say("stop_paper.foot", printed=day_and_clock(paper.at, zone(paper.time_zone))),
    }
    return typeset("day_sheet.typ", document, paper.given.day, pictures)


def _rows(paper: RoundPaper, names: Names) -> Iterator[dict[str, Any]]:
    stops = {each.number: each for each in paper.stops}
    number = 0
    on_the_way = {end: end - start for start, end in paper.day.drives}
    for step in paper.given.steps:
        number += step.kind == "stop"
        stop = stops.get(number) if step.kind == "stop" else None
        yield {"time": say("day_sheet.hours", start=clock_told(step.starts_min), end=clock_told(step.ends_min)),
               "way": _way(on_the_way.get(step.starts_min, 0.0)),
               "place": f"{number}. {place_told(step, names)}" if step.kind == "stop" else place_told(step, names),
               "work": work_told(step, names) if step.kind == "stop" else "", "tank": tank_told(step, paper.system),
               "age": _age(step, stop), "stops": list(stops_work(stop, paper.crew.licensed)) if stop else [],
               "notes": list(_notes(stop)) if stop else []}


def _way(minutes: float) -> str:
    """Drive, and waiting with it, before a step."""
    return say("day_sheet.way", time=lasts(minutes)) if minutes else ""


def _age(step: GivenStep, stop: StopPaper | None) -> str:
    """How old the load is at the end, and from when it is refused."""
    if step.load_age_minutes is None:
        return ""
    if stop is None or stop.make is None or stop.make.use_by_min is None:
        return age_told(step)
    return say("day_sheet.age", age=age_told(step), time=clock_told(stop.make.use_by_min))


def _notes(stop: StopPaper) -> Iterator[str]:
    """The locate number and its last day where one holds, and the gate."""
    if stop.jobs and locate_line(stop) and all(ahead.locate is None or ahead.locate.state == "fit"
                                                   for ahead in stop.ahead.values()):
        yield locate_line(stop)
    yield from who_lines(stop) if stop.gate or stop.contacts else ()


def _ring(paper: RoundPaper) -> Iterator[str]:
    yield say("stop_paper.wrong")
    if paper.practice.reach:
        yield say("day_sheet.office", reach=paper.practice.reach)


def _left(paper: RoundPaper, names: Names) -> Iterator[str]:
    yield from (left_out_line(each, names) for each in paper.left_out)
    if paper.left_out_elsewhere:
        yield say("day_sheet.elsewhere", count=paper.left_out_elsewhere)
