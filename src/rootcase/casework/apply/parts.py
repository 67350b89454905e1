"""What is done of a job: how much of it was put on, and which stops of a round are logged."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from rootcase.records.apply.done import Application
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.rounds import GivenRound
from rootcase.tables.load import table

Logged = Mapping[tuple[date, str], Collection[int]]
"""By day and crew, places of steps whose work is logged."""
LoggedJobs = Mapping[tuple[date, str], Mapping[int, frozenset[str]]]
"""By day and crew, and by the place of a stop, ids of its jobs that are logged."""
_Place = tuple[date, str, int]
_Slot = tuple[GivenRound, int, int]
"""Of a job: the round, the place of the step, and which part, from 1."""


def is_enough(applied_l: float, dose_l: float) -> bool:
    """Whether what was put on is a job done.

    Parameters
    ----------
    applied_l : put on for it in all. [L]
    dose_l : by the plan. [L]

    Returns
    -------
    True from the table's share of the dose on.

    Raises
    ------
    Missing : the table lacks the share.

    Notes
    -----
    None

    References
    ----------
    Table apply/enough: JUDGEMENT.

    Examples
    --------
    >>> is_enough(450.0, 500.0), is_enough(449.0, 500.0)
    (True, False)
    """
    share = float(table("apply/enough").row(figure="enough_share")["value"])
    return applied_l >= share * dose_l


def part_left(job: Job, left_l: float) -> Job:
    """What is left of a job of which a part went out.

    Parameters
    ----------
    job : it takes something from the tank.
    left_l : of its liters. [L]

    Returns
    -------
    Job with what it still takes, and its share of the minutes. [L, min]

    Raises
    ------
    None

    Notes
    -----
    Its dose stays the whole.

    References
    ----------
    None

    Examples
    --------
    >>> from rootcase.records.apply.jobs import Pace
    >>> from rootcase.records.prescribe import Dose
    >>> job = Job(id="j", property_id="p", place_id="", tree_id="t", tree_label="oak 4", plan="m", remedy="extract",
    ...           dose=Dose(50.0, litres=100.0), first=date(2016, 3, 1), last=date(2016, 5, 31), product="extract",
    ...           litres=100.0, pace=Pace(minutes=60.0, source="", how_known="own"))
    >>> part_left(job, 25.0).pace.minutes
    15.0
    """
    return replace(job, litres=left_l, pace=replace(job.pace, minutes=job.pace.minutes * left_l / job.litres))


def logged_jobs(rounds: Iterable[GivenRound], waiting: Mapping[str, Job], own: Iterable[Application],
                people: Mapping[str, Collection[str]]) -> LoggedJobs:
    """Which jobs are logged at which stops of some rounds.

    Parameters
    ----------
    rounds : given.
    waiting : jobs that are not done, by id.
    own : what the practice put on anywhere.
    people : codes of who is in a crew, by its id.

    Returns
    -------
    Ids of jobs by day and crew, and by the place of the stop in the round.

    Raises
    ------
    None

    Notes
    -----
    A job is logged where it is done, or has a record of that day: one that is parted a record for each stop, of the
    part that it tells; one that tells none is of the first stop that no other is of. A record of somebody in one of its
    crews is of that crew's stops. One that names no job is of the job at its tree that asks for its remedy. `Not done`
    logs nothing here.

    References
    ----------
    None

    Examples
    --------
    >>> logged_jobs((), {}, (), {})
    {}
    """
    rounds = tuple(rounds)
    days = {each.day for each in rounds}
    told = sorted((one for one in own if one.day in days and not one.not_done),
                  key=lambda each: (not each.part, each.number))
    open_: dict[str, set[_Place]] = {}
    for job in {job for each in rounds for step in each.steps for job in step.job_ids if job in waiting}:
        slots = list(_slots(rounds, job))
        open_[job] = {_place(each) for each in slots} - _taken(
            slots, [one for one in told if _is_of(one, waiting[job])], people)
    return {(given.day, given.crew_id): {
        at: frozenset(job for job in step.job_ids if (given.day, given.crew_id, at) not in open_.get(job, ()))
        for at, step in enumerate(given.steps) if step.job_ids} for given in rounds}


def stops_logged(rounds: Iterable[GivenRound], jobs: LoggedJobs) -> dict[tuple[date, str], frozenset[int]]:
    """Which stops of some rounds are logged.

    Parameters
    ----------
    rounds : given.
    jobs : that are logged at their stops.

    Returns
    -------
    By day and crew, places of stops of which each job is logged.

    Raises
    ------
    None

    Notes
    -----
    None

    References
    ----------
    None

    Examples
    --------
    >>> stops_logged((), {})
    {}
    """
    return {(given.day, given.crew_id): frozenset(
        at for at, found in jobs.get((given.day, given.crew_id), {}).items()
        if found >= set(given.steps[at].job_ids)) for given in rounds}


def _taken(slots: Sequence[_Slot], told: Iterable[Application], people: Mapping[str, Collection[str]]) -> set[_Place]:
    """Places of a job's stops that its records are of."""
    found: set[_Place] = set()
    crews = {given.crew_id for given, _, _ in slots}
    for one in told:
        own = {crew for crew in crews if one.applicator in people.get(crew, ())} or crews
        free = [each for each in slots if each[0].day == one.day and each[0].crew_id in own
                and _place(each) not in found and one.part in (0, each[2])]
        found |= {_place(each) for each in free[:1]}
    return found


def _slots(rounds: Iterable[GivenRound], job: str) -> Iterator[_Slot]:
    for given in rounds:
        yield from ((given, at, step.part or 1) for at, step in enumerate(given.steps) if job in step.job_ids)


def _place(slot: _Slot) -> _Place:
    return slot[0].day, slot[0].crew_id, slot[1]


def _is_of(one: Application, job: Job) -> bool:
    if one.job_ids:
        return job.id in one.job_ids
    return job.remedy == one.remedy and job.tree_id in one.tree_ids
