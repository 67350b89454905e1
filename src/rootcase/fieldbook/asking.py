"""What the client is asked and answers at the desk: wishes, money, hours; by the field sheet's own rules.

An answer goes the way of a sheet's row, with its day and who asked. It takes the place of another of the same day; what
was answered on an earlier day stays in the record, and the newest holds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event, ReadingCorrected, ReadingTaken, ReadingTakenBack
from rootcase.fieldbook.intake.desk import Desk, Line
from rootcase.fieldbook.intake.grid import Cell, Page, Row
from rootcase.fieldbook.intake.importer import facts_of
from rootcase.fieldbook.intake.layout import PAGES, columns_of
from rootcase.fieldbook.intake.profiles import take_general
from rootcase.fieldbook.intake.subjects import take_subjects
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.view import Head, heads, said, view
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord


@dataclass(frozen=True, slots=True)
class Answered:
    """One answer as it was typed."""

    place_id: str
    kind: str
    typed: str
    """Empty: no such wish, or no such ceiling, any more; every answer of that kind at the place is taken back."""


class Asking:
    """The client's answers at the places of a property."""

    def __init__(self, store: Store, event: Callable[[Event, Body], Event]) -> None:
        self._store, self._event = store, event

    def tell(self, property_id: str, answers: Sequence[Answered], *, by: str, day: date) -> dict[tuple[str, str], str]:
        """Keep all of these answers, or none; returns what is wrong by place and kind. by: a code, as of a reader."""
        with self._store.writing() as turn:
            events = turn.events(property_id)
            if not events:
                raise Missing(say("fieldbook.no_such_property"), value=property_id)
            given = [each for each in answers if each.typed.strip()]
            standing, record = heads(events), view(events)
            desk = Desk(self._store.practice_id, property_id, facts_of(events), day)
            desk.know(standing)
            _read(desk, record, given, by, day)
            if desk.faults:
                return {(given[fault.row - 1].place_id, given[fault.row - 1].kind): fault.what if not fault.right else
                        f"{fault.what}; {fault.right}" for fault in desk.faults}
            bodies = [*_in_place(desk.drafts.values(), standing, record, day),
                      *_unsaid([each for each in answers if not each.typed.strip()], standing, record, by)]
            turn.add([self._event(events[0], body) for body in bodies])
        return {}


def _read(desk: Desk, record: PropertyRecord, answers: Sequence[Answered], by: str, day: date) -> None:
    """Draft the visit and its readings as the pages of a field sheet."""
    if not answers:
        return
    visit, names = say("plans.asked_visit", day=day.isoformat(), by=by), {each.id: each.name for each in record.places}
    take_subjects(_lines(desk, "visits", [{"visit": visit, "date": day.isoformat(), "observer": by}]))
    take_general(_lines(desk, "readings", [
        {"visit": visit, "of": "place", "name": names.get(each.place_id, ""), "kind": each.kind,
         "value": each.typed.strip()} for each in answers]))


def _lines(desk: Desk, page: str, rows: Sequence[Mapping[str, str]]) -> list[Line]:
    layout, header = PAGES[page], tuple(rows[0])
    sheet = Page(page, f"{page}.csv", header, ("",) * len(header), tuple(
        Row(number, tuple(Cell(row[column]) for column in header)) for number, row in enumerate(rows, 1)))
    columns = columns_of(sheet, layout)
    return [Line(desk, sheet, layout, columns, row) for row in sheet.rows]


def _in_place(drafts: Iterable[Body], standing: Mapping[str, Head], record: PropertyRecord,
              day: date) -> Iterator[Body]:
    """What is new; an answer goes into the place of one of the same day: no two of a day contradict each other."""
    slots = {head.event.id: slot for slot, head in standing.items()}
    for draft in drafts:
        if not isinstance(draft, ReadingTaken):
            if draft.slot not in standing:
                yield draft
            continue
        before = [slots[reading.id] for reading in record.of(draft.of, kind=draft.kind) if reading.day == day]
        body = replace(draft, slot=before[-1] if before else draft.slot, source=say("plans.asked_source"))
        head = standing.get(body.slot)
        if head is None:
            yield body
        elif said(head.event.body) != said(replace(body, visit=getattr(head.event.body, "visit", ""))):
            kept = {each.name: getattr(body, each.name) for each in fields(ReadingTaken)}
            yield ReadingCorrected(**kept | {"supersedes": head.event.id}, reason=say("plans.asked_again"))


def _unsaid(answers: Sequence[Answered], standing: Mapping[str, Head], record: PropertyRecord,
            by: str) -> Iterator[Body]:
    slots = {head.event.id: slot for slot, head in standing.items()}
    for each in answers:
        for reading in record.of(each.place_id, kind=each.kind):
            yield ReadingTakenBack(slot=slots[reading.id], supersedes=reading.id,
                                   reason=say("plans.asked_no_more", by=by))

