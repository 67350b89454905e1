"""What the rounds of some days take, by product and day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from functools import cache
from typing import cast

from rootcase.casework.apply.underway import steps_passed
from rootcase.records.apply.jobs import Job
from rootcase.records.apply.rounds import GivenRound, GivenStep, PlannedBatch
from rootcase.records.apply.shopping import BatchNeed, Behind, Measure, Need
from rootcase.tables.load import table

LITRES, LABEL, NONE = "litres", "label", "none"
NOTHING_BEHIND = Behind()
HAIR_L = 1e-6
_MEASURES: Mapping[str, Measure] = {"volume": "loose", "mass": "weighed", LITRES: "liquid", LABEL: "label"}


def needs_of(rounds: Iterable[GivenRound], jobs: Mapping[str, Job], days: Sequence[date],
             behind: Behind = NOTHING_BEHIND) -> tuple[Need, ...]:
    """What the stops of some rounds take, by product.

    Parameters
    ----------
    rounds : given or proposed.
    jobs : those that wait, by id; what is done is not among them.
    days : in order.
    behind : stops that are logged.

    Returns
    -------
    Needs in the order of the table of what remedies take. [m3, kg, L]

    Raises
    ------
    Missing : the table has no such remedy.

    Notes
    -----
    A job that is parted over several stops counts once, on the day of the first; extract counts as it leaves the tank.
    A product whose amount nobody knows is named without one.

    References
    ----------
    Table apply/takes, row by row.

    Examples
    --------
    >>> needs_of([], {}, [date(2016, 5, 2)])
    ()
    """
    order = [str(row["takes"]) for row in table("apply/takes").rows]
    amounts: dict[tuple[str, Measure], list[float]] = {}
    unknown: dict[tuple[str, Measure], list[str]] = {}
    counted: set[str] = set()
    for given in sorted((each for each in rounds if each.day in days), key=lambda each: each.day):
        at = list(days).index(given.day)
        logged = behind.logged.get((given.day, given.crew_id), ())
        for step in (step for place, step in enumerate(given.steps) if place not in logged):
            waiting = [jobs[each] for each in step.job_ids if each in jobs]
            for job in waiting:
                product, measure = taken_by(job.remedy)
                if product == NONE or job.id in counted:
                    continue
                key, amount = (product, measure), amount_of(job)
                by_day = amounts.setdefault(key, [0.0] * len(days))
                if job.product:
                    by_day[at] += job.litres * _share_of([each for each in waiting if each.product], step.litres)
                    continue
                counted.add(job.id)
                by_day[at] += amount or 0.0
                unknown.setdefault(key, []).extend([] if amount else [job.id])
    return tuple(Need(product=key[0], measure=key[1], amounts=tuple(by_day), not_known=tuple(unknown.get(key, ())))
                 for key, by_day in sorted(amounts.items(), key=lambda each: order.index(each[0][0])))


def batches_needed(rounds: Iterable[GivenRound], batches: Iterable[PlannedBatch], made_of: Mapping[str, str],
                   compost_kg_l: float | None, behind: Behind = NOTHING_BEHIND) -> tuple[BatchNeed, ...]:
    """The batches that rounds are filled from, and what those that are not made yet will take.

    Parameters
    ----------
    rounds : given or proposed. [L]
    batches : made or planned. [min after midnight, L]
    made_of : id of the batch that was made, by that of the planned one whose place it takes.
    compost_kg_l : by the practice's own batch; None: not known. [kg L-1]
    behind : work that is logged and what was loaded. [L]

    Returns
    -------
    Batches in the order of their hours, with what the rounds still take. [L, kg]

    Raises
    ------
    None

    Notes
    -----
    As much water as extract goes in: what compost holds back is not reckoned. A fill before work that is logged was
    taken, and what was loaded of a batch counts as taken by its rounds. Fills of a batch that there is not, refused,
    late or out of the plan, ask for one to be made anew. A batch of which no round takes anything more is not on the
    list.

    References
    ----------
    None

    Examples
    --------
    >>> batches_needed([], [], {}, None)
    ()
    """
    known = {each.id: each for each in batches}
    fills: dict[str, list[tuple[GivenRound, GivenStep, bool]]] = {}
    for given in rounds:
        passed = steps_passed(given, behind.logged.get((given.day, given.crew_id), ()), 0.0)
        for step in given.steps:
            if step.kind == "fill" and step.batch_id:
                fills.setdefault(made_of.get(step.batch_id) or step.batch_id, []).append((given, step, step in passed))
    found = []
    for batch_id, each in fills.items():
        loaded = behind.loaded_l.get(batch_id, 0.0) if batch_id in known else 0.0
        logged = sum(step.litres for _, step, passed in each if passed)
        taken = sum(step.litres for _, step, _ in each) - max(logged, loaded)
        if taken > HAIR_L:
            found.append(_batch_need(known.get(batch_id) or _anew(each, taken), taken, batch_id in known, compost_kg_l))
    return tuple(sorted(found, key=lambda each: (each.day, each.ready_min)))


def _anew(fills: Sequence[tuple[GivenRound, GivenStep, bool]], litres: float) -> PlannedBatch:
    """What has to be made instead of a batch that there is not, by the first fill to come."""
    day, by_min = min((given.day, step.starts_min) for given, step, passed in fills if not passed)
    step = fills[0][1]
    return PlannedBatch(id=step.batch_id, day=day, ready_min=by_min, use_by_min=by_min, litres=litres,
                        fill_point_id=step.fill_point_id)


def _batch_need(batch: PlannedBatch, taken_l: float, there: bool, compost_kg_l: float | None) -> BatchNeed:
    compost_kg = None if batch.made or compost_kg_l is None else batch.litres * compost_kg_l
    return BatchNeed(batch_id=batch.id, day=batch.day, ready_min=batch.ready_min, litres=batch.litres, taken_l=taken_l,
                     made=batch.made, anew=not there, compost_kg=compost_kg)


@cache
def taken_by(remedy: str) -> tuple[str, Measure]:
    """What is bought or fetched for a remedy, and how it is measured.

    Parameters
    ----------
    remedy : its code.

    Returns
    -------
    Product and measure; `none` where it takes nothing along.

    Raises
    ------
    Missing : the table has no such remedy.

    Notes
    -----
    None

    References
    ----------
    Table apply/takes, row by row.

    Examples
    --------
    >>> taken_by("air_tillage"), taken_by("deadwood")[0]
    (('chips', 'loose'), 'none')
    """
    row = table("apply/takes").row(remedy=remedy)
    return str(row["takes"]), cast(Measure, _MEASURES.get(str(row["amount"]), LABEL))


def amount_of(job: Job) -> float | None:
    """How much of its product a job takes.

    Parameters
    ----------
    job : as it was signed.

    Returns
    -------
    In the unit of its measure; None where that is not known. [m3, kg, L]

    Raises
    ------
    Missing : the table has no such remedy.

    Notes
    -----
    None

    References
    ----------
    Table apply/takes, row by row.

    Examples
    --------
    >>> from rootcase.records.apply.jobs import Pace
    >>> from rootcase.records.prescribe import Dose
    >>> job = Job(id="j", property_id="p", place_id="", tree_id="t", tree_label="oak 4", plan="m", remedy="mulch",
    ...           dose=Dose(50.0, volume_m3=4.0), first=date(2016, 3, 1), last=date(2016, 5, 31), product="",
    ...           litres=0.0, pace=Pace(minutes=60.0, source="", how_known="own"))
    >>> amount_of(job)
    4.0
    """
    measure = taken_by(job.remedy)[1]
    if measure == "loose":
        return job.dose.volume_m3
    return job.dose.mass_kg if measure == "weighed" else job.dose.litres if measure == "liquid" else None


def _share_of(together: Sequence[Job], litres: float) -> float:
    """Of its dose, what of each job leaves the tank at a stop: less than the whole where no tank holds it. What is done
    already of a stop is not among the jobs and leaves the others their own."""
    whole = sum(each.litres for each in together)
    return min(1.0, litres / whole) if whole else 0.0
