"""The same sum for every row of a table: its columns are what the sum asks for, its answer stands behind them."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from rootcase.ground.errors import FileError, RootcaseError, UnreadableValue
from rootcase.ground.quantity import number
from rootcase.ground.units import convert, unit_label
from rootcase.ground.words import say
from rootcase.services.calculators.alone import ask_unit, is_alone, with_own_unit
from rootcase.services.calculators.both import both
from rootcase.services.calculators.contract import Calculator, Entry
from rootcase.services.calculators.reading import entry_named
from rootcase.services.calculators.working import Figure, work_out

WRONG = "wrong"
"""The column that says why a row has no answer."""
_MOST_BYTES = 20_000_000


def worked_sheet(sum_: Calculator, path: Path, typed: Mapping[str, str]) -> tuple[str, int]:
    """The table with the answers behind its cells, and how many rows have none. typed: what every row has alike."""
    columns, rows = _rows(path)
    asked = _asked(sum_, columns, typed)
    found: list[dict[str, str]] = []
    given: dict[str, None] = {}
    for row in rows:
        try:
            worked = work_out(sum_, {**typed, **{
                entry.name: _with_unit(column, entry, row[column]) for column, entry in asked.items()}})
        except RootcaseError as wrong:
            found.append({WRONG: str(wrong)})
            continue
        answer: dict[str, str] = {}
        for each in worked.figures:
            answer |= _cells(f"{sum_.name}.{each.name}".rstrip("."), each)
        given |= dict.fromkeys(answer)
        found.append(answer)
    wrong_rows = sum(WRONG in each for each in found)
    written = io.StringIO()
    out = csv.DictWriter(written, [*columns, *given, *([WRONG] if wrong_rows else [])], lineterminator="\n")
    out.writeheader()
    for row, answer in zip(rows, found, strict=True):
        out.writerow({**row, **answer})
    return written.getvalue(), wrong_rows


def _asked(sum_: Calculator, columns: list[str], typed: Mapping[str, str]) -> dict[str, Entry]:
    """What the columns are for the sum; those that have not the full name of something it asks for stay as they are."""
    asked: dict[str, Entry] = {}
    for column in columns:
        found = [each for each in sum_.entries if _plain(column) in each.full_names]
        if len(found) == 1:
            asked[column] = found[0]
    there = [entry_named(sum_, name).name for name in typed]
    names = [*there, *(each.name for each in asked.values())]
    for column, entry in asked.items():
        if names.count(entry.name) > 1:
            raise UnreadableValue(say("calc.twice"), where=entry.name, value=column, right=say("calc.column_or_typed"))
    return asked


def _plain(column: str) -> str:
    return column.replace("-", "_").replace(" ", "_")


def _with_unit(column: str, entry: Entry, cell: str) -> str:
    """A cell's number alone is in the unit that its column names; where it names none, it is asked about."""
    if not is_alone(entry, cell):
        return cell
    if _plain(column) != entry.name or entry.name in entry.full_names[1:]:
        ask_unit(entry, cell, say("calc.no_unit"))
    return with_own_unit(entry, cell)


def _cells(name: str, figure: Figure) -> dict[str, str]:
    """The figure by the headings of its columns: in US units, then in metric ones."""
    cells: dict[str, str] = {}
    for unit in dict.fromkeys(both(figure.unit)):
        behind = f" ({unit_label(unit) or unit})" if unit not in ("", "1") else ""
        cells[f"{name}{behind}"] = _cell(figure.value, figure.unit, unit)
        if figure.low is not None:
            cells |= {f"{name}.low{behind}": _cell(figure.low, figure.unit, unit),
                      f"{name}.high{behind}": _cell(figure.high, figure.unit, unit)}
    return cells


def _cell(value: Any, own: str, unit: str) -> str:
    if isinstance(value, list):
        return "; ".join(_cell(each, own, unit) for each in value)
    if isinstance(value, bool | str):
        return str(value)
    if value is None or not math.isfinite(value):
        return "" if value is None or math.isnan(value) else number(value)
    return str(value if unit == own else convert(value, own, unit))


def _rows(path: Path) -> tuple[list[str], list[dict[str, str]]]:
    if path.stat().st_size > _MOST_BYTES:
        raise FileError(say("calc.large_file"), where=path.name, value=f"{path.stat().st_size} bytes",
                        right=say("calc.large_file_right", most=_MOST_BYTES))
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise FileError(say("calc.no_text"), where=path.name, right=say("calc.no_text_right")) from None
    heading = text.partition("\n")[0]
    table = csv.DictReader(io.StringIO(text), delimiter=";" if ";" in heading and "," not in heading else ",")
    columns = [each.strip() for each in table.fieldnames or ()]
    if not columns or len(set(columns)) != len(columns):
        raise FileError(say("calc.no_columns"), where=path.name, right=say("calc.no_columns_right"))
    table.fieldnames = columns
    return columns, [{column: (row[column] or "").strip() for column in columns} for row in table]
