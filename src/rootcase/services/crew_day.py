"""Apply: each crew's day as it is drawn, from its round and what there is of extract."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from rootcase.casework.apply.crew_day import crew_day
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.clock import zone
from rootcase.records.apply.crew_day import CrewDay
from rootcase.records.apply.rounds import Fleet, GivenRound
from rootcase.services.fleet import yard_of
from rootcase.services.judged import minutes_of_day
from rootcase.services.make_batch import batches
from rootcase.services.week_known import Gathered


def crew_days(book: Fieldbook, found: Gathered, rounds: Iterable[GivenRound]) -> dict[tuple[date, str], CrewDay]:
    """Each of these rounds as it is drawn, by its day and crew."""
    known = found.known
    jobs = {each.job.id: each.job for each in known.waiting}
    told = _told(book, known.fleet)
    return {(each.day, each.crew_id): crew_day(each, jobs, _tank_l(known.fleet, each.crew_id), known.extract.batches,
                                               known.extract.made_of, told) for each in rounds}


def _told(book: Fieldbook, fleet: Fleet) -> Mapping[str, tuple[int, float | None]]:
    """Number and start of extraction of each batch, by the yard's clock."""
    yard = yard_of(fleet)
    there = zone(yard.time_zone if yard and yard.time_zone else "UTC")
    found = {}
    for batch in batches(book):
        started = batch.newest("start")
        found[batch.id] = batch.number, minutes_of_day(started.at.astimezone(there)) if started else None
    return found


def _tank_l(fleet: Fleet, crew_id: str) -> float:
    truck = next((crew.truck_id for crew in fleet.crews if crew.id == crew_id), "")
    return next((each.tank_l for each in fleet.trucks if each.id == truck), 0.0)
