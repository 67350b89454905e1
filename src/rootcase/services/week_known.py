"""What a week is planned with, gathered: work of signed plans with the days that allow it, crews, extract, rounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from rootcase.casework.apply.parts import logged_jobs, stops_logged
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.apply.rounds import Broken, GivenRound, Week
from rootcase.records.apply.windows import UNTOLD, Windows
from rootcase.report.text.rounds import Names
from rootcase.services.week import Known, known_of
from rootcase.services.windows import waiting_of, windows_of_all

MOST_DAYS = 14
"""JUDGEMENT: no forecast reaches further."""
WEEK_DAYS = 7


@dataclass(frozen=True, slots=True)
class Gathered:
    """What is known, and of where."""

    known: Known
    names: dict[str, str]
    """Of properties by id."""


def gather(book: Fieldbook, today: date, days: int = WEEK_DAYS) -> Gathered:
    """All that the rounds of the next days are made of."""
    grounds = book.properties()
    own = book.recording.applications()
    found = windows_of_all(book, grounds, today, days, own)
    waiting = waiting_of(found)
    closed = {(job, day): why for each in found for window in each.windows for day, why in _closed(window)
              for job in window.job_ids}
    known = known_of(book, waiting, closed, today, _days(today, days))
    logged = stops_logged(known.given, logged_jobs(known.given, {each.job.id: each.job for each in waiting}, own,
                                                   {crew.id: crew.people for crew in known.fleet.crews}))
    return Gathered(replace(known, logged=logged), {each.id: each.name for each in grounds})


def names_of(found: Gathered) -> Names:
    """What rounds are told with."""
    fleet = found.known.fleet
    return Names(found.names, {each.id: each.name for each in fleet.crews},
                 {each.id: each.name for each in fleet.fill_points},
                 {each.job.id: each.job for each in found.known.waiting})


def why_closed(found: Gathered, broken: Broken) -> str:
    """What closes the day of a stop that was moved to it; empty where nothing does."""
    return next((found.known.closed[job, broken.day] for job in broken.job_ids
                 if (job, broken.day) in found.known.closed), "")


def round_of(week: Week, found: Gathered, day: date, crew: str) -> GivenRound:
    """The round of a day and a crew, by its id or name."""
    names = {each.id: each.name.casefold() for each in found.known.fleet.crews}
    for each in week.rounds:
        if each.day == day and crew.strip().casefold() in (each.crew_id, names.get(each.crew_id, "")):
            return each
    raise Missing(say("week.no_such_round"), value=f"{day.isoformat()} {crew}"[:80], right=say("week.plan_first"))


def stop_of(given: GivenRound, number: int) -> tuple[str, ...]:
    """The jobs of a stop of a round, counted from 1."""
    stops = [step.job_ids for step in given.steps if step.kind == "stop"]
    if not 1 <= number <= len(stops):
        raise Missing(say("week.no_such_stop"), value=str(number), right=f"1 – {len(stops)}")
    return stops[number - 1]


def _closed(window: Windows) -> list[tuple[date, str]]:
    """Days that are not fit, with the first gate that closes each; else what is not told of them, or not known."""
    found: list[tuple[date, str]] = []
    for each in window.days:
        shut = next((str(one.gate) for one in each.findings if one.state == "not_fit"), "")
        untold = next((f"no_{one.gate}" for one in each.findings if one.state == "not_known" and one.gate in UNTOLD),
                      "not_known")
        found += [(each.day, shut or untold)] if each.state != "fit" else []
    return found


def _days(today: date, many: int) -> Sequence[date]:
    return tuple(today + timedelta(days=at) for at in range(many))
