"""The phone: what it is sent, that everything works at a tree without signal, and no more than its jobs need."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime

from rootcase.fieldbook.field_readings import field_readings
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.assigned import assign, assignments_of
from rootcase.fieldbook.people.tokens import written
from rootcase.records.field import (
    FieldContact,
    FieldGround,
    FieldJob,
    FieldPerson,
    FieldPhone,
    FieldPractice,
    FieldStart,
    JobSheet,
    JobWork,
    SealingKey,
)
from rootcase.records.observe import Property, PropertyRecord, System
from rootcase.records.offer import SignedPlan
from rootcase.records.people import Phone
from rootcase.records.prescribe import PlanItem
from rootcase.report.text.doses import beside
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.signed import signature
from rootcase.report.text.signed_paper import Work, signed_paper
from rootcase.services.case import CaseFile
from rootcase.services.field_day import round_days
from rootcase.services.field_extract import extract_of_the_day
from rootcase.services.jobs import GATE
from rootcase.services.sealing import sealed_as, sealing_pair

See = Callable[[PropertyRecord], PropertyRecord]


def field_start(fieldbook: Fieldbook, who: FieldPerson, units: System, phone: Phone, now: datetime, *,
                jobs: tuple[FieldJob, ...], held_day: date | None) -> FieldStart:
    """What a phone is told when somebody has signed in on it."""
    store = fieldbook.store
    pair = sealing_pair(store, now)
    return FieldStart(
        who, FieldPractice(store.practice_id, fieldbook.practice().name, SealingKey(pair.id, pair.public)), units,
        store.generation, FieldPhone(phone.id, phone.letters, phone.name),
        sealed_as(pair, store.practice_id, phone.id, who.code, now), held_day, jobs)


def days_at(fieldbook: Fieldbook, code: str, today: date) -> dict[str, tuple[date, ...]]:
    """By property where somebody goes, by assignment or by a round of their crew, the days that are not over; empty
    where any will do. Elsewhere they do not go."""
    found: dict[str, tuple[date, ...]] = {}
    for each in assignments_of(fieldbook.store):
        if each.code == code and (each.day is None or each.day >= today):
            found[each.property_id] = (*found.get(each.property_id, ()), *([each.day] if each.day else []))
    for ground, days in round_days(fieldbook, code, today).items():
        found[ground] = (*found.get(ground, ()), *(day for day in days if day not in found.get(ground, ())))
    return found


def take_on(fieldbook: Fieldbook, ground: Property, code: str, now: datetime) -> None:
    """Let somebody have a property on their own phone, on any day."""
    assign(fieldbook.store, ground.id, code, None, by=code, now=now)


def field_ground(fieldbook: Fieldbook, file: CaseFile, system: System, now: datetime, *, see: See,
                 stop: date | None) -> FieldGround:
    """A property for a phone. see: takes out what its person may not see; stop: today, where they stop there."""
    record = see(replace(file.record, property=replace(file.record.property, system=system)))
    with fieldbook.store.reading() as look:
        events = look.events(record.property.id)
    people = fieldbook.contacts(record.property.id) if stop else ()
    return FieldGround(
        record.property.id, see(file.record).property, record.places, record.trees, record.pits, record.samples,
        record.visits, field_readings(events, record.readings), record.yardsticks, record.compared_with, record.lines,
        record.keep_off, file.wanted, job_sheet(file.signed, record) if file.signed else None, file.put_on, stop,
        tuple(FieldContact(each.role, each.name, each.phone) for each in people if each.role != GATE),
        next((each.name for each in people if each.role == GATE), ""), written(now.astimezone(UTC)),
        extract_of_the_day(fieldbook, system, now))


def job_sheet(plan: SignedPlan, record: PropertyRecord) -> JobSheet:
    """The day's paper of a signed plan: what, how much, where, and what to look out for; no money."""
    paper = signed_paper(plan, record)
    work = tuple(_work(each, item, record) for each, item in zip(paper.work, plan.signing.plan.items, strict=True))
    return JobSheet(plan.mark, signature(plan), work, paper.alone,
                    tuple((trial.doubt, *trial.pairs) for trial in paper.trials))


def _work(work: Work, item: PlanItem, record: PropertyRecord) -> JobWork:
    lines = dict.fromkeys(line for step in item.steps for line in beside(step.dose, record.property.system))
    remedies = dict.fromkeys(step.remedy for step in item.steps) or item.remedy.split("+")
    return JobWork(work.tree_id, work.tree, work.remedy, work.course, work.doses, tuple(lines), work.cautions,
                   work.more_cautions, tuple((code, remedy_name(code)) for code in remedies))
