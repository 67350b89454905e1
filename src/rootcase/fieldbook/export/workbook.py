"""A workbook for people: a page for each kind of thing with what was read of it last, and one of all standing readings.

Text stays text: a cell is written as a string with the mark that spreadsheets put before what must not be taken for a
formula, whatever it begins with.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, datetime
from io import BytesIO
from typing import Any

import xlsxwriter

from rootcase.fieldbook.export.newest import NewestColumn, newest_columns
from rootcase.ground.errors import FileError
from rootcase.ground.units import convert, unit_label
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, System
from rootcase.tables.readings import ReadingKind, kinds

_MADE = datetime(2000, 1, 1)  # noqa: DTZ001 - in the file's properties: the same workbook is the same bytes
_MOST_SIGNS, _MOST_ROWS = 32_767, 1_048_576
"""What a cell and a page of an XLSX hold (ECMA-376 sets no such bound; common practice, no source)."""
_WIDTH = 16

Line = list[str | float | date | None]


def workbook_bytes(records: Sequence[PropertyRecord]) -> tuple[bytes, tuple[str, ...]]:
    """The workbook, and what could not be shown whole in it."""
    data = BytesIO()
    system: System = "us" if all(record.property.system == "us" for record in records) else "metric"
    with xlsxwriter.Workbook(data, {"in_memory": True}) as book:
        book.set_properties({"created": _MADE, "title": say("export.workbook_title")})
        pages = _Pages(book)
        for thing, lines in _THINGS.items():
            columns = newest_columns(records, thing)
            found = [line for record in records for line in lines(record)]
            pages.write(f"{thing}s", [*_FIXED[thing], *(_header(column, system) for column in columns)],
                        [[*fixed, *_cells(columns, an_id, system)] for an_id, fixed in found])
        pages.write("drawn", [*_DRAWN, f"distance [{unit_label(_far(system))}]"],
                    [line for record in records for line in _drawn(record, system)])
        pages.write("readings", _READING, [line for record in records for line in _readings(record, system)])
    return data.getvalue(), tuple(pages.told)


class _Pages:
    """Pages as they are written."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self._text = book.add_format({"num_format": "@", "quote_prefix": True})
        self._head = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1, "num_format": "@"})
        self._day = book.add_format({"num_format": "yyyy-mm-dd"})
        self.told: list[str] = []

    def write(self, name: str, header: list[str], lines: list[Line]) -> None:
        if len(lines) >= _MOST_ROWS:
            raise FileError(say("export.too_many_rows"), value=str(len(lines)), right=say("export.rather_archive"))
        sheet = self._book.add_worksheet(name)
        sheet.freeze_panes(1, 2)
        sheet.set_column(0, len(header) - 1, _WIDTH)
        for at, text in enumerate(header):
            sheet.write_string(0, at, text, self._head)
        for row, line in enumerate(lines, 1):
            for at, value in enumerate(line):
                if isinstance(value, date):
                    sheet.write_datetime(row, at, value, self._day)
                elif isinstance(value, str):
                    sheet.write_string(row, at, self._fitting(value, f"{name}, {header[at]}, {row + 1}"), self._text)
                elif value is not None:
                    sheet.write_number(row, at, value)

    def _fitting(self, text: str, where: str) -> str:
        """What XML and a cell can hold; what is longer is cut, and told."""
        text = re.sub("[\ufffe\uffff]", "\ufffd", text)
        if len(text) > _MOST_SIGNS:
            self.told.append(say("export.cut", where=where, most=_MOST_SIGNS))
        return text[:_MOST_SIGNS]


_FIXED: Mapping[str, list[str]] = {
    "tree": ["property", "tree", "place", "yardstick", "compare with"],
    "place": ["property", "place", "kind"],
    "pit": ["property", "pit", "tree", "place"],
    "sample": ["property", "sample", "tree", "place"],
}
_DRAWN = ["property", "drawn", "name", "kind", "reason"]
_READING = ["property", "of", "name", "reading", "day", "observer", "value", "unit", "choice", "sign", "nothing",
            "typed", "depth from [m]", "depth to [m]", "growth year", "series", "doubts", "source", "id"]


def _trees(record: PropertyRecord) -> Iterator[tuple[str, Line]]:
    places = {place.id: place.name for place in record.places}
    groups = {group.id: group.label for group in record.yardsticks}
    own = {tree: group.label for group in record.yardsticks for tree in group.tree_ids}
    for tree in record.trees:
        yield tree.id, [record.property.name, tree.label, places.get(tree.place_id), own.get(tree.id),
                        groups.get(record.compared_with.get(tree.id, ""))]


def _places(record: PropertyRecord) -> Iterator[tuple[str, Line]]:
    for place in (*record.places, *record.outlines):
        yield place.id, [record.property.name, place.name, place.kind]


def _pits(record: PropertyRecord) -> Iterator[tuple[str, Line]]:
    names = _names(record)
    for pit in record.pits:
        yield pit.id, [record.property.name, pit.label, names.get(pit.tree_id), names.get(pit.place_id)]


def _samples(record: PropertyRecord) -> Iterator[tuple[str, Line]]:
    names = _names(record)
    for sample in record.samples:
        yield sample.id, [record.property.name, sample.label, names.get(sample.tree_id), names.get(sample.place_id)]


def _drawn(record: PropertyRecord, system: System) -> Iterator[Line]:
    """What is drawn on the map and is neither a place nor an outline."""
    for line in record.lines:
        yield [record.property.name, "line", line.name, line.kind, None, None]
    for area in record.keep_off:
        distance = float(f"{convert(area.distance_m, 'm', _far(system)):.10g}")
        yield [record.property.name, "keep off", area.name, None, area.reason, distance]


def _far(system: System) -> str:
    return "ft" if system == "us" else "m"


_THINGS: Mapping[str, Callable[[PropertyRecord], Iterator[tuple[str, Line]]]] = {
    "tree": _trees, "place": _places, "pit": _pits, "sample": _samples}


def _names(record: PropertyRecord) -> dict[str | None, str]:
    return {place.id: place.name for place in record.places} | {
        thing.id: thing.label for thing in (*record.trees, *record.pits, *record.samples, *record.visits)}


def shown_unit(kind: ReadingKind, system: System) -> str:
    """The unit of a kind's column; not every opening has a mesh."""
    unit = kind.us_unit if system == "us" else kind.metric_unit
    return kind.si_unit if unit == "mesh" else unit


def _header(column: NewestColumn, system: System) -> str:
    unit = unit_label(shown_unit(column.kind, system)) if column.is_number else ""
    return f"{column.kind.label} [{unit}]" if unit else column.kind.label


def _cells(columns: Sequence[NewestColumn], an_id: str, system: System) -> Line:
    """A number with what it alone would hide is text: a mean, `> 40`, a kind of nothing."""
    cells: Line = []
    for column in columns:
        newest = column.by_thing.get(an_id)
        if newest is None:
            cells.append(None)
        elif column.is_number and newest.value is not None:
            shown = _in_unit(column.kind, newest.value, system)
            cells.append(f"{shown:g} ({newest.note})" if newest.note else shown)
        else:
            cells.append(f"{newest.text} ({newest.note})".strip() if newest.note else newest.text)
    return cells


def _in_unit(kind: ReadingKind, value: float, system: System) -> float:
    """A value in the unit of its column; ten figures are more than any tape gives, and 12.5 stays 12.5."""
    return float(f"{convert(value, kind.si_unit, shown_unit(kind, system)):.10g}")


def _readings(record: PropertyRecord, system: System) -> Iterator[Line]:
    names = _names(record)
    for reading in record.readings:
        kind, value, unit = kinds().get(reading.kind), reading.value, ""
        if kind is not None and kind.si_unit and value is not None:
            value, unit = _in_unit(kind, value, system), unit_label(shown_unit(kind, system))
        of, label = (kind.of, kind.label) if kind else (None, reading.kind)
        yield [record.property.name, of, names.get(reading.of), label, reading.day, reading.observer, value, unit,
               reading.choice, reading.sign, reading.nothing, reading.typed,
               reading.depth_from_m, reading.depth_to_m, reading.growth_year, reading.series,
               " | ".join(reading.doubts), reading.source, reading.id]
