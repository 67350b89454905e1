"""Where things stand in a sheet with its analytes down the rows: the column of names, the blocks, what columns hold."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache

from rootcase.fieldbook.intake.grid import Cell, Grid, folded
from rootcase.fieldbook.intake.lab.sample import identity
from rootcase.fieldbook.intake.lab.words import analyte
from rootcase.ground.words import say

_NAMES, _FEWEST = 3, 2
"""JUDGEMENT: how many analytes under one another make a column of names, without and with a word for it at its head."""
_LOOKED_AT = 300
"""Rows from which the column of names shows."""
_FIGURE = re.compile(r"^(?!.*\d ?(?:[-–]|to) ?\d).*\d")
"""A figure that is no range: columns of ranges are the laboratory's opinion."""
_GUESSED = "a result, if none is called one"
_NUMERIC = 0.5
"""JUDGEMENT: of the cells beside the analytes, the share with a figure from which a column holds results."""


@dataclass(frozen=True, slots=True)
class Block:
    """Analytes under one another, with the header above them and the lines that speak of the sample."""

    names: int
    """Column of the names."""
    head: int
    """Row of the header; -1 where there is none."""
    headers: tuple[str, ...]
    """Of all columns; empty where there is no header."""
    about: tuple[int, ...]
    """Rows above it, and below the last block, that may speak of the samples."""
    rows: range
    roles: Mapping[int, str]
    """What a column holds: result, unit, method, rating, limit, a fact of the sample, or beside."""

    def columns(self, role: str) -> list[int]:
        return [column for column, held in self.roles.items() if held == role]


def blocks_of(grid: Grid) -> list[Block]:
    """The blocks of a sheet; none where its analytes do not stand under one another."""
    names = _column_of_names(grid)
    if names is None:
        return []
    rows = [row for row in range(len(grid.rows)) if named(grid.rows[row][names].text)]
    heads = [row for row in range(rows[-1]) if _is_head(grid.rows[row], names)]
    if not heads or heads[0] > rows[0]:
        above = _row_above(grid, names, rows[0])
        heads = [*([above] if above is not None else []), *heads]
    starts = [head + 1 for head in heads] or [rows[0]]
    blocks, free = [], 0
    for start, following in zip(starts, [*starts[1:], len(grid.rows) + 1], strict=True):
        inside = [row for row in rows if start <= row < following - 1]
        if not inside:
            continue
        head = start - 1 if heads else -1
        headers = tuple(cell.text if heads else "" for cell in grid.rows[start - 1])
        roles = _roles(grid, names, headers, inside)
        end = _end(grid, names, roles, range(inside[-1] + 1, min(following - 1, len(grid.rows))))
        below = range(end, len(grid.rows)) if inside[-1] == rows[-1] else ()
        about = tuple(row for row in (*range(free, start), *below) if row != head)
        blocks.append(Block(names, head, headers, about, range(start, end), roles))
        free = end
    return blocks


def _end(grid: Grid, names: int, roles: Mapping[int, str], below: range) -> int:
    """The row after the last result; names we do not know may stand below the analytes."""
    for row in below:
        cells = grid.rows[row]
        name = cells[names].text
        if not name or identity(name.rstrip(": ")) or not any(cells[column].text for column, role in roles.items()
                                                              if role == "result"):
            return row
    return below.stop


@lru_cache(10_000)
def named(text: str) -> str:
    """Kind that a name of an analyte stands for, in soil or else in leaf; empty for other texts."""
    if not any(sign.isalpha() for sign in text):
        return ""
    found = analyte(text) or analyte(text, matrix="leaf")
    return found.kind if found else ""


@cache
def words_for() -> Mapping[str, str]:
    """What a header word of a turned sheet stands for."""
    entries = (entry.partition(":") for entry in say("lab.turned_words").split(";"))
    return {folded(word): role.strip() for role, _, words in entries for word in words.split(",")}


def _column_of_names(grid: Grid) -> int | None:
    """The column with the most analytes under one another, if no row has as many beside one another."""
    down: dict[int, set[str]] = defaultdict(set)
    across, headed = 0, set()
    for cells in grid.rows[:_LOOKED_AT]:
        kinds = [named(cell.text) for cell in cells]
        across = max(across, len({kind for kind in kinds if kind}))
        for column, kind in enumerate(kinds):
            if kind:
                down[column].add(kind)
            elif words_for().get(folded(cells[column].text)) == "name":
                headed.add(column)
    fitting = {column: len(kinds) for column, kinds in down.items()
               if len(kinds) > across and len(kinds) >= (_FEWEST if column in headed else _NAMES)}
    return max(fitting, key=lambda column: fitting[column]) if fitting else None


def _is_head(cells: tuple[Cell, ...], names: int) -> bool:
    words = [words_for().get(folded(cell.text), "") for cell in cells]
    return not named(cells[names].text) and (words[names] == "name" or "result" in words)


def _row_above(grid: Grid, names: int, first: int) -> int | None:
    """The nearest row above the analytes that says something beside the names and is no line about the samples."""
    return next((row for row in range(first - 1, -1, -1) if sum(bool(cell.text) for cell in grid.rows[row]) > 1
                 and not identity(grid.rows[row][names].text.rstrip(": "))), None)


def _roles(grid: Grid, names: int, headers: tuple[str, ...], rows: list[int]) -> dict[int, str]:
    roles: dict[int, str] = {}
    for column, header in enumerate(headers):
        if column == names:
            continue
        cells = [grid.rows[row][column] for row in rows if grid.rows[row][column].text]
        known = words_for().get(folded(header)) or identity(header)
        figures = sum(bool(_FIGURE.search(cell.text)) for cell in cells)
        if known and known != "name":
            roles[column] = known
        elif cells and figures >= _NUMERIC * len(cells):
            roles[column] = _GUESSED
        elif cells:
            roles[column] = "unit" if not header and "unit" not in roles.values() else "beside"
    said, barred = "result" in roles.values(), set(say("lab.no_content").split("|"))
    for column, role in roles.items():
        if role == _GUESSED:
            roles[column] = "beside" if said or barred & set(folded(headers[column]).split()) else "result"
    return roles
