"""Apply: the notice for the people of a ground, of what is planned on a day and of what was put on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

from rootcase.casework.prescribe.rules import asked_of, rules_here
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.quantity import System
from rootcase.records.apply.notice import Notice
from rootcase.records.make.trace import Recall
from rootcase.records.observe import Property
from rootcase.report.text.recall import client_lines
from rootcase.services.recall import recalled_at
from rootcase.services.week import proposed, whole_week
from rootcase.services.week_known import MOST_DAYS, WEEK_DAYS, gather

_TOLD = ("notice", "post")
"""Topics of rules that ask for one."""


def notice_of(book: Fieldbook, ground: Property, day: date, today: date, results: Path, system: System) -> Notice:
    """What rounds lead to at a property on a day, and what is on record of that day."""
    record = book.record(ground.id)
    laws = tuple(rule for rule in rules_here(record) if rule.topic in _TOLD)
    done = tuple(each for each in book.recording.applications(ground.id) if each.day == day and not each.not_done)
    recalled = client_lines(_recalled(book, ground.id, day), ground.id) if any(each.load_id for each in done) else ()
    ahead = (day - today).days
    if not 0 <= ahead < MOST_DAYS:
        return Notice(practice=book.practice(), record=record, system=system, day=day, jobs=(), done=done,
                      recalled=recalled, rules=asked_of(laws, {one.remedy for one in done}))
    found = gather(book, today, max(WEEK_DAYS, ahead + 1))
    week = whole_week(found.known, proposed(found.known, results))
    there = [(bool(given.given_by), step) for given in week.rounds if given.day == day for step in given.steps
             if step.kind == "stop" and step.property_id == ground.id]
    is_given = any(by_somebody for by_somebody, _ in there)
    steps = [step for by_somebody, step in there if by_somebody == is_given]
    waiting = {each.job.id: each.job for each in found.known.waiting}
    jobs = dict.fromkeys(each for step in steps for each in step.job_ids if each in waiting)
    remedies = {*(waiting[each].remedy for each in jobs), *(one.remedy for one in done)}
    return Notice(practice=book.practice(), record=record, system=system, day=day, done=done,
                  proposed=bool(jobs) and not is_given, recalled=recalled,
                  jobs=tuple(waiting[each] for each in jobs), rules=asked_of(laws, remedies),
                  starts_min=min((step.starts_min for step in steps), default=None),
                  ends_min=max((step.ends_min for step in steps), default=None))


def _recalled(book: Fieldbook, property_id: str, day: date) -> Iterator[Recall]:
    """Batches called back, with what was put on of them there on that day alone."""
    for found in recalled_at(book, property_id):
        here = tuple(replace(each, applied=tuple(one for one in each.applied if one.day == day.isoformat()))
                     for each in found.properties if each.property_id == property_id)
        if any(each.applied for each in here):
            yield replace(found, properties=here)
