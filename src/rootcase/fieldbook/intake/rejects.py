"""Rows that could not be taken, in a file of the same form with what is wrong beside them."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from itertools import count
from pathlib import Path

import xlsxwriter

from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.grid import Page, folded
from rootcase.fieldbook.whole_file import write_whole
from rootcase.ground.words import say

_LONGEST_NAME = 31
_REASONS_AT = 1
# In the file's properties: the same rows are the same bytes.
_MADE = datetime(2000, 1, 1)  # noqa: DTZ001


def write_rejects(source: Path, pages: Iterable[Page], bad_rows: Mapping[str, Mapping[int, str]],
                  faults: Sequence[Fault], property_name: str, wanted: Path | None) -> Path | None:
    """Write the rows at fault and return where; None where there are none.

    The page of the property goes with them, where it is named, so that the file knows where it belongs; the repeat of
    each row too, so that a row imported on its own still is the push it was. What somebody may be mending is never
    written over.
    """
    tables = {page.name: _rows(page, bad_rows[page.name], faults) for page in pages if bad_rows.get(page.name)}
    if not tables:
        return None
    if property_name:
        tables = {"property": [["key", "value"], ["name", property_name]], **tables}
    in_text = source.suffix.lower() == ".csv"
    ending = source.suffix if in_text or source.is_dir() else ".xlsx"
    base = source.with_name(f"{source.stem}-{say('intake.rejects_name')}{ending}")
    if source.is_dir():
        files = {f"{name}.csv": _csv(rows) for name, rows in tables.items()}
        place = _free(wanted or base, files)
        write_whole({place / name: data for name, data in files.items()})
        return place
    if wanted:
        base = wanted / base.name if wanted.is_dir() else wanted.with_suffix(ending)
    if in_text:
        data = _csv(next(rows for name, rows in tables.items() if name != "property"))
    else:
        data = _workbook(tables)
    place = _free(base, data)
    write_whole({place: data})
    return place


def is_of_rejects(at: int, header: str) -> bool:
    """Whether a column holds our reasons: the second one of a file of rejects; elsewhere it is somebody's own."""
    return at == _REASONS_AT and folded(header) == folded(say("intake.fault_column"))


def _free(base: Path, wanted: bytes | Mapping[str, bytes]) -> Path:
    """The path itself where nothing else stands there, else the first number that is free."""
    for number in count(1):
        path = base if number == 1 else base.with_name(f"{base.stem}-{number}{base.suffix}")
        if not path.exists() or _content(path) == wanted:
            return path
    raise AssertionError


def _content(path: Path) -> bytes | dict[str, bytes]:
    return {file.name: file.read_bytes() for file in path.iterdir()} if path.is_dir() else path.read_bytes()


def _rows(page: Page, bad: Mapping[int, str], faults: Sequence[Fault]) -> list[list[str]]:
    """Header, units and the rows; beside the name of the row what is wrong, behind it which repeat it is."""
    fault_column, repeats = say("intake.fault_column"), any(bad.values())
    first, *kept = [at for at, header in enumerate(page.header)
                    if not is_of_rejects(at, header) and not (repeats and folded(header) == "repeat")]
    more = ["repeat"] if repeats else []
    rows = [[page.header[first], fault_column, *(page.header[at] for at in kept), *more]]
    if any(page.units):
        rows.append(["units", "", *(page.units[at] for at in kept), *("" for _ in more)])
    for row in page.rows:
        if row.number in bad:
            notes = "; ".join(fault.note for fault in faults
                              if fault.sheet == page.name and fault.row in (1, row.number))
            rows.append([row.cells[first].text, notes or say("intake.goes_with"),
                         *(row.cells[at].text for at in kept), *([bad[row.number]] if repeats else [])])
    return rows


def _csv(rows: list[list[str]]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text).writerows(rows)
    return text.getvalue().encode("utf-8-sig")


def _workbook(tables: Mapping[str, list[list[str]]]) -> bytes:
    """Cells are text, as in the template: a mended 3-4 must not become a date."""
    data = io.BytesIO()
    with xlsxwriter.Workbook(data, {"in_memory": True, "strings_to_numbers": False, "strings_to_formulas": False,
                                    "strings_to_urls": False}) as book:
        book.set_properties({"created": _MADE})
        text = book.add_format({"num_format": "@"})
        for name, rows in tables.items():
            page = book.add_worksheet(_sheet_name(name, [each.name for each in book.worksheets()]))
            page.set_column(0, len(rows[0]) - 1, 14, text)
            if name != "property":
                page.set_column(1, 1, 60, text)
                page.freeze_panes(1, 2)
            for at, row in enumerate(rows):
                page.write_row(at, 0, row, text)
    return data.getvalue()


def _sheet_name(name: str, taken: Iterable[str]) -> str:
    """The name as a workbook takes it: short, without the signs that mean something in formulas, and only once."""
    plain = "".join(sign if sign.isprintable() and sign not in "[]:*?/\\" else " " for sign in name)
    others = {each.casefold() for each in taken}
    endings = ("", *(f" {number}" for number in range(2, 10_000)))
    return next(each for ending in endings
                if (each := (plain[:_LONGEST_NAME - len(ending)].strip("' ") or "-") + ending).casefold() not in others)
