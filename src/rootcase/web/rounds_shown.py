"""The rounds of the days ahead as their page shows them: places in driving order, what is broken, what is left out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from math import isnan
from typing import Any

from markupsafe import Markup

from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.apply.crew_day import CrewDay
from rootcase.records.apply.rounds import GivenRound, Week
from rootcase.records.apply.shopping import Shopping
from rootcase.report.pictures.day import draw_day
from rootcase.report.pictures.day_phone import draw_day_phone
from rootcase.report.pictures.round_map import Spot, draw_round
from rootcase.report.text import rounds as text
from rootcase.report.text.crew_day import make_heads, make_rows
from rootcase.report.text.shopping import ShoppingTold, shopping_told
from rootcase.services.fleet import cells_of, clock_text, yard_of
from rootcase.services.week_known import Gathered, names_of, why_closed
from rootcase.web.fleet_shown import asked_of, batch_line
from rootcase.web.picture import both


@dataclass(frozen=True, slots=True)
class Row:
    """One step of a round."""

    kind: str
    time: str
    place: str
    work: str
    tank: str
    age: str
    number: int
    """Of a stop, from 1; 0 for what is none."""
    last: bool
    """The last stop of its round."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One round."""

    day: date
    crew_id: str
    title: str
    state: str
    facts: str
    given: bool
    stands: bool
    """It was given or arranged, and is not only proposed."""
    rows: list[Row]
    picture: Markup | None
    drawn: Markup | None
    """Its day against the clock; None where it has no step."""
    makes: list[tuple[str, ...]]
    """Each make of extract in the numbers of that picture."""
    grounds: list[tuple[str, str]]
    """Id and name of each property it leads to."""


def board_shown(found: Gathered, week: Week, planned: bool, system: System,
                days: Mapping[tuple[date, str], CrewDay]) -> dict[str, Any]:
    """All that the page shows of the rounds."""
    names, fleet = names_of(found), found.known.fleet
    stands = {(each.day, each.crew_id) for each in found.known.given}
    rounds = [_round(each, found, names, system, (each.day, each.crew_id) in stands, at,
                     days[each.day, each.crew_id])
              for at, each in enumerate(week.rounds)]
    drive = say("week.drive_proven" if week.proven_days else "week.drive", minutes=f"{week.drive_minutes:.0f}")
    return {"rounds": rounds, "planned": planned, "drive": drive if week.drive_minutes else "",
            "broken": [text.broken_line(each, week, names, system, why_closed(found, each)) for each in week.broken],
            "left_out": [text.left_out_line(each, names) for each in week.left_out],
            "late": [say("week.late_batch", time=clock_text(each.ready_min)) for each in found.known.extract.late],
            "batches": [(each, batch_line(each, system, text.day_told(each.day)), cells_of(each, system))
                        for each in (*found.known.extract.late, *found.known.extract.batches)],
            "make_heads": make_heads(), "batch_fields": asked_of("batch", system),
            "ready": bool(fleet.crews and yard_of(fleet)),
            "waiting": len(found.known.waiting), "open": _open(found), "of_today": any(each.day == found.known.today
                                                                 for each in found.known.given),
            "days": [(day.isoformat(), text.day_told(day)) for day in found.known.days],
            "crews": [(each.id, each.name) for each in fleet.crews]}


def shopping_shown(listed: Shopping, found: Gathered, system: System) -> ShoppingTold | None:
    """What the rounds take; None where they take nothing."""
    if not listed.needs and not listed.batches:
        return None
    return shopping_told(listed, names_of(found).jobs, system)


def _open(found: Gathered) -> bool:
    """Whether work waits that is in no round yet."""
    fixed = {job for given in found.known.given for step in given.steps for job in step.job_ids}
    return any(each.job.id not in fixed for each in found.known.waiting)


def _round(given: GivenRound, found: Gathered, names: text.Names, system: System, stands: bool, at: int,
           day: CrewDay) -> Shown:
    rows, number = [], 0
    many = sum(step.kind == "stop" for step in given.steps)
    for step in given.steps:
        number += step.kind == "stop"
        rows.append(Row(step.kind, f"{text.clock_told(step.starts_min)} – {text.clock_told(step.ends_min)}",
                        text.place_told(step, names), text.work_told(step, names) if step.kind == "stop" else "",
                        text.tank_told(step, system), text.age_told(step), number if step.kind == "stop" else 0,
                        number == many))
    return Shown(given.day, given.crew_id, text.round_title(given, names), text.state_told(given),
                 text.round_facts(given), bool(given.given_by), stands, rows, _picture(given, found, names, at),
                 _day(day, names, system, at),
                 make_rows(day, system), _grounds(given, names))


def _grounds(given: GivenRound, names: text.Names) -> list[tuple[str, str]]:
    here = dict.fromkeys(step.property_id for step in given.steps if step.kind == "stop")
    return [(each, names.grounds[each]) for each in here if each in names.grounds]


def _day(day: CrewDay, names: text.Names, system: System, at: int) -> Markup | None:
    """The round against the clock; None where nobody stops."""
    return both(draw_day(day, names, system), draw_day_phone(day, names), f"day{at}") if day.stops else None


def _picture(given: GivenRound, found: Gathered, names: text.Names, at: int) -> Markup | None:
    """The round on a map; None where a place of it is not known."""
    yard = yard_of(found.known.fleet)
    points = {each.id: (each.latitude_deg, each.longitude_deg) for each in found.known.fleet.fill_points}
    spots, number = [], 0
    for step in given.steps:
        number += step.kind == "stop"
        place = (found.known.grounds.get(step.property_id) if step.kind == "stop" else points.get(step.fill_point_id))
        if step.kind != "rest" and place and not isnan(place[0]):
            spots.append(Spot("stop" if step.kind == "stop" else "fill", number, *place))
    if yard is None or not spots:
        return None
    place = (yard.latitude_deg, yard.longitude_deg)
    title = text.round_title(given, names)
    return both(draw_round(title, place, spots), draw_round(title, place, spots, "phone"), f"round{at}")
