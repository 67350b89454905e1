"""A stop moved by hand, and the rest of a day planned anew: as they are asked for, kept at once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.signed import require_code
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.apply.rounds import Week
from rootcase.services.run import Progress, silent
from rootcase.services.week import Move, arrange, give_round, keep_arranged, replan_day
from rootcase.services.week_known import Gathered, round_of, stop_of


@dataclass(frozen=True, slots=True)
class Asked:
    """Which stop goes where."""

    day: date
    crew: str
    """Its id or name, as the following."""
    stop: int
    """From 1."""
    to: tuple[date, str, int] | None
    """Day, crew and place from 1; None: out of all rounds."""


def move_stop(book: Fieldbook, found: Gathered, week: Week, asked: Asked, by: str) -> Week:
    """The rounds that are touched, in the order that was asked for; kept, with all that they break."""
    require_code(by, ())
    given = round_of(week, found, asked.day, asked.crew)
    jobs = stop_of(given, asked.stop)
    move = Move(jobs)
    if asked.to:
        day, crew, place = asked.to
        move = Move(jobs, day, _crew_named(found, crew), place - 1)
    arranged, touched = arrange(found.known, week, move)
    keep_arranged(book, found.known, arranged, touched, by)
    return arranged


def rest_of_day(book: Fieldbook, found: Gathered, by: str = "", progress: Progress = silent) -> Week:
    """The rest of today's rounds. by: who gives them out at once; empty: nobody does."""
    if by:
        require_code(by, ())
    rest = replan_day(found.known, progress=progress)
    for each in rest.rounds if by else ():
        give_round(book, each, by)
    return rest


def _crew_named(found: Gathered, crew: str) -> str:
    named = next((each.id for each in found.known.fleet.crews
                  if crew.strip().casefold() in (each.id, each.name.casefold())), "")
    if not named:
        raise Missing(say("week.no_crew_then"), value=crew[:80], right=say("week.crew_then"))
    return named
