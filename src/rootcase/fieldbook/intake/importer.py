"""A field sheet into events: good rows kept, bad ones named and set aside, the same sheet twice changing nothing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import datetime
from itertools import count
from pathlib import Path

from rootcase.fieldbook.events import (
    Body,
    Event,
    PropertyOpened,
    ReadingCorrected,
    ReadingTaken,
    SheetImported,
)
from rootcase.fieldbook.intake.desk import Desk, Line
from rootcase.fieldbook.intake.doubts.adding import add_doubts
from rootcase.fieldbook.intake.faults import Fault, PageRefused
from rootcase.fieldbook.intake.grid import Cell, Page, as_text, folded, read_pages
from rootcase.fieldbook.intake.layout import PAGES, Column, Layout, columns_of, layout_of
from rootcase.fieldbook.intake.named import is_named, named_id
from rootcase.fieldbook.intake.pictures import keep_pictures, lay_pictures
from rootcase.fieldbook.intake.practice import take_practice
from rootcase.fieldbook.intake.prices import take_prices
from rootcase.fieldbook.intake.profiles import take_covers, take_general, take_outlines, take_shoots
from rootcase.fieldbook.intake.property_page import property_facts, property_name, take_contacts
from rootcase.fieldbook.intake.property_place import far_off, hold_place, require_place
from rootcase.fieldbook.intake.rejects import write_rejects
from rootcase.fieldbook.intake.rules import take_rules
from rootcase.fieldbook.intake.subjects import take_subjects
from rootcase.fieldbook.intake.weather import beside_held, read_weather
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.plain import plain_body
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.store import Reading, Writing
from rootcase.fieldbook.store.weather import WeatherDay
from rootcase.fieldbook.undone import without_undone
from rootcase.fieldbook.view import Head, heads, said
from rootcase.ground.errors import FileError
from rootcase.ground.words import say
from rootcase.records.people import UNBOUND, Bounds
from rootcase.tables.readings import kinds

TAKING: Mapping[str, Callable[[list[Line]], None]] = {
    "places": take_subjects, "outlines": take_outlines, "visits": take_subjects, "trees": take_subjects,
    "shoots": take_shoots, "covers": take_covers, "pits": take_subjects, "samples": take_subjects,
    "readings": take_general, "contacts": take_contacts}
_UNNAMED = ("readings",)
"""Pages whose first column, the visit, need not be there."""
_DOUBTS_TOLD = 10
"""Of one kind of reading: a sheet read on another scale throughout has hundreds, and the list of readings has all."""
_NO_FACTS = ("slot", "supersedes", "source")
_LEFT_OUT = ("outlines", "prices", "rules", "practice", "contacts")
"""Pages that hold no readings, so a column of one's own has nothing to be kept at."""


@dataclass(frozen=True, slots=True)
class Part:
    """A page with the meaning of each of its columns."""

    layout: Layout
    page: Page
    columns: tuple[Column, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """A reading, or a fact of a thing, that a newer sheet has otherwise; the old one stays in the events."""

    source: str
    kind: str
    old: str
    """As typed; empty where it had been taken back."""
    new: str


Written = Mapping[tuple[str, int, str], str]
"""By page, row and column, or the cell's text in quotation marks: what is read in the place of what it holds."""


@dataclass(frozen=True, slots=True)
class Plan:
    """What an import would do; nothing of it is kept yet."""

    desk: Desk
    events: list[Event]
    """What is not there yet, of the property and of the practice's prices and rules."""
    same: int
    weather: list[WeatherDay]
    doubts: tuple[str, ...]
    """What is asked about the values that are new; it weighs more than what `desk.told` remarks."""
    changes: tuple[Change, ...] = ()

    @property
    def corrected(self) -> int:
        """Values that differ from what an earlier import gave; the old ones stay in the events."""
        return sum(event.body.supersedes is not None for event in self.events)


@dataclass(frozen=True, slots=True)
class ImportResult:
    """What an import did."""

    property_id: str
    property_name: str
    new: int
    """Things, readings, prices and rules that were not there."""
    same: int
    corrected: int
    """Values that differ from what an earlier import gave; the old ones stay in the events."""
    faults: tuple[Fault, ...]
    rejects_path: Path | None
    """Where the rows at fault are, to be mended and imported again."""
    told: tuple[str, ...]
    """How unclear texts were read."""
    unknown_columns: tuple[str, ...]
    """Columns that are none of ours; kept as text."""
    unknown_pages: tuple[str, ...]
    """Pages that are none of ours; left alone."""
    contacts: int
    weather_days: int
    changes: tuple[Change, ...] = ()


def import_sheet(store: Store, photos: Photos, path: Path, *, now: datetime, device: str,
                 property_id: str | None = None, rejects: Path | None = None, written: Written | None = None,
                 keep: bool = True, only: Sequence[str] = (), within: Bounds = UNBOUND,
                 by: str = "") -> ImportResult:
    """Take in a field sheet in one turn: either all that is good in it is there afterwards, or none of it.

    written: cells that were mended since the file was made; keep: False only says what would come of it.
    """
    pages = [_mended(page, written or {}) for page in read_pages(path)]
    no_pages = (folded(say("template.first_page")), folded(say("template.choices_page")))
    known = [(layout_of(page), page) for page in pages if folded(page.name) not in no_pages]
    known = [(layout if not only or (layout and layout.name in only) else None, page) for layout, page in known]
    parts = [Part(layout, page, tuple(columns_of(page, layout))) for layout, page in known if layout]
    with store.writing() if keep else store.reading() as turn:
        desk = _desk_of_sheet(turn, store.practice_id, parts, property_id, path, now)
        desk.folder, desk.within, desk.by = path if path.is_dir() else path.parent, within, by
        plan = plan_import(turn, desk, parts, now, device)
        contacts, days = len(desk.contacts), len(plan.weather)
        if isinstance(turn, Writing):
            keep_pictures(desk.pictures, photos)
            contacts, days = keep_import(turn, plan, path.name, now, device)
    set_aside = set_rows_aside(desk, path, [page for _, page in known], rejects) if keep else None
    return ImportResult(
        desk.property_id, desk.facts.name, len(plan.events) - plan.corrected, plan.same, plan.corrected,
        tuple(desk.faults), set_aside, (*plan.doubts, *desk.told), tuple(dict.fromkeys(desk.unknown)),
        tuple(page.name for layout, page in known if layout is None), contacts, days, plan.changes)


def _mended(page: Page, written: Written) -> Page:
    """A page with what was written in the place of some cells."""
    texts = {(row, column if column.startswith('"') else folded(column)): Cell(text)
             for (name, row, column), text in written.items() if name == page.name}
    if not texts:
        return page
    header = [folded(each) for each in page.header]
    rows = [replace(row, cells=tuple(
        texts.get((row.number, column)) or texts.get((row.number, f'"{cell.text}"')) or cell
        for column, cell in zip(header, row.cells, strict=False))) for row in page.rows]
    return replace(page, rows=tuple(rows))


def plan_import(look: Reading, desk: Desk, parts: Sequence[Part], now: datetime, device: str) -> Plan:
    """Read the pages on a desk that knows the property, and say what they would change; nothing is written."""
    events = look.events(desk.property_id)
    standing = heads(events)
    desk.know(standing)
    practice: dict[str, Body] = {}
    weather: list[WeatherDay] = []
    for layout in PAGES.values():
        for part in (part for part in parts if part.layout is layout and part.page.rows):
            if layout.name == "weather":
                weather += _weather(desk, part.page)
            elif layout.name == "prices":
                practice |= take_prices(_lines(desk, part))
            elif layout.name == "rules":
                practice |= take_rules(_lines(desk, part))
            elif layout.name == "practice":
                practice |= take_practice(_lines(desk, part))
            elif layout.name in TAKING and (lines := _lines(desk, part)):
                TAKING[layout.name](lines)
    lay_pictures(desk)
    lacking = add_doubts(desk.drafts, standing)
    made_at = written(now)
    own, own_same = _needed(desk.drafts, events, desk.practice_id, desk.property_id, made_at, device)
    book, book_same = _needed(practice, look.events(""), desk.practice_id, "", made_at, device)
    desk.told += lacking
    changes = _changes(own, standing) + _changes(book, heads(look.events("")))
    return Plan(desk, [*own, *book], own_same + book_same, weather, tuple(_doubts(own)), changes)


def _changes(added: Iterable[Event], standing: Mapping[str, Head]) -> tuple[Change, ...]:
    """Which readings, and which facts of things, would give way, and to what."""
    return tuple(change for event in added if event.body.slot in standing
                 for change in _change(event.body, standing[event.body.slot].event.body))


def _change(body: Body, before: Body) -> Iterator[Change]:
    """What a reading was typed as; of any other thing each of its facts that differs."""
    if isinstance(body, ReadingTaken):
        yield Change(body.source, _label(body.kind), getattr(before, "typed", ""), body.typed)
        return
    name = str(getattr(body, "label", getattr(body, "name", getattr(body, "item", body.KIND))))
    for each in fields(body):
        old, new = (getattr(one, each.name, "") for one in (before, body))
        if old != new and each.name not in _NO_FACTS:
            yield Change(name, each.name.replace("_", " "), str(old), str(new))


def _label(kind: str) -> str:
    return kinds()[kind].label if kind in kinds() else kind


def keep_import(turn: Writing, plan: Plan, file: str, now: datetime, device: str) -> tuple[int, int]:
    """Write what was planned, with a note that it came in as one; returns the contacts and days of weather kept."""
    desk = plan.desk
    if plan.events:
        slot = named_id(desk.practice_id, desk.property_id, "import", *(event.id for event in plan.events))
        turn.add(plan.events)
        turn.add([_note(plan, slot, property_id, as_text(file), written(now), device)
                  for property_id in dict.fromkeys(event.property_id for event in plan.events)])
    contacts = turn.keep_contacts(desk.contacts)
    station = desk.facts.weather_station
    days = beside_held(turn.weather(station), plan.weather) if plan.weather else []
    return contacts, sum(turn.keep_weather(station, days))


def _note(plan: Plan, slot: str, property_id: str, file: str, made_at: str, device: str) -> Event:
    ids = tuple(event.id for event in plan.events if event.property_id == property_id)
    body = SheetImported(slot=slot, file=file, events=ids)
    an_id = named_id(plan.desk.practice_id, property_id, body.KIND, plain_body(body))
    return Event(an_id, plan.desk.practice_id, property_id, made_at, device, body)


def _desk_of_sheet(look: Reading, practice_id: str, parts: Iterable[Part], property_id: str | None, path: Path,
                   now: datetime) -> Desk:
    """A desk for the property that a field sheet is about."""
    page = next((part.page for part in parts if part.layout is PAGES["property"]), None)
    facts = {each: facts_of(opened) for each, opened in look.properties().items()}
    if page is not None and facts and not property_name(page):
        page = None  # the template's page, not filled in
    if property_id is None and page is not None:
        property_id = id_of_property(practice_id, property_name(page), facts)
    elif property_id is None:
        if len(facts) != 1:
            raise FileError(say("intake.which_property"), where=str(path), right=say("intake.right_which_property"))
        property_id = next(iter(facts))
    held_facts = facts.get(property_id)
    if page is not None:
        held_facts = property_facts(page, slot_of_property(practice_id, property_id, held_facts), held_facts)
    if held_facts is None:
        raise FileError(say("fieldbook.no_such_property"), value=property_id)
    desk = Desk(practice_id, property_id, held_facts, now.date())
    if page is not None:
        require_place(page, held_facts)
        if property_id in facts:
            hold_place(desk, page, facts[property_id], heads(look.events(property_id)))
        elif far := far_off(
                (held_facts.latitude_deg, held_facts.longitude_deg), facts.values(), held_facts.system):
            desk.told.append(far)
        desk.draft(desk.facts)
    return desk


def id_of_property(practice_id: str, name: str, facts: Mapping[str, PropertyOpened]) -> str:
    """Id of the property of this name: the one it has, else one made of the name."""
    named = [each for each, held in facts.items() if folded(held.name) == folded(name)]
    return named[0] if named else named_id(practice_id, "property", folded(name))


def slot_of_property(practice_id: str, property_id: str, held: PropertyOpened | None) -> str:
    return held.slot if held else named_id(practice_id, property_id, "slot", "property")


def facts_of(opened: Iterable[Event]) -> PropertyOpened:
    """What stands of a property itself."""
    return next(head.event.body for head in heads(opened).values() if isinstance(head.event.body, PropertyOpened))


def _lines(desk: Desk, part: Part) -> list[Line]:
    layout, page, columns = part.layout, part.page, list(part.columns)
    named = layout.columns[0]
    if layout.name not in _UNNAMED and not any((column.role, column.name) == ("fixed", named) for column in columns):
        desk.faults.append(Fault(page.name, 1, "", "", say("intake.no_column", column=named),
                                 say("intake.right_column")))
        desk.bad_rows[page.name] = dict.fromkeys((row.number for row in page.rows), "")
        return []
    own = [f"{page.name}: {column.header}" for column in columns if column.role == "own"]
    if layout.name in _LEFT_OUT:
        desk.told += [say("intake.left_out", column=column) for column in own]
    else:
        desk.unknown += own
    return [Line(desk, page, layout, columns, row) for row in page.rows]


def _doubts(added: Iterable[Event]) -> list[str]:
    """The doubts of what is new, each once, with the first row it stands in; of one kind no more than can be read."""
    rows: dict[str, list[str]] = defaultdict(list)
    labels: dict[str, str] = {}
    for body in (event.body for event in added):
        if isinstance(body, ReadingTaken):
            label = _label(body.kind)
            for doubt in body.doubts:
                told = doubt if label in doubt else say("intake.doubt", kind=label, doubt=doubt)
                rows[told].append(body.source)
                labels.setdefault(told, label)
    by_label: dict[str, list[str]] = defaultdict(list)
    for doubt, (first, *more) in ((doubt, dict.fromkeys(found)) for doubt, found in rows.items()):
        by_label[labels[doubt]].append(
            f"{first}: {doubt}" + (say("intake.more_rows", count=len(more)) if more else ""))
    return [line for label, lines in by_label.items() for line in (*lines[:_DOUBTS_TOLD], *(
        [say("doubts.more_of_kind", kind=label, count=len(lines) - _DOUBTS_TOLD)] if lines[_DOUBTS_TOLD:] else []))]


def set_rows_aside(desk: Desk, path: Path, pages: list[Page], wanted: Path | None) -> Path | None:
    """Where the rows at fault are; what is good has been kept by now, so a full disk is told and nothing more."""
    try:
        return write_rejects(path, pages, desk.bad_rows, desk.faults, desk.facts.name, wanted)
    except OSError as error:
        desk.told.append(say("intake.not_set_aside", file=error.filename, reason=error.strerror))
        return None


def _weather(desk: Desk, page: Page) -> list[WeatherDay]:
    try:
        days, faults = read_weather(page)
    except PageRefused as refused:
        desk.faults.append(refused.fault)
        return []
    desk.faults += faults
    return days


def _needed(drafts: Mapping[str, Body], events: Iterable[Event], practice_id: str, property_id: str, made_at: str,
          device: str) -> tuple[list[Event], int]:
    """The events that are needed, and how many drafts say what an import has said before.

    A draft is held against the last *import* of its slot, not against what stands there: a value that somebody has put
    right by hand is not turned back by the same old sheet.
    """
    everything = list(events)
    ids, events = {event.id for event in everything}, without_undone(everything)
    standing = heads(events)
    imported = {slot: head.event.body for slot, head in heads(e for e in events if is_named(e.id)).items()}
    needed: list[Event] = []
    for slot, draft in drafts.items():
        if slot in imported and said(imported[slot]) == said(draft):
            continue
        body = replace(draft, supersedes=standing[slot].event.id) if slot in standing else draft
        if body.supersedes and isinstance(body, ReadingTaken):
            kept = {each.name: getattr(body, each.name) for each in fields(ReadingTaken)}
            body = ReadingCorrected(**kept, reason=say("intake.sheet_changed"))
        names = (practice_id, property_id, body.KIND, plain_body(body))
        # The same was said by an import that was undone, and that event stays silent.
        an_id = next(an_id for n in count() if (an_id := named_id(*names, *((n,) if n else ()))) not in ids)
        needed.append(Event(an_id, practice_id, property_id, made_at, device, body))
    return needed, len(drafts) - len(needed)
