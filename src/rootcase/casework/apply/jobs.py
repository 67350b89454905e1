"""The work of signed plans that waits for its day, and how long each piece takes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from hashlib import sha256
from statistics import median

from rootcase.casework.apply.parts import is_enough, part_left
from rootcase.casework.apply.travel import MIN_PER_H, travel_figure
from rootcase.casework.prescribe.due import season_of, signed_work
from rootcase.casework.prescribe.paces import hours_of, work_of
from rootcase.records.apply.done import Application
from rootcase.records.apply.jobs import EXTRACT, Job, Pace
from rootcase.records.field import PutOn
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import SignedPlan
from rootcase.records.prescribe import Step
from rootcase.tables.load import table

OWN_FROM = 5
"""JUDGEMENT: so many own records of a remedy say more than the table."""
_ID_LETTERS = 16
S_PER_MIN = 60.0


def jobs_of_plan(plan: SignedPlan, record: PropertyRecord, put_on: Iterable[PutOn], own: Sequence[Application],
                 until: date) -> tuple[Job, ...]:
    """Every piece of work of a signed plan whose season begins by a day, those that were done marked.

    Parameters
    ----------
    plan : the one that stands.
    record : its property.
    put_on : what was put on there.
    own : what the practice put on anywhere, with its times.
    until : the last day that is asked for.

    Returns
    -------
    Jobs by season, then in the order of the plan. [L, min]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    A job is done where its remedy was put on at its tree on a day of its season or later, before the same work of a
    later year. Extract is done where what was put on adds up to enough of its liters, or where nobody told how much it
    was; else what is left stays a job. Work the crew does not come for, and of a tree that is gone, is no job. Only
    extract comes out of the tank.

    References
    ----------
    `season_of`; tables prescribe/steps, prescribe/paces and apply/enough.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> from rootcase.records.offer import Signing
    >>> from rootcase.records.prescribe import Plan
    >>> none = Plan("p", (), 0.0, 0.0, None, "USD", 0.0, 0.0, (), (), True, (), date(2016, 1, 20), 100, 1)
    >>> signed = SignedPlan("s", "mark", "rs", date(2016, 1, 21), Signing(none, (), "", "", "", 100, None), "standing")
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> jobs_of_plan(signed, PropertyRecord(owner, (), (), (), (), (), (), (), {}), (), (), date(2016, 12, 31))
    ()
    """
    trees = {tree.id: tree for tree in record.trees}
    made_on, southern = plan.signing.plan.made_on, record.property.latitude_deg < 0
    cautions = {outcome.remedy: outcome.cautions for tree in plan.signing.plan.trees for outcome in tree.remedies}
    records = [each for each in put_on if not each.not_done]
    found = []
    for tree_id, step in signed_work(plan.signing):
        first, last = season_of(step.season, made_on, step.year, southern)
        if tree_id not in trees or first > until or not _comes(step):
            continue
        tree, litres = trees[tree_id], step.dose.litres or 0.0
        found.append(_less(Job(
            id=_id(plan.mark, tree_id, step), property_id=record.property.id, place_id=tree.place_id,
            tree_id=tree_id, tree_label=tree.label, plan=plan.mark, remedy=step.remedy, dose=step.dose,
            first=max(first, made_on), last=last, product=EXTRACT if step.remedy == EXTRACT and litres else "",
            litres=litres if step.remedy == EXTRACT else 0.0, pace=pace_of(step, own),
            cautions=cautions.get(step.remedy) or _cautions(step.remedy)),
            _records_of(records, tree_id, step, plan, southern)))
    return tuple(sorted(found, key=lambda job: job.first))


def pace_of(step: Step, own: Sequence[Application]) -> Pace:
    """How long a piece of work takes a crew at the tree.

    Parameters
    ----------
    step : what is done.
    own : what the practice put on anywhere, with its times.

    Returns
    -------
    Pace. [min]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    From five own records of the remedy on the middle of their minutes a square metre; else the table's hours of one
    person, by the people of a crew. Arriving and packing up come on top, once a stop.

    References
    ----------
    Tables prescribe/paces, row by row, and apply/travel: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.records.prescribe import Dose
    >>> pace_of(Step(1, "autumn", "mulch", Dose(10.0, volume_m3=2.0), None), ()).minutes
    52.2
    """
    measured = [(each.ended - each.started).total_seconds() / S_PER_MIN / each.area_m2 for each in own
                if each.remedy == step.remedy and not each.not_done and each.area_m2
                and each.started and each.ended and each.ended > each.started]
    if len(measured) >= OWN_FROM:
        return Pace(minutes=median(measured) * step.dose.area_m2, source="", how_known="own", records=len(measured))
    rows = [row for row in table("prescribe/paces").rows if row["work"] == step.remedy]
    hours = hours_of(step.remedy, step.dose, step.year).person
    return Pace(minutes=round(hours * MIN_PER_H / travel_figure("crew_people"), 1),
                source="; ".join(dict.fromkeys(str(row["source"]) for row in rows)),
                how_known="; ".join(dict.fromkeys(str(row["how_known"]) for row in rows)), records=len(measured))


def _comes(step: Step) -> bool:
    """Whether a crew comes for it; of what is in no table it does."""
    alike = [work.visit for work in work_of(step.remedy) if work.note == step.note]
    return any(alike) if alike else True


def _records_of(records: Iterable[PutOn], tree_id: str, step: Step, plan: SignedPlan, southern: bool) -> list[PutOn]:
    """Put on from its season's first day to the day before the same work of a later year begins."""
    made_on = plan.signing.plan.made_on
    first, _ = season_of(step.season, made_on, step.year, southern)
    later = [season_of(each.season, made_on, each.year, southern)[0] for of, each in signed_work(plan.signing)
             if of == tree_id and each.remedy == step.remedy and each.year > step.year]
    ends = min(later, default=date.max)
    return [each for each in records if each.tree_id == tree_id and each.remedy == step.remedy
            and max(first, made_on) <= each.day < ends]


def _less(job: Job, records: Sequence[PutOn]) -> Job:
    """A job without what was put on of it."""
    told = [each.litres for each in records if each.litres is not None]
    applied_l = sum(told) if job.litres else 0.0
    if not job.litres or len(told) < len(records) or is_enough(applied_l, job.litres):
        return replace(job, done=bool(records), applied_l=applied_l)
    return replace(part_left(job, job.litres - applied_l), applied_l=applied_l, parts_before=len(records))


def _cautions(remedy: str) -> tuple[str, ...]:
    return tuple(filter(None, str(table("prescribe/remedies").row(remedy=remedy)["cautions"]).split("|")))


def _id(mark: str, tree_id: str, step: Step) -> str:
    told = "\n".join((mark, tree_id, step.remedy, str(step.year), step.season))
    return sha256(told.encode()).hexdigest()[:_ID_LETTERS]
