"""Workbooks: XLSX, its binary kin, ODS and the old XLS, as rows of what their cells hold."""

from __future__ import annotations

import io
import math
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

import python_calamine

from rootcase.fieldbook.intake.foreign.limits import COLUMNS, ROWS, Refusal
from rootcase.fieldbook.intake.foreign.marks import Marks
from rootcase.fieldbook.intake.foreign.marks_ods import ods_marks
from rootcase.fieldbook.intake.foreign.marks_xlsx import xlsx_marks
from rootcase.fieldbook.intake.foreign.package import Package, unpacked
from rootcase.fieldbook.intake.foreign.text import Told

Plain = str | float | list[str]
"""A text, a number, or a form with its text."""


def sheets(raw: bytes, *, packed: bool) -> list[Mapping[str, object]]:
    """Every worksheet in the workbook's order."""
    package = unpacked(raw) if packed else None
    try:
        with python_calamine.CalamineWorkbook.from_filelike(io.BytesIO(package.stored() if package else raw)) as book:
            return [_sheet(book, sheet, package) for sheet in book.sheets_metadata
                    if sheet.typ == python_calamine.SheetTypeEnum.WorkSheet]
    except python_calamine.PasswordError:
        raise Refusal("fence.locked", "fence.right_locked") from None
    except (python_calamine.CalamineError, OSError, ValueError):
        raise Refusal("intake.not_a_sheet", "intake.right_file") from None


def _sheet(book: Any, about: Any, package: Package | None) -> Mapping[str, object]:
    sheet = book.get_sheet_by_name(about.name)
    height, width = (last + 1 for last in sheet.end) if sheet.end else (0, 0)
    _within(height, width)
    lines: list[list[Plain]] = [[_plain(value) for value in line] for line in sheet.to_python(skip_empty_area=False)]
    marks = _marks(package, about.name)
    told: Told = [] if package else [("fence.old_workbook", {})]
    if about.visible != python_calamine.SheetVisibleEnum.Visible:
        told.append(("fence.hidden", {}))
    _put(marks, lines)
    merged = [[*first, *last] for first, last in sheet.merged_cell_ranges or ()] or marks.merged
    _apart(merged, lines)
    return {"name": about.name, "rows": lines, "merged": merged, "told": told}


def _apart(merged: Sequence[Sequence[int]], lines: Sequence[Sequence[Plain]]) -> None:
    """Merged areas never lie over one another, so together they hold no more cells than the sheet."""
    height, width = len(lines), max(map(len, lines), default=0)
    covered = sum(max(0, min(bottom, height - 1) - top + 1) * max(0, min(right, width - 1) - left + 1)
                  for top, left, bottom, right in merged)
    if covered > height * width:
        raise Refusal("fence.damaged", "fence.right_resave")


def _marks(package: Package | None, name: str) -> Marks:
    if package is None:
        return Marks()
    return ods_marks(package.pages, name) if "content.xml" in package.pages else xlsx_marks(package.pages, name)


def _within(height: int, width: int) -> None:
    if height > ROWS:
        raise Refusal("fence.many_rows", "fence.right_split", f"{height:,}", most=f"{ROWS:,}")
    if width > COLUMNS:
        raise Refusal("fence.many_columns", "fence.right_split", f"{width:,}", most=COLUMNS)


def _put(marks: Marks, lines: list[list[Plain]]) -> None:
    """What the cells were seen as, over what they hold."""
    for (row, column), seen in marks.seen.items():
        _within(row + 1, column + 1)
        lines.extend([] for _ in range(row + 1 - len(lines)))
        line = lines[row]
        line.extend("" for _ in range(column + 1 - len(line)))
        held = line[column]
        if isinstance(seen, str):
            line[column] = seen
        elif isinstance(held, float):  # else it was taken for a date
            line[column] = ["number", seen.shown(held)]


def _plain(value: object) -> Plain:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return float(value) + 0.0 if math.isfinite(value) else str(value)
    if isinstance(value, datetime):
        return ["date", value.date().isoformat() if value.time() == time() else value.isoformat(" ", "minutes")]
    if isinstance(value, date | time | timedelta):
        return ["date", str(value)]
    return " ".join(str(value).replace("\x00", "\ufffd").split())
