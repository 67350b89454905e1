"""Rows that could not be taken, in a file of the same form with what is wrong beside them."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

import xlsxwriter

from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.grid import Page, folded
from rootcase.ground.words import say


def write_rejects(source: Path, pages: Iterable[Page], bad_rows: Mapping[str, Mapping[int, str]],
                  faults: Sequence[Fault], property_name: str, wanted: Path | None) -> Path | None:
    """Write the rows at fault and return where; None where there are none.

    The page of the property goes with them, so that the file knows where it belongs; the repeat of each row too, so
    that a row imported on its own still is the push it was.
    """
    tables = {page.name: _rows(page, bad_rows[page.name], faults) for page in pages if bad_rows.get(page.name)}
    if not tables:
        return None
    tables = {"property": [["key", "value"], ["name", property_name]], **tables}
    base = wanted or source.with_name(f"{source.stem}-{say('intake.rejects_name')}{source.suffix}")
    if source.is_dir():
        base.mkdir(parents=True, exist_ok=True)
        for name, rows in tables.items():
            _write_csv(base / f"{name}.csv", rows)
    elif source.suffix.lower() == ".csv":
        base.parent.mkdir(parents=True, exist_ok=True)
        _write_csv(base, next(rows for name, rows in tables.items() if name != "property"))
    else:
        base.parent.mkdir(parents=True, exist_ok=True)
        _write_workbook(base, tables)
    return base


def _rows(page: Page, bad: Mapping[int, str], faults: Sequence[Fault]) -> list[list[str]]:
    """Header, units and the rows, with two columns more: which repeat it is, and what is wrong."""
    fault_column, repeats = say("intake.fault_column"), any(bad.values())
    kept = [at for at, header in enumerate(page.header)
            if folded(header) != folded(fault_column) and not (repeats and folded(header) == "repeat")]
    more = ["repeat"] if repeats else []
    rows = [[*(page.header[at] for at in kept), *more, fault_column]]
    if any(page.units):
        rows.append(["units", *(page.units[at] for at in kept[1:]), *("" for _ in more), ""])
    for row in page.rows:
        if row.number in bad:
            notes = "; ".join(fault.note for fault in faults if (fault.sheet, fault.row) == (page.name, row.number))
            rows.append([*(row.cells[at].text for at in kept), *([bad[row.number]] if repeats else []),
                         notes or say("intake.goes_with")])
    return rows


def _write_csv(path: Path, rows: list[list[str]]) -> None:
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file).writerows(rows)


def _write_workbook(path: Path, tables: Mapping[str, list[list[str]]]) -> None:
    with xlsxwriter.Workbook(str(path), {"strings_to_numbers": False, "strings_to_formulas": False,
                                         "strings_to_urls": False}) as book:
        for name, rows in tables.items():
            page = book.add_worksheet(name)
            for at, row in enumerate(rows):
                page.write_row(at, 0, row)
