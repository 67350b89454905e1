"""The day on the phone: the rounds of who has signed in, as they were given, with all that each stop asks offline."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from hashlib import sha256
from zoneinfo import ZoneInfo

from rootcase.casework.apply.jobs import jobs_of_plan
from rootcase.casework.apply.litres import WHOLE_L
from rootcase.casework.apply.parts import LoggedJobs, logged_jobs
from rootcase.casework.apply.stops import parts_of
from rootcase.fieldbook.applying.fleet_log import fleet_of, rounds_of
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.making.batch_log import batches_of
from rootcase.fieldbook.people.tokens import written
from rootcase.ground.clock import zone
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.rounds import Fleet, GivenRound, GivenStep, PlannedBatch
from rootcase.records.field_round import FieldRound, FieldRounds, FieldStep, FieldTank
from rootcase.records.make.batch import Batch, HeapUse
from rootcase.records.observe import PropertyRecord
from rootcase.report.pictures.ground_map import Size, draw_ground, view_of
from rootcase.report.svg import Picture
from rootcase.report.text.batch import batch_state
from rootcase.report.text.figures import sentence, volume_alone
from rootcase.report.text.rounds import (
    Names,
    age_told,
    clock_told,
    lasts,
    left_out_line,
    place_told,
    state_told,
    work_told,
)
from rootcase.services.batch_heap import heap_uses
from rootcase.services.case import CaseFile
from rootcase.services.field_extract import litres_of_the_day
from rootcase.services.field_task import AROUND, SOIL, left_out_at, task_of
from rootcase.services.fleet import yard_of
from rootcase.services.log import METER_FAR, METER_NEAR
from rootcase.services.own_rounds import own_rounds
from rootcase.services.week import Known, known_of
from rootcase.services.windows import GroundWindows, windows_at

DAYS = 2
"""Today, and tomorrow so that it is there in the morning without signal."""
MAP = Size("phone", 328.0, 260.0, 36.0)
"""Lower than a map page's, so that what to do is near."""
_DRAWN = ("crown_spread", "dbh")
"""What is read of a tree and drawn on its map."""
_MARK_LETTERS = 16
See = Callable[[PropertyRecord], PropertyRecord]


@dataclass(frozen=True, slots=True)
class _Ground:
    """A property of a round."""

    windows: GroundWindows
    jobs: dict[str, Job]
    """Of the plan that stands, those that are done too."""


@dataclass(frozen=True, slots=True)
class _Day:
    """What the rounds are told with."""

    known: Known
    system: System
    now: datetime
    place: ZoneInfo
    batches: dict[str, Batch]
    heaps: dict[str, HeapUse]
    grounds: dict[str, _Ground]
    maps: dict[str, str]
    names: Names
    licensed: frozenset[str]
    """Crews in which somebody is."""
    on_rounds: frozenset[str]
    """Jobs that are in a round of anybody."""
    logged: LoggedJobs
    """By the record."""


def round_days(book: Fieldbook, code: str, today: date) -> dict[str, tuple[date, ...]]:
    """By property the days, today and tomorrow, on which a round that was given leads somebody there."""
    events = book.applying.crews_and_rounds()
    found: dict[str, tuple[date, ...]] = {}
    for each in _theirs(rounds_of(events), fleet_of(events), code, today):
        for step in each.steps:
            if step.property_id and each.day not in found.get(step.property_id, ()):
                found[step.property_id] = (*found.get(step.property_id, ()), each.day)
    return found


def field_rounds(book: Fieldbook, code: str, file_of: Callable[[str], CaseFile | None], system: System, today: date, *,
                 see: See) -> FieldRounds:
    """What a phone is told of the rounds of who has signed in. file_of: of a property; see: what they may see of it."""
    events = book.applying.crews_and_rounds()
    theirs = _theirs(rounds_of(events), fleet_of(events), code, today)
    rounds = _rounds(book, theirs, file_of, system, today, see) if theirs else ()
    return FieldRounds(rounds=rounds, soil=SOIL, around=AROUND, meter_near=METER_NEAR, meter_far=METER_FAR,
                       whole_l=WHOLE_L, litres=litres_of_the_day(book) if theirs else (),
                       licence=_licence(book, theirs, code))


def _licence(book: Fieldbook, theirs: Sequence[GivenRound], code: str) -> str:
    """As they told it last at the places of their rounds."""
    places = {step.property_id for each in theirs for step in each.steps if step.property_id}
    own = [(one.day, one.number, one.applicator_licence) for place in places
           for one in book.recording.applications(place) if one.applicator == code and one.applicator_licence]
    return max(own)[2] if own else ""


def _rounds(book: Fieldbook, theirs: Sequence[GivenRound], file_of: Callable[[str], CaseFile | None], system: System,
            today: date, see: See) -> tuple[FieldRound, ...]:
    known = known_of(book, (), {}, today, [today + timedelta(at) for at in range(DAYS)])
    day = _gathered(book, known, theirs, file_of, system, see)
    return tuple(_round(each, day) for each in theirs)


def field_map(file: CaseFile, system: System, today: date, *, see: See) -> Picture:
    """The ground round the trees of a plan for a phone: its work, places, trees, drawn lines and areas."""
    record, work = see(file.record), _all_jobs(file, today)
    return draw_ground(record, view_of(record, work, MAP.shape), MAP, system, work=work)


def _theirs(rounds: Sequence[GivenRound], fleet: Fleet, code: str, today: date) -> list[GivenRound]:
    return [each for each in own_rounds(rounds, fleet, code) if today <= each.day < today + timedelta(DAYS)]


def _gathered(book: Fieldbook, known: Known, theirs: Sequence[GivenRound], file_of: Callable[[str], CaseFile | None],
              system: System, see: See) -> _Day:
    events = book.applying.practice_events()
    yard = yard_of(known.fleet)
    ids = dict.fromkeys(step.property_id for each in theirs for step in each.steps if step.property_id)
    files = {an_id: file for an_id in ids if (file := file_of(an_id))}
    grounds = {an_id: _Ground(windows_at(book, file.record.property, known.today, DAYS, ()),
                              {job.id: job for job in _all_jobs(file, known.today)}) for an_id, file in files.items()}
    names = Names({each.id: each.name for each in book.properties()},
                  {each.id: each.name for each in known.fleet.crews},
                  {each.id: each.name for each in known.fleet.fill_points},
                  {job.id: job for ground in grounds.values() for job in ground.jobs.values()})
    waiting = {job.id: job for ground in grounds.values() for job in ground.jobs.values() if not job.done}
    logged = logged_jobs(known.given, waiting, book.recording.applications(),
                         {crew.id: crew.people for crew in known.fleet.crews})
    return _Day(known, system, book.applying.now(), zone(yard.time_zone if yard and yard.time_zone else "UTC"),
                {each.id: each for each in batches_of(events)}, dict(heap_uses(events)), grounds,
                {an_id: map_name(see(file.record), grounds[an_id].jobs, system) for an_id, file in files.items()},
                names,
                frozenset(crew.id for crew in known.fleet.crews if crew.licensed),
                frozenset(job for each in known.given for step in each.steps for job in step.job_ids), logged)


def map_name(record: PropertyRecord, work: Collection[str], system: System) -> str:
    """Another one wherever the map of a property shows something else."""
    drawn = (record.property.name, record.places, record.outlines, record.lines, record.keep_off,
             [(tree.label, tree.east_m, tree.north_m) for tree in record.trees], system,
             sorted(work), [each for each in record.readings if each.kind in _DRAWN])
    return sha256(repr(drawn).encode()).hexdigest()[:_MARK_LETTERS]


def _all_jobs(file: CaseFile, today: date) -> tuple[Job, ...]:
    until = today + timedelta(DAYS)
    return jobs_of_plan(file.signed, file.record, file.put_on, (), until) if file.signed else ()


def _round(given: GivenRound, day: _Day) -> FieldRound:
    mark = sha256(repr((given.day, given.crew_id, given.steps)).encode()).hexdigest()[:_MARK_LETTERS]
    here = dict.fromkeys(step.property_id for step in given.steps if step.property_id in day.grounds)
    left_out = [left_out_line(each, day.names) for an_id in here
                for each in left_out_at(day.grounds[an_id].windows, given.day, day.on_rounds)]
    return FieldRound(id=given.id, day=given.day, crew=day.names.crew(given.crew_id), mark=mark,
                      given=state_told(given), steps=tuple(_steps(given, day)), left_out=tuple(left_out))


def _steps(given: GivenRound, day: _Day) -> Iterator[FieldStep]:
    fill: GivenStep | None = None
    left = 0.0
    for at, step in enumerate(given.steps):
        if step.kind == "fill":
            fill, left = step, step.litres
        before = left
        left = max(0.0, left - step.litres) if step.kind == "stop" else left
        extract = _tank(given.day, fill.batch_id, day) if fill and fill.batch_id else None
        shown = extract if step.kind == "fill" or step.load_age_minutes is not None else None
        yield _step(given, at, step, day, shown, fill.litres if fill else 0.0, (before, left))


def _step(given: GivenRound, at: int, step: GivenStep, day: _Day, extract: tuple[FieldTank, float] | None,
          filled_l: float, tank_l: tuple[float, float]) -> FieldStep:
    ground = day.grounds.get(step.property_id)
    logged = day.logged.get((given.day, given.crew_id), {}).get(at, ())
    jobs = [_as_planned(job) if each in logged else job for each in step.job_ids
            if ground and (job := ground.jobs.get(each))]
    parts = parts_of(step.litres, (job.litres for job in jobs))
    tasks = tuple(task_of(job, ground.windows, given.day, day.system, filled_l if job.litres else 0.0,
                          licensed=given.crew_id in day.licensed, parts=parts) for job in jobs if ground)
    work = sentence(work_told(step, day.names)) if jobs else ""
    work = say("field.round.part", work=work, part=step.part) if work and step.part else work
    if len(jobs) < len(step.job_ids):
        gone = say("field.round.gone", count=len(step.job_ids) - len(jobs))
        work = f"{work}. {gone}" if work else gone
    tank, hand = extract or (None, 0.0)
    return FieldStep(
        kind=step.kind, id=_id(step, at), part=step.part, starts=clock_told(step.starts_min),
        ends=clock_told(step.ends_min), place=place_told(step, day.names), property_id=step.property_id, work=work,
        tank=_tank_told(step, tank_l, day.system), age=_age(step, hand), extract=tank, tasks=tasks,
        map=day.maps.get(step.property_id, ""))


def _as_planned(job: Job) -> Job:
    """A job at a stop where it is logged; of one that is not done there, something is left at another."""
    return job if job.done else replace(job, done=True, litres=job.litres + job.applied_l, applied_l=0.0)


def _id(step: GivenStep, at: int) -> str:
    """The same while the first job of a stop is, and another at each part of it."""
    if not step.job_ids:
        return f"{step.kind}-{at}"
    return step.job_ids[0] if step.part < 2 else f"{step.job_ids[0]}-{step.part}"


def _tank_told(step: GivenStep, tank_l: tuple[float, float], system: System) -> str:
    if not step.litres:
        return ""
    if step.kind == "fill":
        return volume_alone(step.litres, system, 3)
    before, left = (volume_alone(each, system, 3) for each in tank_l)
    return say("field.round.tank", used=volume_alone(step.litres, system, 3), before=before, left=left)


def _age(step: GivenStep, use_by_min: float) -> str:
    if step.load_age_minutes is None:
        return ""
    hand = use_by_min - step.ends_min
    key = "field.round.in_hand" if hand >= 0 else "field.round.over"
    return say(key, age=age_told(step), hand=lasts(abs(hand)))


def _tank(on: date, batch_id: str, day: _Day) -> tuple[FieldTank, float] | None:
    """Extract of a fill, and the minute from which it is refused."""
    made = day.known.extract.made_of.get(batch_id, batch_id)
    batch = day.batches.get(made)
    judged = batch.judgement if batch else None
    if batch and judged and judged.good_until:
        until = judged.good_until.astimezone(day.place)
        state = batch_state(batch, day.heaps[batch.heap_id], day.now) if batch.heap_id in day.heaps else "barred"
        bar = "" if state in ("fit", "over") else say(f"made.stopped.{state}")  # the phone's own clock says when it is
        return _field_tank(made, say("field.round.batch", number=batch.number), until, bar), _minute(until, on)
    planned = next((each for each in (*day.known.extract.batches, *day.known.extract.late) if each.id == batch_id),
                   None)
    if planned is None or planned in day.known.extract.late:
        refused = say("field.round.late") if planned else say("made.stopped.refused")
        until = _at(on, planned.use_by_min if planned else 0.0, day.place)
        return _field_tank(batch_id, say("field.round.a_batch"), until, refused), _minute(until, on)
    return _planned(planned, day)


def _planned(planned: PlannedBatch, day: _Day) -> tuple[FieldTank, float]:
    until = _at(planned.day, planned.use_by_min, day.place)
    named = say("field.round.planned", ready=clock_told(planned.ready_min))
    return _field_tank(planned.id, named, until, ""), planned.use_by_min


def _field_tank(batch_id: str, named: str, until: datetime, bar: str) -> FieldTank:
    return FieldTank(batch_id=batch_id, named=named, use_by=f"{until:%H:%M}", until=written(until), bar=bar)


def _at(on: date, minutes: float, place: ZoneInfo) -> datetime:
    return (datetime.combine(on, time.min) + timedelta(minutes=minutes)).replace(tzinfo=place)


def _minute(moment: datetime, on: date) -> float:
    """After midnight of the day, by the clock of the moment's own zone."""
    return (moment.replace(tzinfo=None) - datetime.combine(on, time.min)).total_seconds() / 60.0
