"""A list in the form of the field sheet's pages: the stranger's rows and headers, our columns."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from rootcase.fieldbook.canonical import number_text
from rootcase.fieldbook.intake.grid import Cell, Page, Row, folded
from rootcase.fieldbook.intake.importer import Part
from rootcase.fieldbook.intake.layout import PAGES, Column
from rootcase.fieldbook.intake.lists import notation
from rootcase.fieldbook.intake.lists.columns import Mapped, Theirs, is_blank
from rootcase.fieldbook.intake.lists.entry import Entry
from rootcase.fieldbook.intake.lists.positions import Position, metres
from rootcase.fieldbook.intake.lists.table import Table
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.tables.readings import kinds

_POSITIONS = ("latitude", "longitude", "position")


@dataclass(frozen=True, slots=True)
class _Made:
    """A column of our page, and what stands in it for a row."""

    column: Column
    text: Callable[[Entry], Cell]


def parts_of(table: Table, mapped: Mapped, entries: Sequence[Entry], grounds: dict[str, str],
             origin: Position | None) -> list[Part]:
    """The pages of places, visits and trees (or samples) that these rows are."""
    parts = []
    places = {folded(entry.place): entry for entry in reversed(entries) if folded(entry.place) in grounds}
    if places:
        parts.append(_part("places", table, [
            _Made(Column(_header(mapped, "place"), "fixed", "place"), lambda entry: Cell(entry.place)),
            _Made(Column(_header(mapped, "ground"), "kind", "place_kind"),
                  lambda entry: Cell(grounds[folded(entry.place)]))], list(places.values())))
    visits = {entry.day: entry for entry in reversed(entries) if entry.day}
    if visits:
        parts.append(_part("visits", table, [
            _Made(Column(_header(mapped, "day"), "fixed", "visit"), _visit),
            _Made(Column(_header(mapped, "day"), "fixed", "date"), _visit)], list(visits.values())))
    if entries:
        rows = [row for entry in entries for row in _repeats(entry, _further(mapped))]
        parts.append(_part(f"{mapped.thing}s", table, _columns(mapped, rows, origin), rows))
    return parts


def kept_name(header: str) -> str:
    """The name a column of the stranger's is kept under; never the code of one of our kinds."""
    return say("lists.kept_as", name=header) if header in kinds() else header


def _part(layout: str, table: Table, made: Sequence[_Made], entries: Sequence[Entry]) -> Part:
    rows = tuple(Row(entry.row.number, tuple(each.text(entry) for each in made)) for entry in entries)
    columns = tuple(each.column for each in made)
    page = Page(table.name, table.file, tuple(column.header for column in columns),
                tuple(column.unit for column in columns), rows)
    return Part(PAGES[layout], page, columns)


def _columns(mapped: Mapped, entries: Sequence[Entry], origin: Position | None) -> list[_Made]:
    made = [
        _Made(Column(mapped.labels.header if mapped.labels else say(f"lists.our_column.{mapped.thing}"), "fixed",
                     mapped.thing), lambda entry: Cell(entry.label)),
        _Made(Column(_header(mapped, "place"), "fixed", "place"),
              lambda entry: Cell("" if entry.joins else entry.place)),
        _Made(Column(_header(mapped, "day"), "fixed", "visit"), _visit)]
    position = mapped.of("position") or mapped.of("latitude")
    if position and mapped.thing == "tree":
        made += [_Made(Column(position.header, "fixed", name, unit="m"), _metre(at, origin))
                 for at, name in enumerate(("east", "north"))]
        made += [_Made(Column(position.header, "kind", name, unit="deg"), _degree(at))
                 for at, name in enumerate(("latitude", "longitude"))]
    if mapped.thing == "sample":
        of_tree = mapped.of("of_tree") or mapped.labels
        made.append(_Made(Column(of_tree.header if of_tree else say("lists.our_column.tree"), "fixed", "tree"),
                          lambda entry: Cell(entry.tree)))
    if depth := mapped.of("depth"):
        unit = "in" if mapped.system == "us" else "cm"
        made += [_Made(Column(depth.header, "kind", name, unit=unit), _depth(at, unit))
                 for at, name in enumerate(("sample_depth_top", "sample_depth_bottom"))]
    made += [_Made(_column(theirs, stem), _text(theirs, stem)) for theirs in mapped.columns
             for stem in _stems(theirs, entries) if theirs.target not in _POSITIONS and (
                 theirs.kind or theirs.standing == "kept" or theirs.target == "ground")]
    kept = dict.fromkeys(header for entry in entries for header in entry.kept)
    made += [_Made(Column(header, "own", header), _kept(header)) for header in kept]
    return made


def _stems(theirs: Theirs, entries: Sequence[Entry]) -> Sequence[int]:
    """What is told apart in a column: the stems of trees that have several, and 0 for all else."""
    return sorted({entry.stem for entry in entries} | {0}) if theirs.target == "dbh" else (0,)


def _column(theirs: Theirs, stem: int) -> Column:
    if theirs.kind:
        attributes = {**theirs.attributes, "stem": str(stem)} if stem else theirs.attributes
        return Column(theirs.header, "kind", theirs.target, unit=theirs.unit, factor=theirs.factor,
                      attributes=attributes)
    return Column(kept_name(theirs.header), "own", theirs.header)


def _further(mapped: Mapped) -> list[Theirs]:
    """Columns of a kind that another column is of already: a second axis of the crown, a second trunk."""
    seen: set[str] = set()
    found = []
    for theirs in mapped.columns:
        if theirs.kind and theirs.target in seen:
            found.append(theirs)
        seen.add(theirs.target)
    return found


def _repeats(entry: Entry, further: Sequence[Theirs]) -> list[Entry]:
    """A row, and one of its own for each further stem and column of one kind: repeat readings of the same tree."""
    stems = [(at, Cell(stem)) for at, stems in entry.stems.items() for stem in stems]
    filled = [(each, entry.cells[each.at]) for each in further if entry.cells[each.at].text
              and not is_blank(entry.cells[each.at])]
    stems += [(each.at, cell) for each, cell in filled if each.target == "dbh"]
    more = [*((at, cell, number) for number, (at, cell) in enumerate(stems, 2)),
            *((each.at, cell, 0) for each, cell in filled if each.target != "dbh")]
    later = {each.at for each in further}
    first = replace(entry, cells={at: cell for at, cell in entry.cells.items() if at not in later},
                    stem=1 if stems else 0)
    return [first, *(Entry(entry.row, {at: cell}, label=entry.label, place=entry.place, ground=entry.ground,
                           day=entry.day, joins=True, stem=stem) for at, cell, stem in more)]


def _text(theirs: Theirs, stem: int = 0) -> Callable[[Entry], Cell]:
    def text(entry: Entry) -> Cell:
        if theirs.target == "dbh" and entry.stem != stem:
            return Cell("")
        cell = entry.cells.get(theirs.at, Cell(""))
        return Cell(notation.with_comma(cell.text, theirs.comma), cell.form) if theirs.comma else cell
    return text


def _kept(header: str) -> Callable[[Entry], Cell]:
    return lambda entry: Cell(entry.kept.get(header, ""))


def _visit(entry: Entry) -> Cell:
    return Cell(entry.day.isoformat() if entry.day else "")


def _metre(at: int, origin: Position | None) -> Callable[[Entry], Cell]:
    def text(entry: Entry) -> Cell:
        found = metres(entry, origin)
        return Cell(number_text(round(found[at], 3)) if found and not entry.joins else "")
    return text


def _depth(at: int, unit: str) -> Callable[[Entry], Cell]:
    """The one end of a stretch of depth, as people of the property's system write it."""
    return lambda entry: Cell(number_text(round(convert(entry.depth_mm[at], "mm", unit), 6)) if entry.depth_mm else "")


def _degree(at: int) -> Callable[[Entry], Cell]:
    return lambda entry: Cell(number_text(entry.position[at]) if entry.position else "")


def _header(mapped: Mapped, target: str) -> str:
    """Their header for this, or what the column is called that they do not have."""
    theirs = mapped.of(target)
    return theirs.header if theirs else say(f"lists.our_column.{target}")
