"""The marks of a sheet of an XLSX, from its page and the workbook's formats (ECMA-376 part 1, section 18; memory)."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Mapping

from rootcase.fieldbook.intake.foreign.marks import PERCENT, Marks, PageReader, Shape, bare, read_page, shape_of

_UNTOLD = re.compile(rb"<(?:\w+:)?f[\s/>]|\st=[\"']e[\"']")
_BUILT_IN_PERCENT = {9, 10}
_BOOK = "xl/workbook.xml"


def xlsx_marks(pages: Mapping[str, bytes], sheet: str) -> Marks:
    """The marks of one sheet; its page is gone through only if there may be any."""
    book, styles = _Book(), _Styles()
    for name, reader in ((_BOOK, book), ("xl/_rels/workbook.xml.rels", book), ("xl/styles.xml", styles)):
        if name in pages:
            read_page(pages[name], reader)
    page = pages.get(posixpath.normpath(posixpath.join("xl", book.targets.get(book.sheets.get(sheet, ""), "")))
                     .lstrip("/"), b"")
    found = _Sheet(styles.shapes)
    if styles.shapes or _UNTOLD.search(page):
        read_page(page, found)
    return found.marks


class _Book(PageReader):
    """Which page is which sheet's."""

    def __init__(self) -> None:
        self.sheets: dict[str, str] = {}
        self.targets: dict[str, str] = {}

    def opened(self, name: str, given: Mapping[str, str]) -> None:
        plain = {bare(key): value for key, value in given.items()}
        if name == "sheet":
            self.sheets[plain.get("name", "")] = plain.get("id", "")
        elif name == "Relationship":
            self.targets[plain.get("Id", "")] = plain.get("Target", "")


class _Styles(PageReader):
    """Shapes by the number a cell gives for its style."""

    def __init__(self) -> None:
        self.shapes: dict[str, Shape] = {}
        self._of_format: dict[str, Shape | None] = {str(number): PERCENT for number in _BUILT_IN_PERCENT}
        self._in_cells = False
        self._count = 0

    def opened(self, name: str, given: Mapping[str, str]) -> None:
        if name == "numFmt":
            self._of_format[given.get("numFmtId", "")] = shape_of(given.get("formatCode", ""))
        elif name == "cellXfs":
            self._in_cells = True
        elif name == "xf" and self._in_cells:
            shape = self._of_format.get(given.get("numFmtId", ""))
            if shape:
                self.shapes[str(self._count)] = shape
            self._count += 1

    def closed(self, name: str) -> None:
        if name == "cellXfs":
            self._in_cells = False


class _Sheet(PageReader):
    """Goes from cell to cell; one that does not say where it is stands beside the one before."""

    def __init__(self, shapes: Mapping[str, Shape]) -> None:
        self.marks = Marks()
        self._shapes = shapes
        self._row = self._column = -1
        self._cell: Mapping[str, str] = {}
        self._inside = ""
        self._texts: dict[str, str] = {}

    def opened(self, name: str, given: Mapping[str, str]) -> None:
        if name == "row":
            self._row, self._column = int(given["r"]) - 1 if "r" in given else self._row + 1, -1
        elif name == "c":
            self._cell, self._texts = given, {}
            self._row, self._column = _place(given["r"]) if "r" in given else (self._row, self._column + 1)
        elif name in ("f", "v", "t"):
            self._inside = name
            self._texts.setdefault(name, "")

    def text(self, text: str) -> None:
        if self._inside:
            self._texts[self._inside] += text

    def closed(self, name: str) -> None:
        if name == self._inside:
            self._inside = ""
        elif name == "c":
            seen = self._seen(self._texts.get("v", ""))
            if seen:
                self.marks.seen[self._row, self._column] = seen

    def _seen(self, value: str) -> str | Shape | None:
        kind = self._cell.get("t", "n")
        if kind == "e" and value:
            return " ".join(value.split())
        if "f" in self._texts and not value and kind != "str" and "t" not in self._texts:
            return " ".join(f"={self._texts['f']}".split())
        return self._shapes.get(self._cell.get("s", "")) if kind == "n" and value else None


def _place(reference: str) -> tuple[int, int]:
    """Row and column from 0.

    >>> _place("A1"), _place("AB12")
    ((0, 0), (11, 27))
    """
    found = re.fullmatch(r"([A-Z]{1,3})([1-9]\d{0,6})", reference)
    if not found:
        raise ValueError(reference)
    column = 0
    for letter in found[1]:
        column = column * 26 + ord(letter) - ord("A") + 1
    return int(found[2]) - 1, column - 1
