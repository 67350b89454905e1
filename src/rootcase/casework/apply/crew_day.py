"""A crew's round as it is drawn: stops, tank, and the age of each make of extract."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from rootcase.casework.apply.shopping import taken_by
from rootcase.records.apply.crew_day import CrewDay, DayLoad, DayMake, DayStop, StopWork
from rootcase.records.apply.jobs import EXTRACT, Job
from rootcase.records.apply.rounds import GivenRound, GivenStep, PlannedBatch

_WATERED = ("water", "leach")
_HAIR_MIN = 0.5


def crew_day(given: GivenRound, jobs: Mapping[str, Job], tank_l: float, batches: Iterable[PlannedBatch],
             made_of: Mapping[str, str], told: Mapping[str, tuple[int, float | None]]) -> CrewDay:
    """Work out what a picture of a round shows.

    Parameters
    ----------
    given : the round. [min after midnight, L]
    jobs : those that wait, by id.
    tank_l : of its truck. [L]
    batches : there are to plan with. [min after midnight, L]
    made_of : id of the batch that was made, by that of the planned one whose place it takes; empty: it was refused.
    told : number and start of extraction of batches that are made, by id. [min after midnight]

    Returns
    -------
    CrewDay. [min after midnight, L]

    Raises
    ------
    Missing : a remedy is in no table.

    Notes
    -----
    A make's age runs from the end of its extraction to the last stop that takes of it, whatever tank it comes in. The
    tank runs even over a stop; what is left in it goes at the next fill.

    References
    ----------
    None

    Examples
    --------
    >>> from datetime import date
    >>> crew_day(GivenRound(id="r", day=date(2016, 5, 2), crew_id="c", steps=()), {}, 600.0, (), {}, {}).stops
    ()
    """
    known = {each.id: each for each in batches}
    of_stops = _batches_of_stops(given.steps, made_of)
    makes = [_make(batch_id, loads, known, told) for batch_id, loads in _loads(given, of_stops).items()]
    stops = [step for step in given.steps if step.kind == "stop"]
    return CrewDay(
        day=given.day, crew_id=given.crew_id, tank_l=tank_l, makes=tuple(makes), tank=tuple(_tank(given.steps)),
        stops=tuple(DayStop(number=at, property_id=step.property_id, job_ids=step.job_ids, works=works_of(step, jobs),
                            batch_id=of_stops[at - 1], starts_min=step.starts_min, ends_min=step.ends_min)
                    for at, step in enumerate(stops, 1)),
        rests=tuple((step.starts_min, step.ends_min) for step in given.steps if step.kind == "rest"),
        drives=tuple((one.ends_min, two.starts_min) for one, two in pairwise(given.steps)
                     if two.starts_min - one.ends_min > _HAIR_MIN))


def works_of(step: GivenStep, jobs: Mapping[str, Job]) -> tuple[StopWork, ...]:
    """What is put on at a stop, as pictures tell it apart.

    Parameters
    ----------
    step : of a round.
    jobs : those that wait, by id.

    Returns
    -------
    Each kind of work once, in the order of the jobs

    Raises
    ------
    Missing : a remedy is in no table.

    Notes
    -----
    None

    References
    ----------
    Table apply/takes.

    Examples
    --------
    >>> works_of(GivenStep(kind="stop", starts_min=0.0, ends_min=1.0), {})
    ()
    """
    found: list[StopWork] = []
    for each in step.job_ids:
        if each in jobs:
            remedy = jobs[each].remedy
            found.append("extract" if remedy == EXTRACT else "water" if remedy in _WATERED
                         else "chips" if taken_by(remedy)[0] == "chips" else "other")
    return tuple(dict.fromkeys(found))


def _batches_of_stops(steps: Iterable[GivenStep], made_of: Mapping[str, str]) -> list[str]:
    """Of each stop the batch that its extract is of, told with it or with the fill before; the one that was made where
    it took a planned one's place; empty: no extract is put on."""
    found, filled = [], ""
    for step in steps:
        if step.kind == "fill":
            filled = step.batch_id
        elif step.kind == "stop":
            batch = step.batch_id or (filled if step.load_age_minutes is not None else "")
            found.append(made_of.get(batch) or batch)
    return found


def _loads(given: GivenRound, of_stops: Iterable[str]) -> dict[str, list[DayLoad]]:
    """Tanks of extract that stops take of, by batch."""
    found: dict[str, list[DayLoad]] = {}
    fill: GivenStep | None = None
    fresh, batches = True, iter(of_stops)
    for step in given.steps:
        batch = next(batches) if step.kind == "stop" else ""
        if step.kind == "fill":
            fill, fresh = step, True
        elif batch:
            loads = found.setdefault(batch, [])
            if fresh or not loads:
                filled = fill.ends_min if fill else step.starts_min
                loads.append(DayLoad(filled_min=filled, last_use_min=step.ends_min,
                                     litres=fill.litres if fill else step.litres))
            else:
                loads[-1] = DayLoad(filled_min=loads[-1].filled_min, last_use_min=step.ends_min,
                                    litres=loads[-1].litres)
            fresh = False
    return found


def _make(batch_id: str, loads: list[DayLoad], known: Mapping[str, PlannedBatch],
          told: Mapping[str, tuple[int, float | None]]) -> DayMake:
    batch = known.get(batch_id)
    number, starts_min = told.get(batch_id, (0, None))
    if batch is None:
        return DayMake(batch_id=batch_id, number=number, refused=True, loads=tuple(loads))
    begun = starts_min if starts_min is not None and starts_min <= batch.ready_min else None
    return DayMake(batch_id=batch_id, number=number, refused=False, loads=tuple(loads), starts_min=begun,
                   ends_min=batch.ready_min, use_by_min=batch.use_by_min)


def _tank(steps: Iterable[GivenStep]) -> Iterator[tuple[float, float]]:
    """Corners of what is aboard over the day."""
    aboard = 0.0
    for step in steps:
        if step.kind == "fill":
            yield step.starts_min, aboard
            yield from [(step.starts_min, 0.0)] if aboard else []
            aboard = step.litres
            yield step.ends_min, aboard
        elif step.kind == "stop" and step.litres:
            before = max(aboard, step.litres)
            yield from [(step.starts_min, before)]
            aboard = before - step.litres
            yield step.ends_min, aboard
