"""A list from the file to the fieldbook: what it would bring, and with `save` what it brought."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from rootcase.fieldbook.events import ReadingTaken, SampleOpened, TreeOpened
from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.grid import Cell, Grid, Page, Row, folded, read_grids, read_pages
from rootcase.fieldbook.intake.importer import Change, Plan, keep_import, plan_import
from rootcase.fieldbook.intake.lab.turned import turned
from rootcase.fieldbook.intake.layout import is_field_sheet
from rootcase.fieldbook.intake.lists.columns import Mapped, Theirs, map_columns
from rootcase.fieldbook.intake.lists.doubles import ask_apart
from rootcase.fieldbook.intake.lists.entries import named, not_known, read_entries
from rootcase.fieldbook.intake.lists.entry import Entries, Entry
from rootcase.fieldbook.intake.lists.facts import (
    Belongs,
    Question,
    belongs_said,
    checked_days,
    checked_grounds,
    desk_for,
    grounds_of,
    property_of,
    questions_of,
    system_of,
)
from rootcase.fieldbook.intake.lists.laboratory import without_limits
from rootcase.fieldbook.intake.lists.owners import name_owners
from rootcase.fieldbook.intake.lists.positions import Position, place_trees
from rootcase.fieldbook.intake.lists.table import LeftOut, Table, find_table, known_columns, upright
from rootcase.fieldbook.intake.lists.told import Line, Told, mapping_path, position_said, read_told, write_told
from rootcase.fieldbook.intake.lists.translate import parts_of
from rootcase.fieldbook.intake.lists.troubles import Group, Trouble, answered, grouped
from rootcase.fieldbook.intake.rejects import write_rejects
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.store import Reading, Writing
from rootcase.ground.errors import FileError, Missing
from rootcase.ground.words import say

_NAMED = 8
_ROUNDS = 3
"""How often rows that the desk refuses are taken out before the rest is planned again."""


@dataclass(frozen=True, slots=True)
class Counts:
    """What the ready rows are to the fieldbook."""

    new: int
    known: int
    changed_rows: tuple[int, ...]

    @property
    def changed(self) -> int:
        return len(self.changed_rows)


@dataclass(frozen=True, slots=True)
class Listing:
    """What a list is taken for, what is ready in it and what needs the person."""

    file: str
    sheet: str
    header_row: int
    other_sheets: tuple[str, ...]
    thing: str
    columns: tuple[Theirs, ...]
    left_out: tuple[LeftOut, ...]
    told: tuple[str, ...]
    questions: tuple[Question, ...]
    groups: tuple[Group, ...]
    ready: int
    waiting: int
    counts: Counts
    property_name: str
    belongs: str
    """Whose list it is taken for, in words."""
    currency: str
    """What the property is reckoned in: its own, said, or proposed as the only one the practice uses."""
    new_property: bool
    not_known: tuple[str, ...]
    """What the ready rows do not say of their trees, in words."""
    mapping_path: Path | None
    """Where what was said is kept; None for who cannot reach that file."""
    changes: tuple[Change, ...]
    """Readings of the ready rows that would not stay as they are."""
    saved: bool = False
    rejects_path: Path | None = None

    @property
    def needed(self) -> tuple[Question, ...]:
        """What has to be said before anything is kept."""
        return _needed(self.questions)


@dataclass(frozen=True, slots=True)
class _Prepared:
    table: Table
    mapped: Mapped
    entries: Entries
    belongs: Belongs
    origin: Position | None
    questions: tuple[Question, ...]
    plan: Plan
    counts: Counts
    other_sheets: tuple[str, ...]

    @property
    def groups(self) -> tuple[Group, ...]:
        return grouped(named(self.entries, self.mapped))


@dataclass(frozen=True, slots=True)
class Given:
    """What this run says beside the mapping file."""

    told: Told
    mends: tuple[tuple[str, str], ...] = ()
    """Number of a group as the last run showed it, and the answer."""
    mapping: Path | None = None
    save: bool = False
    rejects: Path | None = None


def import_list(store: Store, path: Path, given: Given, *, now: datetime, device: str) -> Listing:
    """Read a list with everything said about it so far; kept is only what is ready, and only where `save` is said."""
    mapping = given.mapping or mapping_path(path)
    told = read_told(mapping) if mapping.exists() or given.mapping else Told()
    grids = [turned(grid) or upright(grid) for grid in read_grids(path)]
    with store.writing() if given.save else store.reading() as look:
        if given.mends:
            groups = _prepare(look, store.practice_id, grids, told, path, now, device).groups
            for number, word in given.mends:
                told = answered(told, groups, number, word)
        told = joined(told, given.told)
        found = _prepare(look, store.practice_id, grids, told, path, now, device)
        unwritten = _write_told(mapping, told, found.mapped)
        saved = given.save and not _needed(found.questions) and bool(found.entries.ready())
        if isinstance(look, Writing) and saved:
            keep_import(look, found.plan, path.name, now, device)
    listing = _listing(found, mapping, unwritten)
    if not saved:
        return listing
    try:
        return replace(listing, saved=True, rejects_path=_set_aside(found, path, given.rejects))
    except OSError as error:  # what is good has been kept by now
        told = say("intake.not_set_aside", file=error.filename, reason=error.strerror)
        return replace(listing, saved=True, told=(*listing.told, told))


def _write_told(mapping: Path, told: Told, mapped: Mapped) -> tuple[str, ...]:
    """Keep what was said for the next run; a folder that may not be written stops no look."""
    decided = [Line(each.header, each.means, each.why) for each in mapped.columns]
    try:
        write_told(mapping, told, decided, mapping.stem.removesuffix(f"-{say('lists.mapping_name')}"))
    except OSError as error:
        return (say("lists.not_written", file=mapping, reason=error.strerror),)
    return ()


def is_list(path: Path) -> bool:
    """Whether a file is somebody's list and not our field sheet; a folder of CSVs is a field sheet."""
    return not path.is_dir() and not any(is_field_sheet(page) for page in read_pages(path))


def joined(told: Told, more: Told) -> Told:
    """What was said before with what is said now; the newer word wins."""
    plain = {name: getattr(more, name) or getattr(told, name)
             for name in ("sheet", "header_row", "matrix", "property_name", "at", "system", "station", "place",
                          "ground", "day", "currency")}
    tables = {name: {**getattr(told, name), **getattr(more, name)} for name in ("grounds", "columns", "days", "commas")}
    return Told(**plain, **tables, mends=told.mends)


def _prepare(look: Reading, practice_id: str, grids: Sequence[Grid], told: Told, path: Path, now: datetime,
             device: str) -> _Prepared:
    grid = _sheet(grids, told, path)
    table = without_limits(find_table(grid, told.header_row))
    belongs = property_of(look, practice_id, told)
    mapped = map_columns(table, told, system_of(told, belongs))
    entries = read_entries(table, mapped, told, now.date())
    if belongs.facts and not belongs.position and mapped.of("latitude"):
        raise Missing(say("lists.not_placed", name=belongs.name), right=say("services.say_where"))
    origin = place_trees(entries, mapped, told, belongs.position or position_said(told))
    ask_apart(entries, mapped, told)
    mapped = name_owners(entries, mapped, told, belongs)
    grounds = grounds_of(entries, told, belongs)
    questions = questions_of(mapped, entries, told, belongs, grounds, origin, table.above)
    for _ in range(_ROUNDS):
        ready = entries.ready()
        desk = desk_for(practice_id, belongs, told, mapped.system, origin, now)
        parts = parts_of(table, mapped, checked_days(ready, now), checked_grounds(grounds), origin)
        plan = plan_import(look, desk, parts, now, device)
        if not desk.faults:
            break
        entries.troubles += [_trouble(fault) for fault in desk.faults]
    others = tuple(each.name for each in grids if each is not grid and any(cell.text for row in each.rows
                                                                           for cell in row))
    return _Prepared(table, mapped, entries, belongs, origin, questions, plan, _counts(plan, ready), others)


def _sheet(grids: Sequence[Grid], told: Told, path: Path) -> Grid:
    """The sheet that was named, else the one whose header knows the most words of a list."""
    if told.sheet:
        named = [grid for grid in grids if folded(grid.name) == folded(told.sheet)]
        if not named:
            raise FileError(say("lists.no_sheet"), where=path.name, value=f'"{told.sheet}"',
                            right=say("intake.one_of", choices=", ".join(grid.name for grid in grids)))
        return named[0]
    return max(grids, key=lambda grid: (known_columns(grid), len(grid.rows)))


def _trouble(fault: Fault) -> Trouble:
    """What the desk found wrong with a row that looked right."""
    value = fault.value.strip('"')
    return Trouble(fault.row, fault.column, value, "other", fault.what, fault.right, key=fault.what)


def _counts(plan: Plan, ready: Sequence[Entry]) -> Counts:
    """Ready rows by what they are to the fieldbook: new, changed, or known as they stand."""
    opened: dict[str, bool] = {}
    touched: dict[str, int] = defaultdict(int)
    for event in plan.events:
        body = event.body
        if isinstance(body, TreeOpened | SampleOpened):
            opened[folded(body.label)] = body.supersedes is None
        if isinstance(body, ReadingTaken):
            touched[body.of] += 1
    new = known = 0
    changed = []
    for entry in ready:
        label = folded(entry.label)
        thing = plan.desk.things.get(("tree", label)) or plan.desk.things.get(("sample", label))
        if opened.get(label):
            new += 1
        elif label in opened or touched[str(getattr(thing, "tree", getattr(thing, "sample", "")))]:
            changed.append(entry.row.number)
        else:
            known += 1
    return Counts(new, known, tuple(changed))


def _listing(found: _Prepared, mapping: Path, unwritten: tuple[str, ...]) -> Listing:
    table, entries = found.table, found.entries
    ready = len(entries.ready())
    told = (*unwritten, *found.plan.doubts, *_in_already(found), *table.told, *entries.told, *found.plan.desk.told)
    if found.origin and not found.belongs.facts and found.mapped.of("latitude"):
        told = (*told, say("lists.middle", latitude=found.origin[0], longitude=found.origin[1]))
    return Listing(table.file, table.name, table.header_row, found.other_sheets, found.mapped.thing,
                   found.mapped.columns, table.left_out, told, found.questions, found.groups, ready,
                   len(entries.rows) - ready, found.counts, found.belongs.name, belongs_said(found.belongs),
                   found.plan.desk.facts.currency, found.belongs.facts is None, not_known(entries, found.mapped),
                   mapping, found.plan.changes)


def _in_already(found: _Prepared) -> tuple[str, ...]:
    """That rows which wait are of things that an earlier import brought, as mended rows of a file of rejects are."""
    new = {folded(body.label) for event in found.plan.events
           if isinstance(body := event.body, TreeOpened | SampleOpened) and body.supersedes is None}
    held = {label for thing, label in found.plan.desk.things if thing == found.mapped.thing} - new
    waiting = {trouble.row for trouble in found.entries.troubles}
    labels = [entry.label for entry in found.entries.rows
              if entry.row.number in waiting and folded(entry.label) in held]
    if not labels:
        return ()
    rest = say("lists.and_more", count=len(labels) - _NAMED) if len(labels) > _NAMED else ""
    return (say("lists.in_already", count=len(labels), things=say(f"lists.things.{found.mapped.thing}"),
                names=", ".join(labels[:_NAMED]) + rest),)


def _needed(questions: Sequence[Question]) -> tuple[Question, ...]:
    return tuple(each for each in questions if not each.may_wait)


def _written(table: Table, entries: Entries) -> tuple[Row, ...]:
    """The sheet's rows with what somebody wrote in the place of a cell's own text."""
    written = {(entry.row.number, at): (entry.row.cells[at], cell) for entry in entries.rows
               for at, cell in entry.written.items()}
    return tuple(Row(row.number, tuple(now if was == cell else cell for at, cell in enumerate(row.cells)
                                       for was, now in [written.get((row.number, at), (cell, cell))]))
                 for row in table.rows)


def _set_aside(found: _Prepared, path: Path, wanted: Path | None) -> Path | None:
    """The rows that wait, as they stand in the stranger's sheet with what was written since, and each its reason."""
    table = found.table
    bad = {trouble.row for trouble in found.entries.troubles}
    header, rows = table.header, _written(table, found.entries)
    if found.mapped.labels is None:
        # On its own such a row would be given another number.
        labels = {entry.row.number: entry.label for entry in found.entries.rows}
        header = (*header, say(f"lists.our_column.{found.mapped.thing}"))
        rows = tuple(Row(row.number, (*row.cells, Cell(labels[row.number]))) for row in rows)
    units = (*table.units, *("" for _ in header[len(table.units):]))
    faults = [trouble.fault(table.name) for trouble in found.entries.troubles]
    source = path if path.suffix.lower() == ".csv" else path.with_suffix(".xlsx")
    return write_rejects(source, [Page(table.name, table.file, header, units, rows)],
                         {table.name: dict.fromkeys(sorted(bad), "")}, faults, "", wanted)
