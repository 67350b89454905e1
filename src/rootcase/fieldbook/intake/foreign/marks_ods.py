"""The marks of a sheet of an ODS, where a cell holds both its value and what was shown (OpenDocument 1.3; memory)."""

from __future__ import annotations

import re
from collections.abc import Mapping

from rootcase.fieldbook.intake.foreign.limits import COLUMNS, ROWS
from rootcase.fieldbook.intake.foreign.marks import PERCENT, Marks, PageReader, Shape, read_page

_CELLS = ("table-cell", "covered-table-cell")


def ods_marks(pages: Mapping[str, bytes], sheet: str) -> Marks:
    """The marks of one sheet."""
    found = _Content(sheet)
    read_page(pages["content.xml"], found)
    return found.marks


class _Content(PageReader):
    """Goes from cell to cell of one table; a row or a cell may say that it stands many times."""

    def __init__(self, sheet: str) -> None:
        self.marks = Marks()
        self._sheet = sheet
        self._here = False
        self._row = self._column = 0
        self._rows = 1
        self._cell: Mapping[str, str] = {}
        self._paragraphs: list[str] = []
        self._note = self._reading = False

    def opened(self, name: str, given: Mapping[str, str]) -> None:
        if name == "table":
            self._here, self._row = given.get("table:name") == self._sheet, 0
        elif name == "table-row":
            self._column, self._rows = 0, _count(given, "rows-repeated")
        elif name in _CELLS:
            self._cell, self._paragraphs = given, []
        elif name == "annotation":
            self._note = True
        elif name == "p" and not self._note:
            self._reading = True
            self._paragraphs.append("")

    def text(self, text: str) -> None:
        if self._reading:
            self._paragraphs[-1] += text

    def closed(self, name: str) -> None:
        if name == "table":
            self._here = False
        elif name == "table-row":
            self._row += self._rows
        elif name in _CELLS:
            columns = _count(self._cell, "columns-repeated")
            if self._here:
                self._mark(columns)
            self._column += columns
        elif name == "annotation":
            self._note = False
        elif name == "p":
            self._reading = False

    def _mark(self, columns: int) -> None:
        down, right = (_count(self._cell, f"{way}-spanned") - 1 for way in ("rows", "columns"))
        if down or right:
            self.marks.merged.append([self._row, self._column, self._row + down, self._column + right])
        seen = self._seen(" ".join(" ".join(self._paragraphs).split()))
        if seen:
            for row in range(self._row, self._row + min(self._rows, ROWS + 1)):
                for column in range(self._column, self._column + min(columns, COLUMNS + 1)):
                    self.marks.seen[row, column] = seen

    def _seen(self, shown: str) -> str | Shape | None:
        kind = self._cell.get("office:value-type", "")
        if self._cell.get("calcext:value-type") == "error":
            return shown
        if not kind and self._cell.get("table:formula"):
            return shown or "=" + self._cell["table:formula"].removeprefix("of:=")
        if kind == "percentage":
            return PERCENT
        unit = re.search(r"\d(\s*[^\W\d_%][^\d]*|\s*[%°'\"′″])$", shown) if kind == "float" else None
        return Shape(percent=False, behind=unit[1]) if unit else None


def _count(given: Mapping[str, str], what: str) -> int:
    count = int(given.get(f"table:number-{what}", "1"))
    if count < 1:
        raise ValueError(what)
    return count
