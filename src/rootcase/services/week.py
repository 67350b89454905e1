"""Apply: the week and its rounds, searched by the clock and kept; given out, arranged by hand and, in the middle of a
day, planned anew."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from math import inf
from pathlib import Path
from time import monotonic

from rootcase.casework.apply.arranged import Orders, week_as_arranged
from rootcase.casework.apply.batches import OF_EXTRACT, Extract, batches_gone, extract_to_plan
from rootcase.casework.apply.parts import Logged, is_enough, part_left
from rootcase.casework.apply.stops import NO_VISITS
from rootcase.casework.apply.travel import Drives, told_drives
from rootcase.casework.apply.underway import rest_of, steps_passed, whereabouts_of
from rootcase.casework.apply.week import Asked, week_of
from rootcase.fieldbook.applied.fleet import RoundGiven
from rootcase.fieldbook.applying.fleet_log import fleet_of, planned_batches_of, rounds_of
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.making.batch_log import batches_of
from rootcase.fieldbook.people.tokens import written
from rootcase.ground.clock import day_there, zone
from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.ground.words import say
from rootcase.records.apply.rounds import (
    Broken,
    Fleet,
    GivenRound,
    LeftOutJob,
    PlannedBatch,
    Waiting,
    Week,
    Whereabouts,
)
from rootcase.services.fleet import yard_of
from rootcase.services.judged import judged_there, minutes_of_day
from rootcase.services.results import keep_result, place_for, read_result
from rootcase.services.run import Progress, silent

SEARCH_S, REST_S, SEED = 20.0, 4.0, 1
"""Of a week, and of the rest of a day while its crews wait. JUDGEMENT."""
HAIR_MIN = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """All that a plan of some days is made of."""

    fleet: Fleet
    days: tuple[date, ...]
    waiting: tuple[Waiting, ...]
    """Jobs that are not done, whatever day allows them."""
    closed: Mapping[tuple[str, date], str]
    """What closes a day for a job: key of the words under week.gate."""
    given: tuple[GivenRound, ...]
    """Rounds of these days that were given or arranged."""
    extract: Extract
    places: Mapping[tuple[float, float], str]
    """Names of properties and fill points by where they are, for the table of drives."""
    grounds: Mapping[str, tuple[float, float]]
    """Where properties are, by id."""
    today: date
    now_min: float
    """By the yard's clock."""
    logged: Logged = field(default_factory=dict)
    """Stops of rounds that are logged."""

    @property
    def drives(self) -> Drives:
        return told_drives(self.fleet.travel, self.places)


def known_of(book: Fieldbook, waiting: Iterable[Waiting], closed: Mapping[tuple[str, date], str], today: date,
             days: Sequence[date]) -> Known:
    """What is known of some days, of which the first is today or later."""
    events = book.applying.practice_events()
    fleet = fleet_of(events)
    yard = yard_of(fleet)
    there = zone(yard.time_zone if yard and yard.time_zone else "UTC")
    now = book.applying.now()
    now_min = minutes_of_day(now.astimezone(there)) if day_there(now, there) == today else 0.0
    judged = [found for batch in batches_of(events) if (found := judged_there(batch, there)) and found.day in days]
    planned = [each for each in planned_batches_of(events) if each.day in days]
    grounds = {each.id: each for each in book.properties()}
    places = {(each.latitude_deg, each.longitude_deg): each.name for each in grounds.values()}
    places |= {(each.latitude_deg, each.longitude_deg): each.name for each in fleet.fill_points}
    return Known(fleet=fleet, days=tuple(days), waiting=tuple(waiting), closed=closed,
                 given=tuple(each for each in rounds_of(events) if each.day in days),
                 extract=extract_to_plan(planned, judged, today, now_min), places=places, today=today, now_min=now_min,
                 grounds={each.id: (each.latitude_deg, each.longitude_deg) for each in grounds.values()})


def plan_week(known: Known, results: Path | None = None, seconds: float = SEARCH_S,
              progress: Progress = silent) -> Week:
    """Rounds for the days, beside those that were given; kept for whoever asks for the same again."""
    asked, closed = _open(known)
    found = proposed(known, results, seconds)
    if found is None:
        left = clock(seconds, progress)
        none_free = not any((day, crew.id) not in asked.taken and day.weekday() in crew.works_days
                            for day in known.days for crew in known.fleet.crews) and bool(known.fleet.crews)
        if none_free or not asked.waiting:
            found = Week(days=known.days, rounds=(), drive_minutes=0.0,
                         left_out=tuple(LeftOutJob(job=each.job, why="no_room") for each in asked.waiting))
        else:
            found = week_of(asked, SEED, left, known.drives)
        found = replace(found, left_out=(*found.left_out, *closed))
        if results:
            keep_result(_place(results, known, asked, seconds), found)
    return found


def proposed(known: Known, results: Path | None, seconds: float = SEARCH_S) -> Week | None:
    """The plan that was kept for just this; None where there is none."""
    return read_result(_place(results, known, _open(known)[0], seconds), Week) if results else None


def whole_week(known: Known, found: Week | None) -> Week:
    """Rounds that were given or arranged, with what they break as things stand now, and those that are proposed."""
    rounds = (*known.given, *(found.rounds if found else ()))
    order = {crew.id: at for at, crew in enumerate(known.fleet.crews)}
    return Week(days=known.days, rounds=tuple(sorted(rounds, key=lambda each: (each.day, order.get(each.crew_id, 99)))),
                left_out=found.left_out if found else (), drive_minutes=found.drive_minutes if found else 0.0,
                proven_days=found.proven_days if found else (), broken=broken_now(known))


def broken_now(known: Known) -> tuple[Broken, ...]:
    """What the rounds that stand break: where their crews have not left yet, and what was moved behind those that have.
    """
    standing = [each for each in known.given if each.day >= known.today
                and (each.moved_by_hand or not _under_way(known, each))]
    if not standing or yard_of(known.fleet) is None or not known.fleet.crews:
        return ()
    stops = [step.job_ids for each in standing for step in each.steps if step.job_ids]
    visits = {job: at for at, jobs in reversed(list(enumerate(stops))) for job in jobs}
    gone = batches_gone(standing, known.extract)
    of = {(each.day, each.crew_id) for each in gone}
    found = _as_arranged(known, {(each.day, each.crew_id): _jobs(each) for each in standing}, (), visits).broken
    return (*gone, *(each for each in found if each.why not in OF_EXTRACT or (each.day, each.crew_id) not in of))


def give_round(book: Fieldbook, given: GivenRound, by: str) -> None:
    """Give a round to its crew; the newest word for a crew's day holds."""
    book.applying.tell_practice(lambda _: [_body(book, given, by, given=True)])


def keep_proposed(book: Fieldbook, rounds: Iterable[GivenRound], by: str) -> None:
    """Keep rounds that stand instead of what was given, and that nobody has given out yet."""
    book.applying.tell_practice(lambda _: [_body(book, each, by, given=False) for each in rounds])


def take_round_back(book: Fieldbook, given: GivenRound, by: str) -> None:
    """Let a round that was given or arranged be planned anew."""
    book.applying.tell_practice(lambda _: [replace(_body(book, given, by, given=False), gone=True)])


def keep_arranged(book: Fieldbook, known: Known, week: Week, touched: Iterable[tuple[date, str]], by: str) -> None:
    """Keep rounds that were arranged by hand; one that had been given stays given, one without a stop is gone."""
    before = {(each.day, each.crew_id): each for each in known.given}
    now = {(each.day, each.crew_id): each for each in week.rounds}
    bodies: list[Body] = []
    for key in touched:
        if key in now:
            bodies.append(_body(book, now[key], by, given=key in before and bool(before[key].given_by)))
        elif key in before:
            bodies.append(replace(_body(book, before[key], by, given=False), gone=True))
    book.applying.tell_practice(lambda _: bodies)


@dataclass(frozen=True, slots=True)
class Move:
    """Jobs that go to another place in a round; to no day: out of it."""

    jobs: tuple[str, ...]
    day: date | None = None
    crew_id: str = ""
    place: int = 0
    """Among the stops of that round, from 0."""


def arrange(known: Known, week: Week, move: Move) -> tuple[Week, tuple[tuple[date, str], ...]]:
    """The rounds that a move touches, timed anew in the order that was asked for, and which these are."""
    stops = {(each.day, each.crew_id): [step.job_ids for step in each.steps if step.kind == "stop"]
             for each in week.rounds}
    touched = [key for key, order in stops.items() if any(set(jobs) & set(move.jobs) for jobs in order)]
    if set(move.jobs) <= _done(known):
        raise ImpossibleValue(say("week.stop_is_done"), right=say("week.move_what_waits"))
    for key in touched:
        stops[key] = [jobs for jobs in stops[key] if not set(jobs) & set(move.jobs)]
    if move.day is not None:
        to = (move.day, move.crew_id)
        if move.crew_id not in {crew.id for crew in known.fleet.crews if move.day.weekday() in crew.works_days}:
            raise Missing(say("week.no_crew_then"), right=say("week.crew_then"))
        stops.setdefault(to, []).insert(max(0, move.place), move.jobs)
        touched = list(dict.fromkeys((*touched, to)))
    orders = {key: [job for jobs in stops[key] for job in jobs] for key in touched}
    others = [each for each in week.rounds if (each.day, each.crew_id) not in touched]
    return _as_arranged(known, orders, others), tuple(touched)


def _as_arranged(known: Known, orders: Orders, others: Sequence[GivenRound],
                 visits: Mapping[str, int] = NO_VISITS) -> Week:
    """Rounds in these orders; of today's what is behind their crews stays, and the rest begins where they are."""
    batches = _less(known.extract.batches, others, known.extract.made_of)
    today, later = ({key: order for key, order in orders.items() if (key[0] == known.today) is here}
                    for here in (True, False))
    ahead = week_as_arranged(replace(_asked_for(known, later), batches=batches, visits=visits), later, known.drives)
    went = {each.crew_id: _as_it_went(known, each) for each in known.given if each.day == known.today}
    given = {crew: each for crew, (each, _) in went.items()}
    passed = {crew: steps_passed(each, logged, known.now_min) for crew, (each, logged) in went.items()}
    rest = {(day, crew): _still(order, *went[crew]) if crew in went else order for (day, crew), order in today.items()}
    own = [replace(given[crew], steps=passed[crew]) for _, crew in today if crew in given]
    asked = replace(_asked_for(known, rest), whereabouts=_whereabouts(known, [*went.values(), *_without(known, given)]),
                    batches=_less(batches, own, known.extract.made_of, made=False), visits=visits)
    found = week_as_arranged(asked, rest, known.drives)
    new = {each.crew_id: each for each in found.rounds}
    rounds = [replace(rest_of(given[crew], passed[crew], new.get(crew)), moved_by_hand=True) if crew in given
              else new[crew] for _, crew in today if crew in new or passed.get(crew)]
    return replace(ahead, days=tuple(sorted({day for day, _ in orders})), rounds=(*rounds, *ahead.rounds),
                   drive_minutes=found.drive_minutes + ahead.drive_minutes, broken=(*found.broken, *ahead.broken))


def _still(order: Sequence[str], given: GivenRound, logged: Collection[int]) -> list[str]:
    """Jobs of an order without what is behind the crew: of one in parts as many as are logged."""
    behind = Counter(job for at in logged for job in given.steps[at].job_ids)
    found = []
    for job in order:
        behind[job] -= 1
        found += [job] if behind[job] < 0 else []
    return found


def _without(known: Known, given: Collection[str]) -> list[tuple[GivenRound, frozenset[int]]]:
    """Of crews that have no round today: in the yard, from when they leave or from now."""
    return [(GivenRound(id="", day=known.today, crew_id=crew.id, steps=()), frozenset())
            for crew in known.fleet.crews if crew.id not in given]


def _done(known: Known) -> frozenset[str]:
    """Jobs of the rounds that stand which wait no more."""
    return frozenset(job for each in known.given for job in _jobs(each)) - {each.job.id for each in known.waiting}


def _logged(known: Known, given: GivenRound) -> set[int]:
    """Places of stops that are logged, or of which nothing waits any more."""
    still = {each.job.id for each in known.waiting}
    return {at for at, step in enumerate(given.steps) if step.job_ids and not still & set(step.job_ids)} | set(
        known.logged.get((given.day, given.crew_id), ()))


def _under_way(known: Known, given: GivenRound) -> bool:
    return given.day == known.today and bool(given.steps) and known.now_min >= given.steps[0].starts_min


def replan_day(known: Known, seconds: float = REST_S, progress: Progress = silent) -> Week:
    """The rest of today's rounds from where their crews are: what extract there is no more of is left out, and all else
    goes ahead. Nothing is given out yet."""
    went = [_as_it_went(known, each) for each in known.given if each.day == known.today]
    today = [each for each, _ in went]
    if not today:
        raise Missing(say("week.nothing_given"), right=say("week.give_first"))
    jobs = {job for each in today for job in _jobs(each)}
    waiting = [each for each in known.waiting if each.job.id in jobs]
    able = [replace(each, days=frozenset((known.today,))) for each in waiting if known.today in each.days]
    shut = [LeftOutJob(job=each.job, why=known.closed.get((each.job.id, known.today), "closed"))
            for each in waiting if known.today not in each.days]
    passed = {each.crew_id: steps_passed(each, logged, known.now_min) for each, logged in went}
    asked = Asked(waiting=tuple(able), fleet=known.fleet, days=(known.today,), whereabouts=_whereabouts(known, went),
                  batches=_less(known.extract.batches, (replace(each, steps=passed[each.crew_id]) for each in today),
                                known.extract.made_of, made=False),
                  taken=frozenset((known.today, crew.id) for crew in known.fleet.crews if crew.id not in passed))
    found = week_of(asked, SEED, clock(seconds, progress), known.drives)
    new = {each.crew_id: each for each in found.rounds}
    rounds = tuple(rest_of(each, passed[each.crew_id], new.get(each.crew_id)) for each in today)
    return replace(found, days=(known.today,), rounds=rounds, left_out=(*found.left_out, *shut))


def _as_it_went(known: Known, given: GivenRound) -> tuple[GivenRound, frozenset[int]]:
    """A round without fills of extract that there never was, and its stops that are logged; a fill before work that is
    logged was taken."""
    ready = {each.id: each.ready_min for each in known.extract.batches}
    ready |= {planned: ready[made] for planned, made in known.extract.made_of.items() if made in ready}
    logged = _logged(known, given)
    used = {given.steps[at].batch_id for at in logged}
    there = [at for at, step in enumerate(given.steps)
             if step.kind != "fill" or not step.batch_id or step.batch_id in used
             or ready.get(step.batch_id, inf) <= step.starts_min + HAIR_MIN]
    return (replace(given, steps=tuple(given.steps[at] for at in there)),
            frozenset(place for place, at in enumerate(there) if at in logged))


def clock(seconds: float, progress: Progress = silent) -> Callable[[], float]:
    """How much of a search is still to come, 1 to 0; told as it goes on, once a second."""
    start, told = monotonic(), 0

    def left() -> float:
        nonlocal told
        passed = monotonic() - start
        if int(passed) > told:
            told = int(passed)
            progress("week", min(told, round(seconds)), round(seconds))
        return max(0.0, 1.0 - passed / seconds) if seconds > 0.0 else 0.0

    return left


def _open(known: Known) -> tuple[Asked, tuple[LeftOutJob, ...]]:
    """What is still to be planned, and jobs that no day allows."""
    free = [each for waiting in known.waiting if (each := _beside(known, waiting))]
    able = tuple(each for each in free if each.days & set(known.days))
    closed = tuple(LeftOutJob(job=each.job, why=_shut(known, each.job.id)) for each in free
                   if not each.days & set(known.days))
    return Asked(waiting=able, fleet=known.fleet, days=known.days,
                 batches=_less(known.extract.batches, known.given, known.extract.made_of),
                 taken=frozenset((each.day, each.crew_id) for each in known.given)), closed


def _beside(known: Known, waiting: Waiting) -> Waiting | None:
    """What of a job is in no round that was given; None where all of it is."""
    job = waiting.job
    ahead = [step for each in known.given for at, step in enumerate(each.steps) if job.id in step.job_ids
             and at not in _logged(known, each)]
    if not ahead:
        return waiting
    given_l = sum(step.litres for step in ahead)
    if not all(step.litres and len(step.job_ids) == 1 for step in ahead) or is_enough(
            job.applied_l + given_l, job.applied_l + job.litres):
        return None
    left = part_left(job, job.litres - given_l)
    return replace(waiting, job=replace(left, parts_before=job.parts_before + len(ahead)))


def _shut(known: Known, job: str) -> str:
    """What closes most of the days for a job."""
    whys = [known.closed.get((job, day), "closed") for day in known.days]
    return max(dict.fromkeys(whys), key=whys.count)


def _asked_for(known: Known, orders: Mapping[tuple[date, str], Sequence[str]]) -> Asked:
    jobs = {job for order in orders.values() for job in order}
    return Asked(waiting=tuple(each for each in known.waiting if each.job.id in jobs), fleet=known.fleet,
                 batches=known.extract.batches, days=tuple(sorted({day for day, _ in orders})))


def _less(batches: Iterable[PlannedBatch], rounds: Iterable[GivenRound], made_of: Mapping[str, str], *,
          made: bool = True) -> tuple[PlannedBatch, ...]:
    """Batches without what these rounds take of them beyond what is loaded already. made: of those that were made too.
    """
    taken: dict[str, float] = {}
    for each in rounds:
        for step in each.steps:
            if step.kind == "fill" and step.batch_id:
                batch = made_of.get(step.batch_id) or step.batch_id
                taken[batch] = taken.get(batch, 0.0) + step.litres
    return tuple(each if each.made and not made
                 else replace(each, litres=max(0.0, each.litres - max(0.0, taken.get(each.id, 0.0) - each.loaded_l)))
                 for each in batches)


def _whereabouts(known: Known, today: Iterable[tuple[GivenRound, frozenset[int]]]) -> tuple[Whereabouts, ...]:
    batches = {each.id: each for each in known.extract.batches}
    batches |= {planned: batches[made] for planned, made in known.extract.made_of.items() if made in batches}
    leaves = {crew.id: crew.leaves_min for crew in known.fleet.crews}
    found = []
    for each, logged in today:
        if each.crew_id in leaves:
            there = whereabouts_of(each, logged, known.now_min, leaves[each.crew_id], batches)
            latitude, longitude = known.grounds.get(there.property_id, (None, None))
            found.append(replace(there, latitude_deg=latitude, longitude_deg=longitude))
    return tuple(found)


def _jobs(given: GivenRound) -> list[str]:
    return [job for step in given.steps for job in step.job_ids]


def _body(book: Fieldbook, of: GivenRound, by: str, *, given: bool) -> RoundGiven:
    slot = named_id(book.store.practice_id, "round", of.day.isoformat(), of.crew_id)
    return RoundGiven(slot=slot, round=slot, day=of.day, crew=of.crew_id, at=written(book.applying.now()), by=by,
                      steps=of.steps, given=given, moved_by_hand=of.moved_by_hand)


def _place(results: Path, known: Known, asked: Asked, seconds: float) -> Path:
    waiting = [(each.job, sorted(each.days), each.latitude_deg, each.longitude_deg, each.licence)
               for each in asked.waiting]
    closed = sorted((job, day, why) for (job, day), why in known.closed.items())
    places = sorted((where, name) for where, name in known.places.items()) if known.fleet.travel.places else []
    return place_for(results, Week, (waiting, known.fleet, asked.batches, asked.days, sorted(asked.taken), closed,
                                     places, seconds, SEED))
