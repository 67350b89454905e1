"""A field sheet into events: good rows kept, bad ones named and set aside, the same sheet twice changing nothing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields, replace
from datetime import UTC, datetime
from pathlib import Path

from rootcase.fieldbook.events import Body, Event, PropertyOpened, ReadingCorrected, ReadingTaken, plain_body
from rootcase.fieldbook.intake.agreements import doubt_disagreements
from rootcase.fieldbook.intake.desk import Desk, Line
from rootcase.fieldbook.intake.faults import Fault, PageRefused
from rootcase.fieldbook.intake.grid import Page, folded, read_pages
from rootcase.fieldbook.intake.layout import PAGES, Layout, columns_of, layout_of
from rootcase.fieldbook.intake.named import is_named, named_id
from rootcase.fieldbook.intake.prices import take_prices
from rootcase.fieldbook.intake.profiles import take_covers, take_general, take_outlines, take_shoots
from rootcase.fieldbook.intake.property_page import property_facts, property_name, take_contacts
from rootcase.fieldbook.intake.rejects import write_rejects
from rootcase.fieldbook.intake.subjects import take_subjects
from rootcase.fieldbook.intake.weather import read_weather
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.store import WeatherDay, Writing
from rootcase.fieldbook.view import heads, said
from rootcase.ground.errors import FileError
from rootcase.ground.words import say
from rootcase.tables.readings import kinds

_TAKING: Mapping[str, Callable[[list[Line]], None]] = {
    "places": take_subjects, "outlines": take_outlines, "visits": take_subjects, "trees": take_subjects,
    "shoots": take_shoots, "covers": take_covers, "pits": take_subjects, "samples": take_subjects,
    "readings": take_general, "contacts": take_contacts}
_UNNAMED = ("readings",)
"""Pages whose first column, the visit, need not be there."""
_LEFT_OUT = ("outlines", "prices", "contacts")
"""Pages that hold no readings, so a column of one's own has nothing to be kept at."""


@dataclass(frozen=True, slots=True)
class ImportResult:
    """What an import did."""

    property_id: str
    property_name: str
    new: int
    """Things, readings and prices that were not there."""
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


def import_sheet(store: Store, path: Path, *, now: datetime, device: str, property_id: str | None = None,
                 rejects: Path | None = None) -> ImportResult:
    """Take in a field sheet in one turn: either all that is good in it is there afterwards, or none of it."""
    pages = read_pages(path)
    no_pages = (folded(say("template.first_page")), folded(say("template.choices_page")))
    known = [(layout_of(page), page) for page in pages if folded(page.name) not in no_pages]
    with store.writing() as turn:
        desk, events = _desk(turn, store.practice_id, known, property_id, path, now)
        prices: dict[str, Body] = {}
        weather: list[WeatherDay] = []
        for layout in PAGES.values():
            for page in (page for found, page in known if found is layout and page.rows):
                if layout.name == "weather":
                    weather += _weather(desk, page)
                elif layout.name == "prices":
                    prices |= take_prices(_lines(desk, page, layout))
                elif layout.name in _TAKING and (lines := _lines(desk, page, layout)):
                    _TAKING[layout.name](lines)
        doubt_disagreements(desk.drafts)
        made_at = now.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
        own, own_same = _plan(desk.drafts, events, store.practice_id, desk.property_id, made_at, device)
        book, book_same = _plan(prices, turn.events(""), store.practice_id, "", made_at, device)
        turn.add([*own, *book])
        contacts = turn.keep_contacts(desk.contacts)
        days = sum(turn.keep_weather(desk.facts.weather_station, weather)) if weather else 0
    added = [*own, *book]
    corrections = sum(event.body.supersedes is not None for event in added)
    desk.told += _doubts(own)
    set_aside = _set_aside(desk, path, [page for _, page in known], rejects)
    return ImportResult(
        desk.property_id, desk.facts.name, len(added) - corrections, own_same + book_same, corrections,
        tuple(desk.faults), set_aside, tuple(desk.told), tuple(dict.fromkeys(desk.unknown)),
        tuple(page.name for layout, page in known if layout is None),
        contacts, days)


def _desk(turn: Writing, practice_id: str, known: Iterable[tuple[Layout | None, Page]], property_id: str | None,
          path: Path, now: datetime) -> tuple[Desk, list[Event]]:
    """A desk for the property the sheet is about, with what is known of it laid out."""
    page = next((page for layout, page in known if layout is PAGES["property"]), None)
    facts = {each: _facts(opened) for each, opened in turn.properties().items()}
    if page is not None and facts and not property_name(page):
        page = None  # the template's page, not filled in
    if property_id is None and page is not None:
        named = [each for each, held in facts.items() if folded(held.name) == folded(property_name(page))]
        property_id = named[0] if named else named_id(practice_id, "property", folded(property_name(page)))
    elif property_id is None:
        if len(facts) != 1:
            raise FileError(say("intake.which_property"), where=str(path), right=say("intake.right_which_property"))
        property_id = next(iter(facts))
    held_facts = facts.get(property_id)
    slot = held_facts.slot if held_facts else named_id(practice_id, property_id, "slot", "property")
    if page is not None:
        held_facts = property_facts(page, slot, held_facts)
    if held_facts is None:
        raise FileError(say("fieldbook.no_such_property"), value=property_id)
    desk = Desk(practice_id, property_id, held_facts, now.date())
    events = turn.events(property_id)
    desk.know(heads(events))
    if page is not None:
        desk.draft(held_facts)
    return desk, events


def _facts(opened: list[Event]) -> PropertyOpened:
    return next(head.event.body for head in heads(opened).values() if isinstance(head.event.body, PropertyOpened))


def _lines(desk: Desk, page: Page, layout: Layout) -> list[Line]:
    columns = columns_of(page, layout)
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
    """The doubts of what is new, each once, with the first row it stands in."""
    rows: dict[str, list[str]] = defaultdict(list)
    for body in (event.body for event in added):
        if isinstance(body, ReadingTaken):
            label = kinds()[body.kind].label if body.kind in kinds() else body.kind
            for doubt in body.doubts:
                rows[doubt if label in doubt else say("intake.doubt", kind=label, doubt=doubt)].append(body.source)
    return [f"{first}: {doubt}" + (say("intake.more_rows", count=len(more)) if more else "")
            for doubt, (first, *more) in ((doubt, dict.fromkeys(found)) for doubt, found in rows.items())]


def _set_aside(desk: Desk, path: Path, pages: list[Page], wanted: Path | None) -> Path | None:
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


def _plan(drafts: Mapping[str, Body], events: Iterable[Event], practice_id: str, property_id: str, made_at: str,
          device: str) -> tuple[list[Event], int]:
    """The events that are needed, and how many drafts say what an import has said before.

    A draft is held against the last *import* of its slot, not against what stands there: a value that somebody has put
    right by hand is not turned back by the same old sheet.
    """
    events = list(events)
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
        an_id = named_id(practice_id, property_id, body.KIND, plain_body(body))
        needed.append(Event(an_id, practice_id, property_id, made_at, device, body))
    return needed, len(drafts) - len(needed)
