"""Readings typed into a form at the desk or at a tree: rows of the field sheet's pages, by the field sheet's own rules.

What is good is kept at once, what is refused is named by its row; the same form sent again keeps nothing twice, and
what was typed otherwise in it takes the place of what it said before.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from pathlib import Path

from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event, PitOpened, ReadingCorrected, ReadingTaken, SampleOpened, VisitStarted
from rootcase.fieldbook.intake.desk import Desk, Line
from rootcase.fieldbook.intake.doubts.adding import add_doubts
from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.grid import Cell, Page, Row
from rootcase.fieldbook.intake.importer import TAKING, facts_of
from rootcase.fieldbook.intake.layout import PAGES, columns_of
from rootcase.fieldbook.intake.pictures import keep_pictures, lay_pictures
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.store.store import Store
from rootcase.fieldbook.view import Head, heads, said
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.records.people import Bounds
from rootcase.tables.readings import kinds

Rows = Mapping[str, Sequence[Mapping[str, str]]]
"""By page of the field sheet: each row's cells by column."""


@dataclass(frozen=True, slots=True)
class Filled:
    """A form as it was sent."""

    mark: str
    """Of this form, however often it is sent."""
    rows: Rows
    system: System
    """Of numbers without a unit, as the form showed it."""
    folder: Path | None = None
    """Where the pictures are that cells name."""
    came_by: str = ""
    """Where its readings come from, in words; empty: they were typed."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of a form."""

    kept: int
    faults: tuple[Fault, ...]


@dataclass(frozen=True, slots=True)
class Forms:
    """Takes forms into a fieldbook."""

    store: Store
    photos: Photos
    event: Callable[[Event, Body], Event]
    """A new event beside one of the same property."""
    today: Callable[[], date]
    within: Bounds
    """What whoever sends them may tell."""

    def take(self, property_id: str, filled: Filled, *, by: str) -> Taken:
        """Keep what is good in a form. by: a code of who sends it; it stands beside the device."""
        with self.store.writing() as turn:
            events = turn.events(property_id)
            if not events:
                raise Missing(say("fieldbook.no_such_property"), value=property_id)
            standing = heads(events)
            facts = replace(facts_of(events), system=filled.system)
            desk = Desk(self.store.practice_id, property_id, facts, self.today(), folder=filled.folder,
                        within=self.within)
            desk.know(standing)
            _read(desk, filled.rows)
            _lay_photos(desk)
            add_doubts(desk.drafts, standing)
            bodies = list(_changed(desk.drafts, standing, filled))
            new = [replace(event, device=f"{event.device} {by}".strip())
                   for event in (self.event(events[0], body) for body in bodies)]
            keep_pictures(desk.pictures, self.photos)
            turn.add(new)
        return Taken(sum(isinstance(body, ReadingTaken) for body in bodies), tuple(desk.faults))


def _read(desk: Desk, rows: Rows) -> None:
    for name, layout in PAGES.items():
        if not rows.get(name):
            continue
        header = tuple(dict.fromkeys(column for row in rows[name] for column in row))
        page = Page(name, "", header, ("",) * len(header), tuple(
            Row(number, tuple(Cell(row.get(column, "").strip()) for column in header))
            for number, row in enumerate(rows[name], 1)))
        columns = columns_of(page, layout)
        TAKING[name]([Line(desk, page, layout, columns, row) for row in page.rows])


def _lay_photos(desk: Desk) -> None:
    """Lay the photos on the desk; a file that is none is refused, since whoever sent it is still there."""
    lay_pictures(desk)
    for slot, draft in list(desk.drafts.items()):
        if isinstance(draft, ReadingTaken) and draft.kind in kinds() and kinds()[draft.kind].value_type == "photo" and (
                draft.choice and "photo" not in draft.attributes):
            del desk.drafts[slot]
            page = next(name for name, layout in PAGES.items() if layout.of == kinds()[draft.kind].of)
            desk.faults.append(Fault(page, 1, draft.kind, "", draft.doubts[-1]))


def _changed(drafts: Mapping[str, Body], standing: Mapping[str, Head], filled: Filled) -> Iterator[Body]:
    """What is new or other than what stands; a pit, a sample or a visit only where something was read at it."""
    read = [draft for draft in drafts.values() if isinstance(draft, ReadingTaken)]
    spoken = {each for draft in read for each in (draft.of, draft.visit)}
    source = filled.came_by or say("read.source", mark=filled.mark)
    anew = say("photos.anew") if filled.came_by else say("read.typed_anew")
    for slot, draft in drafts.items():
        if isinstance(draft, PitOpened | SampleOpened | VisitStarted) and not spoken.intersection(
                getattr(draft, name, "") for name in ("pit", "sample", "visit")):
            continue
        body = replace(draft, source=source) if isinstance(draft, ReadingTaken) else draft
        if slot not in standing:
            yield body
        elif said(standing[slot].event.body) != said(draft):
            yield _instead(body, standing[slot], anew)


def _instead(body: Body, head: Head, reason: str) -> Body:
    """What takes the place of what stands."""
    if not isinstance(body, ReadingTaken):
        return replace(body, supersedes=head.event.id)
    kept = {each.name: getattr(body, each.name) for each in fields(ReadingTaken)}
    return ReadingCorrected(**(kept | {"supersedes": head.event.id}), reason=reason)
