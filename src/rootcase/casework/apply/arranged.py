"""An order of stops that a person arranged: it stays, and what it breaks is told."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from math import inf

from rootcase.casework.apply.rounds import Rounds, with_any_age
from rootcase.casework.apply.stops import PlacedStop
from rootcase.casework.apply.travel import Drives, straight_drives_min
from rootcase.casework.apply.week import Asked, Laid, laid_out, week_of_rounds
from rootcase.ground.errors import Missing
from rootcase.records.apply.rounds import Broken, Crew, GivenRound, LeftOutJob, PlannedBatch, Week
from rootcase.science.rounds.day import MOST_L, MOST_MIN, Day, Plan, Source, Step
from rootcase.science.rounds.legal import Fault, faults_of_plan

HAIR_L = 1e-6

Orders = Mapping[tuple[date, str], Sequence[str]]
"""Ids of jobs in the order they were arranged, by day and crew."""


def week_as_arranged(asked: Asked, orders: Orders, drives: Drives = straight_drives_min) -> Week:
    """Rounds in the orders given, and what they break.

    Parameters
    ----------
    asked : jobs with the days that allow them, crews, batches, days. [L, min after midnight]
    orders : by day and crew the jobs in their order; a job that is not among those asked for is passed over.
    drives : minutes between places given in degrees. [min]

    Returns
    -------
    Week : each order with its times, all that it breaks, and the jobs that are in none. [min after midnight, L]

    Raises
    ------
    Missing : there is no yard, or no crew with a truck; or stops that cannot be timed at all.

    Notes
    -----
    Jobs that are done at one place with one tank stay one stop, at the place of the first of them. A fill that nobody
    can give has no fill point. What is taken of a
    batch is summed over all rounds. The age of extract is told, not the hour at which it is over.

    References
    ----------
    As `round_as_arranged` (computed).

    Examples
    --------
    >>> from rootcase.records.apply.rounds import Fleet
    >>> week_as_arranged(Asked(waiting=(), fleet=Fleet(), batches=(), days=()), {}).broken
    ()
    """
    if not any(orders.values()):
        return Week(days=asked.days, rounds=(), left_out=_in_none(asked, orders), drive_minutes=0.0)
    laid = laid_out(asked, drives)
    place = {(day, crew.id): at for at, (day, crew) in enumerate(laid.crews)}
    stops = _stops_in_order(laid.stops, orders)
    plan: list[tuple[Step, ...]] = [()] * len(laid.crews)
    broken: list[Broken] = []
    for key, order in stops.items():
        if order and key not in place:
            broken.append(Broken(why="no_crew", day=key[0], crew_id=key[1], job_ids=tuple(orders[key]), is_=0.0,
                                 allowed=1.0))
        elif order:
            plan[place[key]], faults = round_as_arranged(laid.day, place[key], order)
            broken += _told(laid, place[key], plan[place[key]], faults, asked)
    day = _a_source(laid.day)
    nobody = (("", None),) * (len(day.sources) - len(laid.sources))
    week = week_of_rounds(asked, replace(laid, day=day, sources=(*laid.sources, *nobody)),
                          Rounds(Plan(tuple(plan)), False, ()))
    rounds = tuple(replace(each, moved_by_hand=True) for each in week.rounds)
    return replace(week, rounds=rounds, left_out=_in_none(asked, orders),
                   broken=(*broken, *_drawn(rounds, asked.batches)))


def round_as_arranged(day: Day, crew: int, order: Sequence[int]) -> tuple[tuple[Step, ...], tuple[Fault, ...]]:
    """What a crew does in the order given, and what that breaks.

    Parameters
    ----------
    day : the day. [min, L]
    crew : place in its list of crews.
    order : places in its list of stops, in the order they were arranged.

    Returns
    -------
    Steps with their times [min], and each thing they break: none where the order can be driven

    Raises
    ------
    Missing : the stops cannot be timed at all.

    Notes
    -----
    Fills and times are the best for the order. Where none keep to everything, limits are lifted, those first that are
    soonest mended on the day: the age of the load, hours, the end of the day, who can do what, the tank, what a batch
    holds, the rest, where there is anything to fill; each by itself, then one after another together. The checker then
    tells what the times break of the day as it is.

    References
    ----------
    As `round_in_order`, `faults_of_plan` (computed).

    Examples
    --------
    >>> import numpy as np
    >>> from rootcase.science.rounds.day import Crew, Stop
    >>> there = np.array([[0.0, 40.0], [40.0, 0.0]])
    >>> day = Day(there, (Stop(node=1, service_min=30.0),), (), (Crew(start=0, home=0, tank_l=0.0, back_by_min=100.0),))
    >>> steps, faults = round_as_arranged(day, 0, [0])
    >>> [(fault.why, fault.is_, fault.allowed) for fault in faults]
    [('home', 110.0, 100.0)]
    """
    # A compiler comes along, which pages that only show rounds do without.
    from rootcase.science.routing.order import round_in_order

    many = len(day.sources)
    for given in _lifted(day):
        steps = round_in_order(given, crew, order)
        if steps is not None:
            there = replace(day, sources=(*day.sources, *given.sources[many:]))
            found = faults_of_plan(there, Plan(tuple(steps if at == crew else () for at in range(len(day.crews)))))
            nowhere = (Fault("no_source", crew, place, 0.0, there.crews[crew].tank_l)
                       for place, step in enumerate(steps) if step.kind == "fill" and step.index >= many)
            return steps, (*found, *nowhere)
    raise Missing("these stops cannot be timed", value=f"{len(order)} stops", right="arrange fewer")


def _stops_in_order(stops: Sequence[PlacedStop], orders: Orders) -> dict[tuple[date, str], list[int]]:
    """Places of stops by day and crew; a job in several parts is named as often."""
    parts: dict[str, deque[int]] = defaultdict(deque)
    for at, stop in enumerate(stops):
        for each in stop.jobs:
            parts[each.job.id].append(at)
    found: dict[tuple[date, str], list[int]] = {}
    served: set[int] = set()
    for key, order in orders.items():
        found[key] = []
        for job in order:
            if parts[job] and (at := parts[job].popleft()) not in served:
                served.add(at)
                found[key].append(at)
    return found


def _in_none(asked: Asked, orders: Orders) -> tuple[LeftOutJob, ...]:
    arranged = {job for order in orders.values() for job in order}
    return tuple(LeftOutJob(job=each.job, why="by_hand") for each in asked.waiting if each.job.id not in arranged)


def _told(laid: Laid, at: int, steps: Sequence[Step], faults: Iterable[Fault], asked: Asked) -> Iterator[Broken]:
    """Faults by jobs, and by the age of what is aboard."""
    day, crew = laid.crews[at]
    aboard = next((each.batch for each in asked.whereabouts if each.crew_id == crew.id), None)
    for fault in faults:
        if fault.why == "batch":
            continue  # told of all rounds together
        step = steps[fault.step] if 0 <= fault.step < len(steps) else None
        stop = laid.stops[step.index] if step and step.kind == "stop" else None
        why, is_, allowed = fault.why, fault.is_, fault.allowed
        if why == "crew" and stop:
            why, is_, allowed = _who(stop, day, crew), 0.0, 1.0
        batch = _batch_at(laid, steps[:fault.step], aboard) if why == "age" else None
        if batch:
            is_, allowed = is_ - batch.ready_min, allowed - batch.ready_min
        jobs = tuple(each.job.id for each in stop.jobs) if stop else ()
        yield Broken(why=why, day=day, crew_id=crew.id, job_ids=jobs, is_=is_, allowed=allowed)


def _who(stop: PlacedStop, day: date, crew: Crew) -> str:
    return "licence" if day in stop.days and stop.licence and not crew.licensed else "closed"


def _batch_at(laid: Laid, before: Sequence[Step], aboard: PlannedBatch | None) -> PlannedBatch | None:
    fill = next((step for step in reversed(before) if step.kind == "fill"), None)
    if fill is None:
        return aboard
    return laid.sources[fill.index][1] if fill.index < len(laid.sources) else None


def _drawn(rounds: Iterable[GivenRound], batches: Iterable[PlannedBatch]) -> Iterator[Broken]:
    """Batches of which all rounds together take more than there is."""
    taken: dict[str, list[tuple[GivenRound, float]]] = defaultdict(list)
    for each in rounds:
        for step in each.steps:
            if step.kind == "fill" and step.batch_id:
                taken[step.batch_id].append((each, step.litres))
    for batch in batches:
        total = sum(litres for _, litres in taken[batch.id])
        if total > batch.litres + HAIR_L:
            last = taken[batch.id][-1][0]
            yield Broken(why="batch", day=last.day, crew_id=last.crew_id, job_ids=(), is_=total, allowed=batch.litres)


def _lifted(day: Day) -> Iterator[Day]:
    """The day as it is, then with its limits lifted."""
    yield day
    lifts = (with_any_age, _any_hour, _long_day, _anybody, _large_tank, _large_batch, _no_rest, _a_source)
    yield from (lift(day) for lift in lifts)
    given = day
    for lift in lifts:
        given = lift(given)
        yield given


def _any_hour(day: Day) -> Day:
    return replace(day, stops=tuple(replace(each, windows=((min(early for early, _ in each.windows), inf),))
                                    for each in day.stops))


def _long_day(day: Day) -> Day:
    return replace(day, crews=tuple(replace(each, back_by_min=MOST_MIN) for each in day.crews))


def _no_rest(day: Day) -> Day:
    return replace(day, crews=tuple(replace(each, rest=None) for each in day.crews))


def _anybody(day: Day) -> Day:
    return replace(day, stops=tuple(replace(each, crews=None) for each in day.stops))


def _large_tank(day: Day) -> Day:
    return replace(day, crews=tuple(replace(each, tank_l=MOST_L) for each in day.crews))


def _large_batch(day: Day) -> Day:
    return replace(day, sources=tuple(replace(each, holds_l=inf) for each in day.sources))


def _a_source(day: Day) -> Day:
    """Where each crew's day begins, one of each product."""
    more = {(crew.start, stop.product) for crew in day.crews for stop in day.stops if stop.product}
    return replace(day, sources=(*day.sources, *(Source(node=node, product=product) for node, product in sorted(more))))
