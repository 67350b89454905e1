"""Who goes to a property, and by which gate: what a phone is sent rests on it."""

from __future__ import annotations

from datetime import date, datetime

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.people.assigned import assign, assignments_of, unassign
from rootcase.fieldbook.store.store import Contact
from rootcase.ground.dates import read_date
from rootcase.ground.errors import Missing, OutOfRange, RootcaseError
from rootcase.ground.length import MOST_NAME, require_length
from rootcase.ground.words import say
from rootcase.records.observe import Property
from rootcase.records.people import Assignment

GATE = "gate code"
"""Role of the contact whose name is the code of the property's gate: it stands outside the events and can be erased."""


def goes_there(fieldbook: Fieldbook, ground: Property) -> tuple[Assignment, ...]:
    """Who goes to a property, by day; of any day first."""
    return tuple(each for each in assignments_of(fieldbook.store) if each.property_id == ground.id)


def send_there(fieldbook: Fieldbook, ground: Property, code: str, day: str, today: date, *, by: str,
               now: datetime) -> None:
    """Have somebody go to a property. day: as typed; empty: on any."""
    if not code.strip():
        raise Missing(say("people.nobody"), where=say("people.field.code"))
    when = _day(day)
    if when is not None and when < today:
        raise OutOfRange(say("phones.jobs.day_over"), where=say("phones.jobs.day"), value=day.strip(),
                         right=say("phones.jobs.day_right"))
    assign(fieldbook.store, ground.id, code, when, by=by, now=now)


def let_go(fieldbook: Fieldbook, ground: Property, code: str, day: str) -> None:
    """Somebody does not go there any more; what is on their phone goes with its next start."""
    unassign(fieldbook.store, Assignment(ground.id, code, _day(day), ""))


def gate_of(fieldbook: Fieldbook, ground: Property) -> str:
    """The code of the gate; empty where there is none."""
    return next((each.name for each in fieldbook.contacts(ground.id) if each.role == GATE), "")


def tell_gate(fieldbook: Fieldbook, ground: Property, code: str) -> None:
    """Keep the code of the gate, or erase it."""
    text = " ".join(code.split())
    require_length(text, MOST_NAME)
    for each in fieldbook.contacts(ground.id):
        if each.role == GATE:
            fieldbook.erase_contact(each.id)
    if text:
        an_id = named_id(fieldbook.store.practice_id, ground.id, "contact", GATE)
        with fieldbook.store.writing() as turn:
            turn.keep_contacts([Contact(an_id, ground.id, GATE, text)])


def _day(typed: str) -> date | None:
    if not typed.strip():
        return None
    try:
        return read_date(typed.strip(), None)
    except RootcaseError as error:
        raise type(error)(error.what, where=say("phones.jobs.day"), value=error.value, right=error.right) from None
