"""The one loader of published constants: `<subject>/<name>.csv` with its twin `<name>.toml`.

The twin says what the table is (`title`), where it comes from (`source`), how that is known (`how_known`: seen,
computed, memory, JUDGEMENT or "common practice, no source") and, under `[units]`, the unit of every column. A table
whose rows differ in that carries `source` or `how_known` as a column instead. The unit "text" keeps a cell as text; any
other unit makes it a number, and an empty cell None. Lookup is exact: there is no nearest row.
"""

from __future__ import annotations

import csv
import hashlib
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Any

from rootcase.ground.errors import FileError, Missing

_MOST_TOLD = 24
Row = Mapping[str, Any]
"""One row by column: str where the column's unit is text, else float or None."""


@dataclass(frozen=True, slots=True)
class Table:
    """A published table with its source."""

    name: str
    title: str
    source: str
    how_known: str
    units: Mapping[str, str]
    """Unit of each column; "text" where a cell is text."""
    rows: tuple[Row, ...]
    version: str
    """Changes whenever a figure, a unit or a source does."""
    _sorted: dict[tuple[str, ...], dict[tuple[Any, ...], list[Row]]] = field(default_factory=dict, repr=False,
                                                                            compare=False)
    """Rows by their cells in the columns that were asked for: plans ask for the same ones a hundred thousand times."""

    def row(self, **cells: str | float) -> Row:
        """The one row that holds exactly these cells."""
        found = self._by(tuple(cells)).get(tuple(cells.values()), [])
        if len(found) == 1:
            return found[0]
        asked = ", ".join(f"{column} = {cell}" for column, cell in cells.items())
        raise Missing(f"{len(found) or 'no'} rows of the table fit", where=f"tables/{self.name}", value=asked,
                      right="name exactly one row" if found else self._there(cells))

    def _there(self, cells: Mapping[str, str | float]) -> str:
        """What stands in the first column that has no such cell among the rows that fit so far."""
        left = self.rows
        for column, cell in cells.items():
            there = tuple(dict.fromkeys(str(row[column]) for row in left))
            left = tuple(row for row in left if row[column] == cell)
            if not left:
                more = f" and {len(there) - _MOST_TOLD} more" if len(there) > _MOST_TOLD else ""
                return f"{column} is one of: {', '.join(there[:_MOST_TOLD])}{more}"
        return "name exactly one row"

    def _by(self, columns: tuple[str, ...]) -> dict[tuple[Any, ...], list[Row]]:
        known = self._sorted.get(columns)
        if known is None:
            known = {}
            for row in self.rows:
                known.setdefault(tuple(row[column] for column in columns), []).append(row)
            self._sorted[columns] = known
        return known


@cache
def table(name: str) -> Table:
    """Load a table by its path without ending, such as "soil/texture_centres".

    >>> table("growth_class").row(growth_class="medium")["shoot_low_mm"]
    330.2
    """
    folder = files("rootcase.tables")
    return _table(name, folder.joinpath(f"{name}.csv"), folder.joinpath(f"{name}.toml"))


@cache
def names() -> tuple[str, ...]:
    """Every table by its path without ending, in order.

    >>> names()[0], "growth_class" in names()
    ('apply/drainage', True)
    """
    return tuple(sorted(_names(files("rootcase.tables"), "")))


def _names(folder: Traversable, prefix: str) -> Iterator[str]:
    for each in folder.iterdir():
        if each.is_dir():
            yield from _names(each, f"{prefix}{each.name}/")
        elif each.name.endswith(".csv"):
            yield prefix + each.name.removesuffix(".csv")


def _table(name: str, figures: Traversable, twin: Traversable) -> Table:
    for file, ending in ((figures, "csv"), (twin, "toml")):
        if not file.is_file():
            raise FileError("the table's file is missing", where=f"tables/{name}.{ending}",
                            right="every table is a .csv with a .toml of the same name beside it")
    about = tomllib.loads(twin.read_text(encoding="utf-8"))
    lines = list(csv.reader(figures.read_text(encoding="utf-8").splitlines(), strict=True))
    if not lines:
        raise FileError("the table is empty", where=f"tables/{name}.csv", right="write a header and rows")
    header = lines[0]
    units = _units(name, header, about)
    for needed in ("title", "source", "how_known"):
        if not about.get(needed) and (needed == "title" or needed not in header):
            raise FileError(f"the table has no {needed}", where=f"tables/{name}.toml", right=f'write {needed} = "..."')
    return Table(name, about["title"], about.get("source", ""), about.get("how_known", ""), MappingProxyType(units),
                 tuple(_row(name, number, units, cells) for number, cells in enumerate(lines[1:], 2)),
                 hashlib.sha256(figures.read_bytes() + twin.read_bytes()).hexdigest()[:16])


def _units(name: str, header: list[str], about: Mapping[str, Any]) -> dict[str, str]:
    """Unit of each column in the order of the header, none missing, none too many."""
    given = about.get("units", {})
    odd = [column for column in header if not given.get(column)] + [column for column in given if column not in header]
    if odd or len(set(header)) < len(header):
        raise FileError("columns and units do not match", where=f"tables/{name}.toml",
                        value=", ".join(odd) or "a column twice", right="every column has one unit under [units]")
    return {column: str(given[column]) for column in header}


def _row(name: str, number: int, units: Mapping[str, str], cells: list[str]) -> Row:
    place = f"tables/{name}.csv row {number}"
    if len(cells) != len(units):
        raise FileError("the row has another number of cells than the header", where=place,
                        value=str(len(cells)), right=str(len(units)))
    row: dict[str, Any] = {}
    for (column, unit), cell in zip(units.items(), cells, strict=True):
        if column in ("source", "how_known") and not cell:
            raise FileError(f"the row has no {column}", where=place, right='write one, "JUDGEMENT" where it is that')
        try:
            row[column] = cell if unit == "text" else float(cell) if cell else None
        except ValueError:
            raise FileError(f"{column} is not a number", where=place, value=f'"{cell}"',
                            right=f"a number in {unit}, or the unit text") from None
    return MappingProxyType(row)
