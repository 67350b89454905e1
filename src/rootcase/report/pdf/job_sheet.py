"""The job sheet: one page a stop, to be read wet and written on with a pencil."""

from __future__ import annotations

from typing import Any

from rootcase.ground.clock import zone
from rootcase.ground.words import say
from rootcase.records.apply.round_paper import RoundPaper, StopPaper
from rootcase.report.lettering import printable
from rootcase.report.pdf.typeset import PAPER, placed, typeset
from rootcase.report.pictures.ground_map import Size, draw_ground, view_of
from rootcase.report.text.batch import day_and_clock
from rootcase.report.text.rounds import day_told
from rootcase.report.text.stop_paper import (
    caution_lines,
    days_words,
    locate_line,
    places_told,
    stop_head,
    stops_work,
    tank_line,
    who_lines,
    work_lines,
)

_MAP = (680.0, 200.0, 44.0)
"""Width, height and room of the frame's marks, px; at the least height the page gives it its words are 7 pt."""
_BOXES = ("start", "stop", "meter_before", "meter_after", "who", "licence", "helper", "product", "registration",
          "amount", "area", "left_over")
_SQUEEZE = ("fit", "saturated", "dry", "frozen")


def job_sheet_pdf(paper: RoundPaper) -> bytes:
    """Return the pages of a round's stops."""
    pictures: dict[str, bytes] = {}
    document: dict[str, Any] = {
        "lang": say("report.language"), "paper": PAPER[paper.system], "page": say("report.page"),
        "of": say("report.of"),
        "title": say("stop_paper.title", crew=paper.crew.name, day=day_told(paper.given.day)),
        "head": printable(say("stop_paper.title", crew=paper.crew.name, day=day_told(paper.given.day))),
        "stops": [_stop(each, paper, pictures) for each in paper.stops], "no_stop": say("crew_day.no_stop"),
        "stops_title": say("stop_paper.stops_title"), "work_title": say("stop_paper.work"),
        "cautions_title": say("stop_paper.cautions"), "write_title": say("stop_paper.write"),
        "boxes": [say(f"stop_paper.box.{each}") for each in _BOXES],
        "squeeze": {"title": say("stop_paper.box.squeeze"),
                    "choices": [say(f"windows.soil.{each}") for each in _SQUEEZE]},
        "weather": {"title": say("stop_paper.box.weather"), "choices": [
            say(f"stop_paper.weather.{each}") for each in ("temperature", "wind", "rain")]},
        "not_done": say("stop_paper.box.not_done"), "wrong": say("stop_paper.wrong"),
        "no_room": say("stop_paper.no_room"),
        "foot": say("stop_paper.foot", printed=day_and_clock(paper.at, zone(paper.time_zone))),
    }
    return typeset("job_sheet.typ", document, paper.given.day, pictures)


def _stop(stop: StopPaper, paper: RoundPaper, pictures: dict[str, bytes]) -> dict[str, Any]:
    system, ground = paper.system, stop.record.property
    work = [{"title": title, "lines": list(lines)} for title, lines in work_lines(stop, system)]
    return {
        "title": stop_head(stop), "places": places_told(stop.record, stop.jobs),
        "invented": say("report.invented") if ground.invented else "",
        "stops": list(stops_work(stop, paper.crew.licensed)), "locate": locate_line(stop), "who": list(who_lines(stop)),
        "ask": list(days_words(stop)), "work": work or [{"title": say("week.done"), "lines": []}],
        "tank": tank_line(stop, system), "cautions": list(caution_lines(stop)),
        "trials": [line for trial in stop.trials for line in trial], "map": _map(stop, paper, pictures),
        "for": say("stop_paper.for", ground=ground.name, practice=paper.practice.name or say("stop_paper.us")),
        "signed": stop.signed,
    }


def _map(stop: StopPaper, paper: RoundPaper, pictures: dict[str, bytes]) -> dict[str, Any] | str:
    """The trees of this stop with what lies round them, or that nobody measured where they stand."""
    width, height, left = _MAP
    size = Size(f"stop-{stop.number}", width, height, left)
    view = view_of(stop.record, stop.jobs, size.shape)
    if view is None:
        return say("stop_paper.no_map")
    return placed(pictures, f"map-{stop.number}", draw_ground(stop.record, view, size, paper.system, work=stop.jobs))
