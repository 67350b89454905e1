"""The same sum for every row of a table: its columns are what the sum asks for, its answer stands behind them."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from pathlib import Path

from rootcase.ground.errors import FileError, RootcaseError
from rootcase.ground.words import say
from rootcase.services.calculators.contract import Calculator
from rootcase.services.calculators.reading import entry_named
from rootcase.services.calculators.working import work_out

WRONG = "wrong"
"""The column that says why a row has no answer."""
_MOST_BYTES = 20_000_000


def worked_sheet(sum_: Calculator, path: Path, typed: Mapping[str, str]) -> tuple[str, int]:
    """The table with the answers behind its cells, and how many rows have none. typed: what every row has alike."""
    columns, rows = _rows(path)
    asked = {column: entry for column in columns if (entry := _entry_of(sum_, column))}
    found: list[dict[str, str]] = []
    given: dict[str, None] = {}
    for row in rows:
        try:
            worked = work_out(sum_, {**typed, **{asked[column]: row[column] for column in asked}})
        except RootcaseError as wrong:
            found.append({WRONG: str(wrong)})
            continue
        answer: dict[str, str] = {}
        for each in worked.figures:
            name = f"{sum_.name}.{each.name}".rstrip(".")
            answer[name] = "" if each.value is None else str(each.value)
            if each.low is not None:
                answer |= {f"{name}.low": str(each.low), f"{name}.high": str(each.high)}
        given |= dict.fromkeys(answer)
        found.append(answer)
    wrong_rows = sum(WRONG in each for each in found)
    written = io.StringIO()
    out = csv.DictWriter(written, [*columns, *given, *([WRONG] if wrong_rows else [])], lineterminator="\n")
    out.writeheader()
    for row, answer in zip(rows, found, strict=True):
        out.writerow({**row, **answer})
    return written.getvalue(), wrong_rows


def _entry_of(sum_: Calculator, column: str) -> str | None:
    """Columns that the sum does not know stay as they are."""
    try:
        return entry_named(sum_, column).name
    except RootcaseError:
        return None


def _rows(path: Path) -> tuple[list[str], list[dict[str, str]]]:
    if path.stat().st_size > _MOST_BYTES:
        raise FileError(say("calc.large_file"), where=path.name, value=f"{path.stat().st_size} bytes",
                        right=say("calc.large_file_right", most=_MOST_BYTES))
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise FileError(say("calc.no_text"), where=path.name, right=say("calc.no_text_right")) from None
    table = csv.DictReader(io.StringIO(text))
    columns = [each.strip() for each in table.fieldnames or ()]
    if not columns or len(set(columns)) != len(columns):
        raise FileError(say("calc.no_columns"), where=path.name, right=say("calc.no_columns_right"))
    table.fieldnames = columns
    return columns, [{column: (row[column] or "").strip() for column in columns} for row in table]
