"""Sheets with the analytes down the rows, turned so that the samples stand down the rows."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count
from typing import get_args

from rootcase.fieldbook.intake.grid import Cell, Grid, column_letters, folded
from rootcase.fieldbook.intake.lab.cells import lab_cell
from rootcase.fieldbook.intake.lab.sample import Identity, identity
from rootcase.fieldbook.intake.lab.standing import Block, blocks_of, named, words_for
from rootcase.ground.words import say

_EMPTY = Cell("")


@dataclass
class _Sample:
    """One sample: what the sheet says of it and what was found in it, by header."""

    places: dict[int, list[int]] = field(default_factory=dict)
    """Rows by column, as the sheet has them."""
    facts: dict[str, Cell] = field(default_factory=dict)
    values: dict[str, Cell] = field(default_factory=dict)


@dataclass
class _Turning:
    """The samples found so far, and what is to be told."""

    grid: Grid
    samples: dict[tuple[object, ...], _Sample] = field(default_factory=dict)
    told: list[str] = field(default_factory=list)
    used: set[tuple[int, int]] = field(default_factory=set)
    """Rows and columns of the cells that went into the samples."""
    shared: dict[str, Cell] = field(default_factory=dict)
    """What is said above the first block, of all samples."""


def turned(grid: Grid) -> Grid | None:
    """The sheet with a row for each sample, or None where it does not have its analytes down the rows.

    A header becomes name, method and unit of the row it was; a rating stands in brackets behind its figure. Which row
    was which column or rows of the sheet is told.
    """
    turning = _Turning(grid)
    for number, block in enumerate(blocks_of(grid)):
        _take_block(turning, number, block)
    samples = [sample for sample in turning.samples.values() if sample.values]
    if not samples:
        return None
    facts = list(dict.fromkeys(header for sample in samples for header in (*turning.shared, *sample.facts)))
    values = list(dict.fromkeys(header for sample in samples for header in sample.values))
    rows = [tuple(Cell(header) for header in (*facts, *values))]
    rows += [(*(sample.facts.get(header, turning.shared.get(header, _EMPTY)) for header in facts),
              *(sample.values.get(header, _EMPTY) for header in values)) for sample in samples]
    return Grid(grid.name, grid.file, tuple(rows), (), (*grid.told, *_told(turning, samples)))


def _take_block(turning: _Turning, number: int, block: Block) -> None:
    results = block.columns("result")
    facts: dict[int, dict[str, Cell]] = {column: {} for column in results}
    told_at: dict[tuple[int, str], set[tuple[int, int]]] = {}
    of_all = number == 0  # until the first sample's name, a line speaks of the whole sheet
    for row in _lines_about(turning.grid, block):
        found = list(_facts(turning.grid.rows[row], block, results))
        named_here = any(identity(header) in ("sample", "lab_and_number") for _, header, _, _ in found)
        of_all = of_all and not named_here and len({cell for _, _, cell, _ in found}) < 2
        for column, header, cell, places in found:
            facts[column][header] = cell
            told_at[column, header] = {(row, place) for place in places}
            if of_all:
                turning.shared[header] = cell
    turning.used |= {(block.head, column) for column, header in enumerate(block.headers) if results and (
        words_for().get(folded(header)) or identity(header))}
    bearing = {column for row in block.rows for column in results
               if _take_row(turning, number, block, row, column, facts[column])}
    for (column, _), places in told_at.items():
        turning.used |= places if column in bearing else set()  # what speaks of no result is named as left out


def _lines_about(grid: Grid, block: Block) -> Iterator[int]:
    """Rows that speak of the samples, around the analytes and among them."""
    yield from block.about
    yield from (row for row in block.rows if _is_fact(grid.rows[row], block))


def _is_fact(cells: tuple[Cell, ...], block: Block) -> bool:
    name = cells[block.names].text.rstrip(": ")
    return bool(identity(name)) and not named(name)


def _facts(cells: tuple[Cell, ...], block: Block, results: list[int]) -> Iterator[tuple[int, str, Cell, list[int]]]:
    """What a line says of each sample's column, and where: behind a word, or under each column where they differ."""
    for at, cell in enumerate(cells):
        word, colon, behind = cell.text.partition(":")
        if not identity(word):
            continue
        word = word.strip()
        own = [column for column in results if column > at and cells[column].text]
        beside = [each for each in block.columns("unit") if each > at and cells[each].text]
        unit = " ".join(cells[each].text for each in beside)
        following = next((column for column in range(at + 1, len(cells)) if cells[column].text), None)
        if colon and behind.strip():
            yield from ((column, word, Cell(behind.strip()), [at]) for column in results)
        elif len(own) > 1:
            yield from ((column, word, _with_unit(word, cells[column], unit), [at, column, *beside]) for column in own)
        elif following is not None:
            yield from ((column, word, _with_unit(word, cells[following], unit), [at, following, *beside])
                        for column in results)


def _with_unit(word: str, cell: Cell, unit: str) -> Cell:
    """A depth with the unit that stands in a column of its own."""
    measured = (identity(word) or "").find("depth") >= 0 and not re.search(r"[^\W\d]", cell.text)
    return Cell(f"{cell.text} {unit}".strip()) if measured else cell


def _take_row(turning: _Turning, number: int, block: Block, row: int, column: int, facts: dict[str, Cell]) -> bool:
    """Take one result to its sample, and say whether there was one."""
    cells = turning.grid.rows[row]
    if _is_fact(cells, block) or not cells[column].text or not cells[block.names].text:
        return False
    turning.used |= {(row, each) for each in (block.names, column, *block.roles) if block.roles.get(each) != "result"
                     or each == column}
    own = {block.headers[each]: cells[each] for each, role in block.roles.items()
           if role in get_args(Identity) and cells[each].text}
    names = tuple(cell.text for header, cell in own.items() if identity(header) == "sample")
    header, value = _value(turning, block, row, column)
    # A second figure of one analyte is a second reading of the sample: a row of its own, and none is lost.
    repeats = (turning.samples.setdefault((names or (number, column), time), _Sample()) for time in count())
    sample = next(each for each in repeats if header not in each.values)
    sample.facts |= facts | own
    if words_for().get(folded(block.headers[column])) != "result" and not any(
            identity(each) == "sample" for each in sample.facts):
        sample.facts = {say("lab.sample_header"): Cell(block.headers[column]), **sample.facts}
        turning.used.add((block.head, column))
    sample.places.setdefault(column, []).append(row)
    sample.values[header] = value
    for each in block.columns("beside"):
        if cells[each].text:
            sample.values[f"{header}: {block.headers[each] or column_letters(each)}"] = cells[each]
            turning.used.add((block.head, each))
    return True


def _value(turning: _Turning, block: Block, row: int, column: int) -> tuple[str, Cell]:
    """Header and cell of a result, with all that stands beside it."""
    cells, sheet = turning.grid.rows[row], turning.grid.name

    def beside(role: str) -> str:
        return " ".join(cells[each].text for each in block.columns(role) if cells[each].text)

    name, unit, method, value = cells[block.names].text, beside("unit"), beside("method"), cells[column]
    header = _header(name, method, unit)
    if method and named(name) and not named(header):
        turning.told.append(say("lab.turned_method", sheet=sheet, name=name, method=method))
        header = _header(name, "", unit)
    read = lab_cell(value.text, beside("limit"))
    if read.said:
        turning.told.append(f"{sheet}, {say('lab.turned_row', row=row + 1)}: {read.said}")
        value = Cell(read.text)
    if rating := beside("rating"):
        value = Cell(f"{value.text} ({re.sub(r'[()]', ' ', rating).strip()})")
    return header, value


def _header(name: str, method: str, unit: str) -> str:
    plain = " ".join(re.sub(r"[()\[\]]", " ", method).split())
    return name + (f" ({plain})" if plain else "") + (f" [{unit}]" if unit else "")


def _told(turning: _Turning, samples: list[_Sample]) -> Iterator[str]:
    """Which row was what, and what is left out."""
    places = []
    for number, sample in enumerate(samples, 2):
        (column, rows), *_ = sample.places.items()
        where = say("lab.turned_rows", first=rows[0] + 1, last=rows[-1] + 1)
        place = f"{say('lab.turned_column', column=column_letters(column))}, {where}"
        places.append(say("lab.turned_place", row=number, place=place))
    yield say("lab.turned_told", sheet=turning.grid.name, rows="; ".join(places))
    left = {number: [cell.text for at, cell in enumerate(cells) if cell.text and (number - 1, at) not in turning.used]
            for number, cells in enumerate(turning.grid.rows, 1)}
    texts = [f'{say("lab.turned_row", row=number)} "{" ".join(found)}"' for number, found in left.items() if found]
    if texts:
        yield say("lab.turned_left", sheet=turning.grid.name, rows="; ".join(texts))
    yield from turning.told
