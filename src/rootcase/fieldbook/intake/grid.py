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


def read_pages(path: Path) -> list[Page]:
    """Every page of an XLSX, of a CSV, or of a folder of CSVs, in order of name; at least one says something."""
    pages = _pages(path)
    if not any(page.header for page in pages):
        raise FileError(say("intake.empty_file"), where=str(path), right=say("intake.right_file"))
    return pages


def _pages(path: Path) -> list[Page]:
    if path.is_dir():
        files = sorted(file for file in path.iterdir() if file.suffix.lower() == ".csv")
        if not files:
            raise FileError(say("intake.empty_folder"), where=str(path), right=say("intake.right_file"))
        return [_page(file.stem, file.name, _csv_rows(file)) for file in files]
    if not path.is_file():
        raise FileError(say("intake.no_file"), where=str(path), right=say("intake.right_file"))
    if path.suffix.lower() == ".csv":
        return [_page(path.stem, path.name, _csv_rows(path))]
    return _workbook(path)


def read_csv(path: Path) -> Page:
    """One CSV as a page."""
    if not path.is_file():
        raise FileError(say("intake.no_file"), where=str(path), right=say("intake.right_file"))
    return _page(path.stem, path.name, _csv_rows(path))


def folded(text: str) -> str:
    """A name without case and punctuation, to compare by.

    >>> folded("Depth_from "), folded("Trunk diameter (DBH)")
    ('depth from', 'trunk diameter dbh')
    """
    return " ".join("".join(sign if sign.isalnum() else " " for sign in text.casefold()).split())


def _workbook(path: Path) -> list[Page]:
    try:
        book = python_calamine.CalamineWorkbook.from_path(str(path))
        return [_page(name, path.name, book.get_sheet_by_name(name).to_python(skip_empty_area=False))
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


def _page(name: str, file: str, raw: Sequence[Sequence[object]]) -> Page:
    """Header, units and rows, all as wide as the widest; blank rows, examples and remarks are left out."""
    lines = [(number, tuple(_cell(value) for value in line)) for number, line in enumerate(raw, 1)]
    filled = [(number, cells) for number, cells in lines if any(cell.text for cell in cells)]
    if not filled:
        return Page(name, file, (), (), ())
    width = max(len(cells) for _, cells in filled)
    (_, top), *below = [(number, cells + (Cell(""),) * (width - len(cells))) for number, cells in filled]
    units: tuple[str, ...] = ("",) * width
    rows = []
    for number, cells in below:
        first = cells[0].text.casefold()
        if first == "units":
            units = ("", *(cell.text for cell in cells[1:]))
        elif not first.startswith("example") and not _is_remark(cells):
            rows.append(Row(number, cells))
    return Page(name, file, tuple(cell.text for cell in top), units, tuple(rows))


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
