"""Files as pages of cells: XLSX, and CSV in the encodings and separators that spreadsheets write."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Literal

import python_calamine

from rootcase.fieldbook.canonical import number_text
from rootcase.ground.errors import FileError
from rootcase.ground.words import say

Form = Literal["text", "number", "date"]


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in a cell, as a person would read it, and what the spreadsheet holds it for."""

    text: str
    form: Form = "text"


@dataclass(frozen=True, slots=True)
class Row:
    number: int
    """As the spreadsheet counts, the header being 1."""
    cells: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One sheet of a workbook, or one CSV."""

    name: str
    file: str
    header: tuple[str, ...]
    units: tuple[str, ...]
    """Unit of each column; empty where the sheet does not say."""
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """The cells of one sheet of a workbook, or of one CSV, where they stand."""

    name: str
    file: str
    rows: tuple[tuple[Cell, ...], ...]
    """All equally wide; what a spreadsheet calls row 1 comes first, and blank rows are kept."""
    merged: tuple[tuple[int, int, int, int], ...] = ()
    """First row, first column, last row, last column, counted from 0 and inclusive; the text is in the first cell."""
    told: tuple[str, ...] = ()
    """What was decided while reading, such as the encoding and the separator."""


def read_grids(path: Path) -> list[Grid]:
    """Every sheet of a workbook, a CSV, or the CSVs of a folder in order of name; FileError where one cannot be read."""
    if path.is_dir():
        files = sorted(file for file in path.iterdir() if file.suffix.lower() == ".csv")
        if not files:
            raise FileError(say("intake.empty_folder"), where=str(path), right=say("intake.right_file"))
        return [_grid(file.stem, file.name, _csv_rows(file)) for file in files]
    if not path.is_file():
        raise FileError(say("intake.no_file"), where=str(path), right=say("intake.right_file"))
    if path.suffix.lower() == ".csv":
        return [_grid(path.stem, path.name, _csv_rows(path))]
    return _workbook(path)


def read_pages(path: Path) -> list[Page]:
    """The grids of a path as pages; at least one says something."""
    pages = [page_of(grid) for grid in read_grids(path)]
    if not any(page.header for page in pages):
        raise FileError(say("intake.empty_file"), where=str(path), right=say("intake.right_file"))
    return pages


def read_csv(path: Path) -> Page:
    """One CSV as a page."""
    if not path.is_file():
        raise FileError(say("intake.no_file"), where=str(path), right=say("intake.right_file"))
    return page_of(_grid(path.stem, path.name, _csv_rows(path)))


def folded(text: str) -> str:
    """A name without case and punctuation, to compare by.

    >>> folded("Depth_from "), folded("Trunk diameter (DBH)")
    ('depth from', 'trunk diameter dbh')
    """
    return " ".join("".join(sign if sign.isalnum() else " " for sign in text.casefold()).split())


def _workbook(path: Path) -> list[Grid]:
    try:
        book = python_calamine.CalamineWorkbook.from_path(str(path))
        return [_grid(name, path.name, book.get_sheet_by_name(name).to_python(skip_empty_area=False))
                for name in book.sheet_names]
    except (python_calamine.CalamineError, zipfile.BadZipFile, OSError):
        raise FileError(say("intake.not_a_sheet"), where=str(path), right=say("intake.right_file")) from None


def _csv_rows(path: Path) -> list[list[str]]:
    raw = path.read_bytes()
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        # What an older spreadsheet on Windows writes; five of its bytes mean nothing, and then it is no text.
        try:
            text = raw.decode("cp1252")
        except UnicodeDecodeError:
            raise FileError(say("intake.not_text"), where=str(path), right=say("intake.right_file")) from None
    if "\x00" in text:
        raise FileError(say("intake.not_text"), where=str(path), right=say("intake.right_file"))
    first = text.partition("\n")[0]
    separator = max(",;\t", key=first.count)
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))


def _grid(name: str, file: str, raw: Sequence[Sequence[object]]) -> Grid:
    width = max((len(line) for line in raw), default=0)
    return Grid(name, file, tuple(tuple(_cell(value) for value in line) + (Cell(""),) * (width - len(line))
                                  for line in raw))


def page_of(grid: Grid) -> Page:
    """The field sheet's rules: header, units and rows; blank rows, examples and remarks are left out."""
    filled = [(number, cells) for number, cells in enumerate(grid.rows, 1) if any(cell.text for cell in cells)]
    if not filled:
        return Page(grid.name, grid.file, (), (), ())
    (_, top), *below = filled
    units = ("",) * len(top)
    rows = []
    for number, cells in below:
        first = cells[0].text.casefold()
        if first == "units":
            units = ("", *(cell.text for cell in cells[1:]))
        elif not first.startswith("example") and not _is_remark(cells):
            rows.append(Row(number, cells))
    return Page(grid.name, grid.file, tuple(cell.text for cell in top), units, tuple(rows))


def _is_remark(cells: Sequence[Cell]) -> bool:
    """A line behind a # with nothing beside it; with something beside it, it is a tree called #12."""
    return cells[0].text.startswith("#") and not any(cell.text for cell in cells[1:])


def _cell(value: object) -> Cell:
    if value is None:
        return Cell("")
    if isinstance(value, bool):
        return Cell("yes" if value else "no")
    if isinstance(value, int | float):
        return Cell(number_text(float(value) + 0.0), "number")
    if isinstance(value, datetime):
        return Cell(value.date().isoformat() if value.time() == time() else value.isoformat(" ", "minutes"), "date")
    if isinstance(value, date | time | timedelta):
        return Cell(str(value), "date")
    return Cell(" ".join(str(value).split()))
