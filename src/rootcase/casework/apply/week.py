"""The week: which jobs on which day for which crew, with what in the tank."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import inf

from rootcase.casework.apply.rounds import Rounds, rounds_of_day
from rootcase.casework.apply.stops import PlacedStop, stops_of
from rootcase.casework.apply.travel import Drives, straight_drives_min
from rootcase.ground.errors import Missing
from rootcase.records.apply.jobs import EXTRACT, WATER
from rootcase.records.apply.rounds import (
    Crew,
    Fleet,
    GivenRound,
    GivenStep,
    LeftOutJob,
    PlannedBatch,
    Waiting,
    Week,
    Whereabouts,
)
from rootcase.science.rounds.day import Break, Day, OnBoard, Source, Step, Stop, travel_of_plan
from rootcase.science.rounds.day import Crew as DrivingCrew

URGENT = 3.0
"""How much more a job is missed whose season ends within the days that are planned. [JUDGEMENT]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a plan is made of."""

    waiting: tuple[Waiting, ...]
    fleet: Fleet
    batches: tuple[PlannedBatch, ...]
    days: tuple[date, ...]
    whereabouts: tuple[Whereabouts, ...] = ()
    """Where crews are when the rest of a day is planned; empty: in the yard when they leave."""
    taken: frozenset[tuple[date, str]] = frozenset()
    """Crews that have their round of a day already."""
    visits: Mapping[str, int] = field(default_factory=dict)
    """Of jobs of rounds that stand, at which of their stops each is: a place that is come to twice stays two stops."""


@dataclass(frozen=True, slots=True)
class Laid:
    """The days as one day of the search: each crew on each day is a crew of its own."""

    day: Day
    stops: tuple[PlacedStop, ...]
    crews: tuple[tuple[date, Crew], ...]
    sources: tuple[tuple[str, PlannedBatch | None], ...]
    """Fill point, and the batch it gives; None: water."""


def week_of(asked: Asked, seed: int, left: Callable[[], float], drives: Drives = straight_drives_min) -> Week:
    """Rounds for some days.

    Parameters
    ----------
    asked : jobs with the days that allow them, crews, batches, days. [L, min after midnight]
    seed : of the search; dimensionless.
    left : how much of the search is still to come, 1 to 0, dimensionless.
    drives : minutes between places given in degrees. [min]

    Returns
    -------
    Week : a round for each crew that goes out, and what was left out and why. [min after midnight, L]

    Raises
    ------
    Missing : there is no yard, or no crew with a truck.

    Notes
    -----
    Every crew on every day is one crew of one large day, who can do what its day allows: so which day, which crew and
    which order are one search. Jobs whose season ends within the days weigh more.

    References
    ----------
    As `rounds_of_day` (computed).

    Examples
    --------
    >>> week_of(Asked(waiting=(), fleet=Fleet(), batches=(), days=()), 1, lambda: 0.0).rounds
    ()
    """
    if not asked.waiting or not asked.days:
        return Week(days=asked.days, rounds=(), left_out=(), drive_minutes=0.0)
    laid = laid_out(asked, drives)
    found = rounds_of_day(laid.day, seed, left)
    return week_of_rounds(asked, laid, found)


def laid_out(asked: Asked, drives: Drives = straight_drives_min) -> Laid:
    """The days as one day of the search.

    Parameters
    ----------
    asked : as for `week_of`.
    drives : minutes between places given in degrees. [min]

    Returns
    -------
    Laid : the day, and what its stops, crews and sources are. [min after midnight, L]

    Raises
    ------
    Missing : there is no yard, or no crew with a truck.

    Notes
    -----
    A crew that may do a licensed job is one in which somebody is licensed. A source is there for the crews of its day.

    References
    ----------
    None

    Examples
    --------
    >>> laid_out(Asked(waiting=(), fleet=Fleet(), batches=(), days=()))
    Traceback (most recent call last):
        ...
    rootcase.ground.errors.Missing: there is no yard to start from; say where it is and how long a fill takes there
    """
    fleet = asked.fleet
    yards = [point for point in fleet.fill_points if point.is_yard]
    if not yards:
        raise Missing("there is no yard to start from", right="say where it is and how long a fill takes there")
    tanks = {truck.id: truck.tank_l for truck in fleet.trucks}
    crews = tuple((day, crew) for day in asked.days for crew in fleet.crews
                  if day.weekday() in crew.works_days and crew.truck_id in tanks and (day, crew.id) not in asked.taken)
    if not crews:
        raise Missing("no crew works on these days", right="add a crew with a truck, or other days")
    stops = stops_of(asked.waiting, max(tanks[crew.truck_id] for _, crew in crews), asked.visits)
    grounds = _grounds(asked)
    node = {name: at for at, name in enumerate([*(point.id for point in fleet.fill_points), *grounds])}
    travel = drives([*((point.latitude_deg, point.longitude_deg) for point in fleet.fill_points), *grounds.values()])
    where = {each.crew_id: each for each in asked.whereabouts}
    sources, told = _sources(asked, crews, node)
    return Laid(Day(travel, tuple(_stop(stop, node, crews, asked.days) for stop in stops), tuple(sources),
                    tuple(_crew(crew, where.get(crew.id), node, yards[0].id, tanks) for _, crew in crews)),
                stops, crews, tuple(told))


def _grounds(asked: Asked) -> dict[str, tuple[float, float]]:
    """Where there is work, and where crews are."""
    there = {each.job.property_id: (each.latitude_deg, each.longitude_deg) for each in asked.waiting}
    points = {point.id for point in asked.fleet.fill_points}
    return there | {each.property_id: (each.latitude_deg, each.longitude_deg) for each in asked.whereabouts
                    if each.latitude_deg is not None and each.longitude_deg is not None
                    and each.property_id not in points}


def _stop(stop: PlacedStop, node: Mapping[str, int], crews: Sequence[tuple[date, Crew]], days: Sequence[date]) -> Stop:
    can = frozenset(at for at, (day, crew) in enumerate(crews)
                    if day in stop.days and (crew.licensed or not stop.licence))
    weight = sum(URGENT if each.job.last <= days[-1] else 1.0 for each in stop.jobs) * stop.share
    return Stop(node=node[stop.property_id], service_min=stop.minutes, product=stop.product, demand_l=stop.litres,
                crews=can, weight=weight)


def _crew(crew: Crew, where: Whereabouts | None, node: Mapping[str, int], yard: str,
          tanks: Mapping[str, float]) -> DrivingCrew:
    rest = Break(crew.rest_from_min, crew.rest_to_min, crew.rest_minutes) if crew.rest_minutes else None
    if where is None:
        return DrivingCrew(start=node[yard], home=node[yard], tank_l=tanks[crew.truck_id], leaves_min=crew.leaves_min,
                           back_by_min=crew.back_by_min, rest=rest)
    aboard = OnBoard(where.product, where.litres, where.batch.use_by_min if where.batch else inf)
    return DrivingCrew(start=node.get(where.property_id, node[yard]), home=node[yard], tank_l=tanks[crew.truck_id],
                       leaves_min=where.at_min, back_by_min=max(crew.back_by_min, where.at_min),
                       rest=None if where.rested or (rest and where.at_min > rest.latest_min) else rest,
                       on_board=aboard if where.product else None)


def _sources(asked: Asked, crews: Sequence[tuple[date, Crew]],
             node: Mapping[str, int]) -> tuple[list[Source], list[tuple[str, PlannedBatch | None]]]:
    minutes = {point.id: point.fill_minutes for point in asked.fleet.fill_points}
    sources = [Source(node=node[point.id], product=WATER, fill_min=point.fill_minutes)
               for point in asked.fleet.fill_points]
    told: list[tuple[str, PlannedBatch | None]] = [(point.id, None) for point in asked.fleet.fill_points]
    for batch in asked.batches:
        who = frozenset(at for at, (day, _) in enumerate(crews) if day == batch.day)
        sources.append(Source(node=node[batch.fill_point_id], product=EXTRACT, fill_min=minutes[batch.fill_point_id],
                              ready_min=batch.ready_min, use_by_min=batch.use_by_min, holds_l=batch.litres, crews=who))
        told.append((batch.fill_point_id, batch))
    return sources, told


def week_of_rounds(asked: Asked, laid: Laid, found: Rounds) -> Week:
    """What was found, told by jobs, batches and fill points.

    Parameters
    ----------
    asked : what the plan is made of.
    laid : the same as one day of the search.
    found : its rounds. [min after midnight, L]

    Returns
    -------
    Week. [min after midnight, L]

    Raises
    ------
    None

    Notes
    -----
    A fill takes what the stops until the next one use. The age of extract at a stop is told at the end of its work.

    References
    ----------
    Arithmetic (computed).

    Examples
    --------
    >>> import numpy as np
    >>> from rootcase.science.rounds.day import Plan
    >>> empty = Laid(Day(np.zeros((0, 0)), (), (), ()), (), (), ())
    >>> asked = Asked(waiting=(), fleet=Fleet(), batches=(), days=())
    >>> week_of_rounds(asked, empty, Rounds(Plan(()), True, ())).drive_minutes
    0
    """
    aboard = {each.crew_id: each.batch for each in asked.whereabouts}
    parts = Counter({each.job.id: each.job.parts_before for each in asked.waiting})
    rounds = tuple(GivenRound(id=f"{day.isoformat()} {crew.id}", day=day, crew_id=crew.id,
                              steps=_steps(laid, steps, aboard.get(crew.id), parts))
                   for (day, crew), steps in zip(laid.crews, found.plan.rounds, strict=True) if steps)
    left_out = tuple(LeftOutJob(job=each.job, why=left.why) for left in found.left_out
                     for each in laid.stops[left.stop].jobs)
    proven = asked.days if found.proven else ()
    return Week(days=asked.days, rounds=rounds, left_out=tuple(dict.fromkeys(left_out)),
                drive_minutes=travel_of_plan(laid.day, found.plan), proven_days=proven)


def _steps(laid: Laid, steps: Sequence[Step], batch: PlannedBatch | None, parts: Counter[str]) -> tuple[GivenStep, ...]:
    told = []
    for at, step in enumerate(steps):
        if step.kind == "fill":
            point, batch = laid.sources[step.index]
            told.append(GivenStep(kind="fill", starts_min=step.start_min, ends_min=step.end_min, fill_point_id=point,
                                  batch_id=batch.id if batch else "", litres=_until_next_fill(laid, steps[at + 1:])))
        elif step.kind == "stop":
            stop = laid.stops[step.index]
            age = step.end_min - batch.ready_min if batch and stop.product == EXTRACT else None
            told.append(GivenStep(kind="stop", starts_min=step.start_min, ends_min=step.end_min,
                                  property_id=stop.property_id, job_ids=tuple(each.job.id for each in stop.jobs),
                                  batch_id=batch.id if age is not None and batch else "", litres=stop.litres,
                                  load_age_minutes=age, part=_part(stop, parts)))
        else:
            told.append(GivenStep(kind="rest", starts_min=step.start_min, ends_min=step.end_min))
    return tuple(told)


def _part(stop: PlacedStop, parts: Counter[str]) -> int:
    """Which part of its jobs a stop is, after those that came before."""
    before = max(parts[each.job.id] for each in stop.jobs)
    parts.update(each.job.id for each in stop.jobs)
    return before + 1 if before or stop.share < 1.0 else 0


def _until_next_fill(laid: Laid, after: Sequence[Step]) -> float:
    total = 0.0
    for step in after:
        if step.kind == "fill":
            break
        total += laid.stops[step.index].litres if step.kind == "stop" else 0.0
    return total
