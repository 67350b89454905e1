"""Where the list stands in a stranger's sheet: its header, its rows, and what is no row of it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from rootcase.fieldbook.intake.grid import Cell, Grid, Row, column_letters, folded
from rootcase.fieldbook.intake.lab.words import analyte
from rootcase.fieldbook.intake.lists.words import meant, plain
from rootcase.fieldbook.intake.rejects import is_of_rejects
from rootcase.ground.errors import FileError
from rootcase.ground.units import is_unit
from rootcase.ground.words import say

_SEARCHED = 40
"""Rows in which a header is looked for (JUDGEMENT: titles, addresses and legends above a list are shorter)."""
_KNOWN_WEIGHT, _NUMBER_WEIGHT = 3, 2


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A row that is no row of the list."""

    row: int
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Table:
    """The list of a sheet: every column has a name of its own, every row its number in the stranger's sheet."""

    name: str
    file: str
    header_row: int
    header: tuple[str, ...]
    units: tuple[str, ...]
    rows: tuple[Row, ...]
    left_out: tuple[LeftOut, ...]
    told: tuple[str, ...]

    @property
    def above(self) -> tuple[str, ...]:
        """What stands above the header, and what was left out where a sheet was turned."""
        return (*(each.text for each in self.left_out if each.why == say("lists.title")), *self.told)

    def at(self, header: str) -> int:
        return self.header.index(header)


def find_table(grid: Grid, header_row: int | None = None) -> Table:
    """The list of a sheet; `header_row` as the spreadsheet counts, where somebody has said it."""
    lines, told = _filled_merges(grid)
    at = _header_at(lines) if header_row is None else header_row - 1
    if at is None or not 0 <= at < len(lines) or not any(cell.text for cell in lines[at]):
        raise FileError(say("lists.no_header"), where=say("lists.sheet", file=grid.file, sheet=grid.name),
                        value="" if at is None else str(at + 1), right=say("lists.right_header_row"))
    below = [(number, line) for number, line in enumerate(lines[at + 1:], at + 2) if any(cell.text for cell in line)]
    if not below:
        raise FileError(say("lists.no_rows"), where=say("lists.sheet", file=grid.file, sheet=grid.name),
                        right=say("lists.right_no_rows"))
    units = _units_row(lines[at], below[0][1])
    if units:
        below = below[1:]
    columns = [i for i, cell in enumerate(lines[at]) if (cell.text or any(line[i].text for _, line in below))
               and not is_of_rejects(i, cell.text)]
    header = _names([lines[at][i].text for i in columns], columns, lines[at - 1] if at else ())
    rows = [Row(number, tuple(line[i] for i in columns)) for number, line in below
            if any(line[i].text for i in columns)]
    left = [LeftOut(number, _text(line), say("lists.title")) for number, line in enumerate(lines[:at], 1)
            if any(cell.text for cell in line)]
    kept: list[Row] = []
    for row in rows:
        why = _no_row(header, row)
        if why:
            left.append(LeftOut(row.number, _text(row.cells), why))
        else:
            kept.append(row)
    return Table(grid.name, grid.file, at + 1, header, tuple(units[i] if units else "" for i in columns), tuple(kept),
                 tuple(left), (*grid.told, *told))


def upright(grid: Grid) -> Grid:
    """A sheet with a column for each tree, turned so that each has a row; any other sheet as it is."""
    if grid.merged or len(grid.rows) > _SEARCHED:
        return grid
    turned = replace(grid, rows=tuple(zip(*grid.rows, strict=True)), told=(*grid.told, say("lists.upright")))
    columns = known_columns(turned)
    return turned if columns > 2 and columns > 2 * known_columns(grid) else grid


def known_columns(grid: Grid) -> int:
    """How many words of a list the likeliest header of a sheet holds: which of several sheets is the list."""
    lines = grid.rows[:_SEARCHED]
    return max((_known(line) for line in lines), default=0) if len(grid.rows) > 1 else 0


def _filled_merges(grid: Grid) -> tuple[list[list[Cell]], list[str]]:
    """The cells with each merged block filled from its first cell."""
    lines = [list(line) for line in grid.rows]
    filled = []
    for top, left, bottom, right in grid.merged:
        if top >= len(lines) or left >= len(lines[top]) or not lines[top][left].text:
            continue
        for line in lines[top:bottom + 1]:
            line[left:right + 1] = [lines[top][left]] * (min(right, len(line) - 1) - left + 1)
        if bottom > top:
            filled.append(say("lists.merged", text=lines[top][left].text, first=top + 1,
                              last=min(bottom + 1, len(lines))))
    return lines, filled


def _header_at(lines: Sequence[Sequence[Cell]]) -> int | None:
    best, best_score = None, 0.0
    for at, line in enumerate(lines[:_SEARCHED]):
        texts = {cell.text for cell in line if cell.text}
        numbers = sum(bool(re.fullmatch(r"[-+]?[\d.,]+", text)) for text in texts)
        score = _KNOWN_WEIGHT * _known(line) + len(texts) - _NUMBER_WEIGHT * numbers
        if len(texts) > 1 and score > best_score:
            best, best_score = at, score
    return best


def _known(line: Sequence[Cell]) -> int:
    texts = {cell.text for cell in line if cell.text and not re.fullmatch(r"[-+]?[\d.,]+", cell.text)}
    return sum(bool(meant(text) or analyte(text)) for text in texts)


def _units_row(header: Sequence[Cell], below: Sequence[Cell]) -> list[str] | None:
    """The units of a row that holds nothing else; a cell merged with the header above it says nothing."""
    units = ["" if cell.text == above.text else cell.text.strip("()[] ") for above, cell in zip(header, below,
                                                                                                strict=True)]
    said = [unit for unit in units if unit and folded(unit) not in ("units", "unit", "einheit")]
    if not said or any(re.match(r"[-+]?[\d.,]", unit) or not is_unit(unit) for unit in said):
        return None
    return [unit if is_unit(unit) else "" for unit in units]


def _names(texts: Sequence[str], columns: Sequence[int], above: Sequence[Cell]) -> tuple[str, ...]:
    """A name of its own for every column: twice the same takes the heading above it, else a number."""
    named: list[str] = []
    for text, column in zip(texts, columns, strict=True):
        name = text or say("lists.no_name", column=column_letters(column))
        if texts.count(text) > 1 and text and above and above[column].text:
            name = f"{above[column].text} {text}"
        named.append(next(each for each in _numbered(name) if each not in named))
    return tuple(named)


def _numbered(name: str) -> Iterator[str]:
    yield name
    for number in range(2, 10_000):
        yield f"{name} {number}"


def _no_row(header: Sequence[str], row: Row) -> str:
    """Why a line under the header is no row of the list; empty where it is one."""
    filled = [(at, cell) for at, cell in enumerate(row.cells) if cell.text]
    texts = [plain(cell.text) for _, cell in filled if re.search(r"[^\W\d]", cell.text)]
    if len(filled) > 1 and all(cell.text == header[at] for at, cell in filled):
        return say("lists.header_again")
    word = re.match(rf"({say('lists.total_words')})\b", plain(filled[0][1].text))
    if word and len(texts) <= 2 and (len(filled) > 1 or texts):
        return say("lists.total")
    at, cell = filled[0]
    found = meant(header[at])
    is_tag = found is not None and found.target == "tag" and re.search(r"\d", cell.text) and " " not in cell.text
    if len(filled) == 1 and len(header) > 2 and not is_tag:
        return say("lists.remark")
    return ""


def _text(cells: Sequence[Cell]) -> str:
    return " · ".join(dict.fromkeys(cell.text for cell in cells if cell.text))
