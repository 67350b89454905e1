"""The phone: what it is sent, that everything works at a tree without signal, and no more than its jobs need."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import UTC, datetime

from rootcase.fieldbook.events import Event
from rootcase.fieldbook.field_readings import field_readings
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.view import heads
from rootcase.records.field import FieldContact, FieldGround, JobSheet, JobWork, PutOn
from rootcase.records.observe import PropertyRecord, System
from rootcase.records.offer import SignedPlan
from rootcase.records.prescribe import PlanItem
from rootcase.report.text.doses import beside
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.signed import signature
from rootcase.report.text.signed_paper import Work, signed_paper
from rootcase.services.case import CaseFile

GATE = "gate code"
"""Role of the contact whose name is the code of the property's gate: it stands outside the events and can be erased."""
See = Callable[[PropertyRecord], PropertyRecord]


def field_ground(fieldbook: Fieldbook, file: CaseFile, system: System, now: datetime, *, see: See,
                 stop: bool) -> FieldGround:
    """A property for a phone. see: takes out what its person may not see; stop: whether they stop there today."""
    record = see(replace(file.record, property=replace(file.record.property, system=system)))
    with fieldbook.store.reading() as look:
        events = look.events(record.property.id)
    people = fieldbook.contacts(record.property.id) if stop else ()
    return FieldGround(
        see(file.record).property, record.places, record.trees, record.pits, record.samples, record.visits,
        field_readings(events, record.readings), record.yardsticks, record.compared_with, record.lines,
        record.keep_off, file.wanted, job_sheet(file.signed, record) if file.signed else None, put_on_of(events),
        tuple(FieldContact(each.role, each.name, each.phone) for each in people if each.role != GATE),
        next((each.name for each in people if each.role == GATE), ""), written(now.astimezone(UTC)))


def job_sheet(plan: SignedPlan, record: PropertyRecord) -> JobSheet:
    """The day's paper of a signed plan: what, how much, where, and what to look out for; no money."""
    paper = signed_paper(plan, record)
    work = tuple(_work(each, item, record) for each, item in zip(paper.work, plan.signing.plan.items, strict=True))
    return JobSheet(plan.mark, signature(plan), work, paper.alone,
                    tuple((trial.doubt, *trial.pairs) for trial in paper.trials))


def put_on_of(events: Iterable[Event]) -> tuple[PutOn, ...]:
    """What was put on at a property as it stands, newest first."""
    told = [(head.event, head.event.body) for head in heads(events).values()]
    found = [(event.made_at, PutOn(event.id, body.tree, body.plan, body.remedy, body.day, body.by, body.amount,
                                   body.area, body.not_done, body.note))
             for event, body in told if isinstance(body, PutOnLogged)]
    return tuple(each for _, each in sorted(found, key=lambda one: (one[1].day, one[0], one[1].id), reverse=True))


def _work(work: Work, item: PlanItem, record: PropertyRecord) -> JobWork:
    lines = dict.fromkeys(line for step in item.steps for line in beside(step.dose, record.property.system))
    remedies = dict.fromkeys(step.remedy for step in item.steps) or item.remedy.split("+")
    return JobWork(work.tree_id, work.tree, work.remedy, work.course, work.doses, tuple(lines), work.cautions,
                   work.more_cautions, tuple((code, remedy_name(code)) for code in remedies))
