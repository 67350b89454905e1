"""The rounds that were given to the crews somebody is in, whose papers they print themselves."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from rootcase.fieldbook.applying.fleet_log import fleet_of, rounds_of
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.apply.rounds import Fleet, GivenRound


def own_rounds(rounds: Iterable[GivenRound], fleet: Fleet, code: str) -> tuple[GivenRound, ...]:
    """Of these rounds those that were given to a crew they are in."""
    crews = {crew.id for crew in fleet.crews if code in crew.people}
    return tuple(each for each in rounds if each.given_by and each.crew_id in crews)


def is_own_round(book: Fieldbook, code: str, day: date, crew: str) -> bool:
    """Whether the round of a day and a crew, by its id or name, is given to theirs."""
    events = book.applying.crews_and_rounds()
    fleet = fleet_of(events)
    names = {each.id: each.name.casefold() for each in fleet.crews}
    return any(each.day == day and crew.strip().casefold() in (each.crew_id, names[each.crew_id])
               for each in own_rounds(rounds_of(events), fleet, code))


def leads_there(book: Fieldbook, code: str, day: date, property_id: str) -> bool:
    """Whether a round that was given to a crew of theirs leads to a property on a day."""
    events = book.applying.crews_and_rounds()
    return any(each.day == day and any(step.property_id == property_id for step in each.steps)
               for each in own_rounds(rounds_of(events), fleet_of(events), code))
