"""A plain table in a file: a heading, commas between cells, a point in numbers; no fieldbook is asked."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rootcase.ground.errors import FileError, Missing, UnreadableValue
from rootcase.ground.words import say
from rootcase.science.choice.knapsack import LARGEST

_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?", re.ASCII)


@dataclass(frozen=True, slots=True)
class PlainRow:
    """Cells of one row by their column, with where it stands."""

    number: int
    where: str
    cells: dict[str, str]

    def figure(self, column: str) -> float:
        """The number of a cell."""
        typed = self.cells[column]
        number = plain_number(typed)
        if number is None:
            raise UnreadableValue(say("choose.no_number", column=column), where=self.where,
                                  right=say("choose.write_number"), value=typed or say("choose.nothing_written"))
        return number

    def name(self, column: str) -> str:
        """What a cell is called, which cannot be nothing."""
        if not self.cells[column]:
            raise Missing(say("choose.no_name", column=column), where=self.where, right=say("choose.name_it"))
        return self.cells[column]


def plain_number(typed: str) -> float | None:
    """A number without a unit, a sign of thousands or a decimal comma; None: it is none.

    >>> plain_number(" 12.50 "), plain_number("1,250"), plain_number("inf"), plain_number("1e999")
    (12.5, None, None, None)
    """
    value = float(typed) if _NUMBER.fullmatch(typed.strip()) else LARGEST * 2
    return value if abs(value) <= LARGEST else None


def plain_rows(path: Path, columns: Sequence[str]) -> Iterator[PlainRow]:
    """The rows below the heading, of whose columns these are read; blank rows are passed over."""
    try:
        with path.open(encoding="utf-8-sig", newline="") as text:
            yield from _rows(path, columns, csv.reader(text, strict=True, skipinitialspace=True))
    except UnicodeDecodeError:
        raise FileError(say("choose.not_text"), where=str(path), right=say("choose.save_as")) from None
    except csv.Error as error:
        raise FileError(say("choose.not_csv"), where=str(path), value=str(error), right=say("choose.save_as")) from None


def _rows(path: Path, columns: Sequence[str], reader: Any) -> Iterator[PlainRow]:
    head: list[str] = next(reader, [])
    places = _places(path, columns, head)
    for cells in reader:
        if not any(cell.strip() for cell in cells):
            continue
        where = say("choose.row", file=path, row=reader.line_num)
        if len(cells) != len(head):
            raise FileError(say("choose.cells", cells=len(cells), head=len(head)), where=where,
                            value=", ".join(cells), right=say("choose.comma_and_point"))
        yield PlainRow(reader.line_num, where, {name: cells[place].strip() for name, place in places.items()})


def _places(path: Path, columns: Sequence[str], head: list[str]) -> dict[str, int]:
    """Where each of our columns stands."""
    names = [name.strip().lower() for name in head]
    if len(names) == 1 and re.search(r"[;\t]", names[0]):
        raise FileError(say("choose.other_separator"), where=str(path), value=head[0].strip(),
                        right=say("choose.comma_and_point"))
    for name in columns:
        if names.count(name) != 1:
            told = say("choose.column_twice" if name in names else "choose.no_column", column=name)
            raise FileError(told, where=str(path), value=", ".join(names),
                            right=say("choose.columns", columns=", ".join(columns)))
    return {name: names.index(name) for name in columns}
