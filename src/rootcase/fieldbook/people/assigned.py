"""Who goes where: only these properties are sent to a person's phone."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import delete, insert, select

from rootcase.fieldbook.people.register import person
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.door import assignments
from rootcase.ground.errors import ImpossibleValue
from rootcase.ground.words import say
from rootcase.records.people import Assignment


def assign(store: Store, property_id: str, code: str, day: date | None, *, by: str, now: datetime) -> None:
    """Let somebody go to a property, on a day or on any; said twice it is so once."""
    whose = person(store, code)
    if whose.ended is not None:
        raise ImpossibleValue(say("people.has_left"), where=say("people.field.code"), value=whose.code)
    wanted = Assignment(property_id, whose.code, day, by)
    with store.whole_file(writes=True) as file:
        file.execute(delete(assignments).where(*_is(store, wanted)))
        file.execute(insert(assignments).values(
            practice_id=store.practice_id, property_id=property_id, code=whose.code, day=_day(day), by=by,
            made_at=written(now)))


def unassign(store: Store, gone: Assignment) -> None:
    """Somebody does not go there; what is not there is not missed."""
    with store.whole_file(writes=True) as file:
        file.execute(delete(assignments).where(*_is(store, gone)))


def assignments_of(store: Store) -> tuple[Assignment, ...]:
    """Everybody's, by property, day and code."""
    asked = select(assignments).where(assignments.c.practice_id == store.practice_id).order_by(
        assignments.c.property_id, assignments.c.day, assignments.c.code)
    with store.whole_file() as file:
        return tuple(Assignment(row.property_id, row.code, date.fromisoformat(row.day) if row.day else None, row.by)
                     for row in file.execute(asked))


def _is(store: Store, one: Assignment) -> tuple[bool, ...]:
    return (assignments.c.practice_id == store.practice_id, assignments.c.property_id == one.property_id,
            assignments.c.code == one.code, assignments.c.day == _day(one.day))  # type: ignore[return-value]


def _day(day: date | None) -> str:
    return day.isoformat() if day else ""
