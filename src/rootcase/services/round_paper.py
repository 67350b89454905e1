"""Apply: a round gathered for its papers, the day sheet and the page of each stop."""

from __future__ import annotations

from datetime import date

from rootcase.casework.apply.gates import concerned_trees
from rootcase.casework.apply.stops import parts_of
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.apply.crew_day import CrewDay
from rootcase.records.apply.round_paper import RoundPaper, StopPaper
from rootcase.records.apply.rounds import GivenRound, GivenStep, Week
from rootcase.records.field import FieldContact
from rootcase.report.text.signed import signature
from rootcase.report.text.signed_paper import signed_paper
from rootcase.services.crew_day import crew_days
from rootcase.services.fleet import yard_of
from rootcase.services.jobs import GATE, gate_of
from rootcase.services.log import ADDRESS
from rootcase.services.week_known import Gathered, round_of
from rootcase.services.windows import GroundWindows, windows_at


def round_paper(book: Fieldbook, found: Gathered, week: Week, asked: tuple[date, str], system: System
                ) -> RoundPaper:
    """The round of a day and a crew (its id or name), with all that its papers tell."""
    given = round_of(week, found, *asked)
    fleet = found.known.fleet
    crew = next((each for each in fleet.crews if each.id == given.crew_id), None)
    if crew is None:
        raise Missing(say("week.no_crew_then"), right=say("week.crew_then"))
    day = crew_days(book, found, [given])[given.day, given.crew_id]
    days = (given.day - found.known.today).days + 1
    here = dict.fromkeys(step.property_id for step in given.steps if step.kind == "stop")
    grounds = {each.id: windows_at(book, each, found.known.today, max(days, 1)) for each in book.properties()
               if each.id in here}
    yard = yard_of(fleet)
    near = tuple(each for each in week.left_out if each.job.property_id in here)
    return RoundPaper(
        practice=book.practice(), system=system, given=given, day=day, crew=crew,
        truck=next((each for each in fleet.trucks if each.id == crew.truck_id), None), left_out=near,
        left_out_elsewhere=len(week.left_out) - len(near), at=book.applying.now(),
        stops=tuple(_stops(book, found, given, day, grounds)),
        time_zone=yard.time_zone if yard and yard.time_zone else "UTC")


def _stops(book: Fieldbook, found: Gathered, given: GivenRound, day: CrewDay,
           grounds: dict[str, GroundWindows]) -> list[StopPaper]:
    stops = [step for step in given.steps if step.kind == "stop"]
    return [_stop(book, found, at, step, day, grounds[step.property_id]) for at, step in enumerate(stops, 1)
            if step.property_id in grounds]


def _stop(book: Fieldbook, found: Gathered, number: int, step: GivenStep, day: CrewDay,
          there: GroundWindows) -> StopPaper:
    waiting = {each.job.id: each for each in found.known.waiting}
    jobs = tuple(waiting[each].job for each in step.job_ids if each in waiting)
    plan = next((each for each in book.signed_plans(there.ground.id) if each.standing == "standing"), None)
    batch = day.stops[number - 1].batch_id
    concerned = concerned_trees(there.record)
    parts = parts_of(step.litres, (job.litres for job in jobs))
    return StopPaper(
        number=number, step=step, jobs=jobs, record=there.record, parts=parts,
        concerned=tuple(dict.fromkeys(job.tree_label for job in jobs if job.tree_id in concerned)),
        ahead={job.id: ahead for job in jobs for window in there.windows if job.id in window.job_ids
               for ahead in window.days if ahead.day == day.day},
        licence_for=tuple(job.id for job in jobs if waiting[job.id].licence),
        contacts=tuple(FieldContact(each.role, each.name, each.phone) for each in book.contacts(there.ground.id)
                       if each.role not in (GATE, ADDRESS)),
        gate=gate_of(book, there.ground), signed=signature(plan) if plan else "",
        trials=tuple((trial.doubt, *trial.pairs) for trial in signed_paper(plan, there.record).trials) if plan else (),
        make=next((each for each in day.makes if each.batch_id == batch), None))
