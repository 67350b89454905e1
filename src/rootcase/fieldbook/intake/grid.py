"""Files as grids of cells and as pages of the field sheet: workbooks, and CSV as spreadsheets write it."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

from rootcase.fieldbook.canonical import number_text
from rootcase.fieldbook.intake.fence import read_fenced
from rootcase.fieldbook.intake.foreign.limits import FOLDER_FILES
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
    """First row, first column, last row, last column, from 0 and inclusive; the text is in the first cell, and blank
    ends of an area may lie beyond the rows and columns that are kept."""
    told: tuple[str, ...] = ()
    """What was decided while reading, such as the encoding and the separator."""


def read_grids(path: Path) -> list[Grid]:
    """Every sheet of a workbook, a CSV, or the CSVs of a folder in order of name; FileError where one cannot be read.

    Nothing of a file is opened in this process. Formulas are not worked out: a cell has the value last shown, or the
    formula's text where there is none.
    """
    files = _csvs(path) if os.path.isdir(path) else [path]  # Path's own way fails on a name that is too long
    cell_of = _cells()
    return [_grid(plain, as_text(file.name), cell_of)
            for file, found in zip(files, read_fenced("grids", files), strict=True) for plain in found]


def _csvs(folder: Path) -> list[Path]:
    try:
        files = sorted(file for file in folder.iterdir() if file.suffix.lower() == ".csv")
    except OSError:
        raise FileError(say("fence.not_allowed"), where=str(folder), right=say("fence.right_allowed")) from None
    if not files:
        raise FileError(say("intake.empty_folder"), where=str(folder), right=say("intake.right_file"))
    if len(files) > FOLDER_FILES:
        raise FileError(say("fence.many_files", most=FOLDER_FILES), where=str(folder), value=str(len(files)),
                        right=say("fence.right_fewer"))
    return files


def read_pages(path: Path) -> list[Page]:
    """The grids of a path as pages; at least one says something."""
    pages = [page_of(grid) for grid in read_grids(path)]
    if not any(page.header for page in pages):
        raise FileError(say("intake.empty_file"), where=str(path), right=say("intake.right_file"))
    return pages


def read_csv(path: Path) -> Page:
    """One CSV as a page."""
    return page_of(read_grids(path)[0])


def folded(text: str) -> str:
    """A name without case and punctuation, to compare by.

    >>> folded("Depth_from "), folded("Trunk diameter (DBH)")
    ('depth from', 'trunk diameter dbh')
    """
    return " ".join("".join(sign if sign.isalnum() else " " for sign in text.casefold()).split())


def as_text(name: str) -> str:
    """A file's name with a question mark for each byte of it that is no text: an old disk's names may hold some."""
    return name.encode("utf-8", "replace").decode("utf-8")


def column_letters(column: int) -> str:
    """A column, counted from 0, as a spreadsheet names it.

    >>> column_letters(0), column_letters(27), column_letters(702)
    ('A', 'AB', 'AAA')
    """
    return (column_letters(column // 26 - 1) if column >= 26 else "") + chr(ord("A") + column % 26)


def _grid(plain: dict[str, Any], file: str, cell_of: Callable[[Any], Cell]) -> Grid:
    """As the reading process tells it, made equally wide; what is blank to the last row or column is left away."""
    lines = [[cell_of(value) for value in line] for line in plain["rows"]]
    filled = [(row, column) for row, line in enumerate(lines) for column, cell in enumerate(line) if cell.text]
    height = 1 + max((row for row, _ in filled), default=-1)
    width = 1 + max((column for _, column in filled), default=-1)
    blank = cell_of("")
    rows = tuple(tuple(line[:width] + [blank] * (width - len(line))) for line in lines[:height])
    told = tuple(say(key, **fields) for key, fields in plain["told"])
    return Grid(as_text(plain["name"]), file, rows, tuple(tuple(area) for area in plain["merged"]), told)


def _cells() -> Callable[[Any], Cell]:
    """Makes cells of texts, numbers, and forms with their text; those that are the same are one."""
    @cache
    def of_form(form: Form, text: str) -> Cell:
        return Cell(text, form)

    def of_plain(value: Any) -> Cell:
        if isinstance(value, str):
            return of_form("text", value)
        if isinstance(value, float):
            return of_form("number", number_text(value))
        return of_form(*value)

    return of_plain


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
