"""A property in whose every field stands what nobody would type in good faith."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from importlib.resources import as_file, files
from pathlib import Path

from rootcase.fieldbook.fieldbook import Fieldbook

LONG = "a" * 200 + " a word and again " * 221
"""About 4,000 signs, the first of them without a gap."""
TYPED = {
    "Alder Bank school ground": "<script>alert(1)</script> \"ground\" & 'bank'",
    "front lawn": "lawn\"><img src=x onerror=alert(2)>",
    "pitch": "{{7*7}} ${7*7} %s {tree}",
    "north wood": "شجرة الغابة \u202eyrros\u202c",
    "oak 1": "=HYPERLINK(\"http://example.org\",\"oak\")",
    "oak 2": "дуб 楓 </td></table>",
    "oak 4": "🌳🫠 oak' onmouseover='alert(3)",
    "wood oaks": "<b>wood</b> &lt;oaks&gt;",
    "crowns": "javascript:alert(4)",
    "shoots and soil": "--><!-- ]]> \u2066soil\u2069",
    "wood": "../../etc/passwd%00",
    "reader 1": "<svg onload=alert(5)>",
    "reader 2": "Robert'); DROP TABLE events;--",
    "The practice of this demonstration": "<iframe srcdoc='<script>alert(6)</script>'></iframe>",
    "an invented street, an invented town": "street\u0001 \ufffe\u200b town",
    "sales tax": "<tax>",
    "invented price of the demonstration": "</title><script>alert(7)</script>",
    "invented rule of the demonstration, page 3": "#set page(fill: red) $x$ \\",
    "applicator, invented number 12": "*bold* _it_ `code` @ref <label>",
    "collar not opened": LONG,
    "ball season": "</script><script>alert(8)</script>",
    "pit 1": "pit <1>", "pit 4": "pit & 4", "pitch soil": "soil 'a\"",
}
_CHOSEN = {"kind", "place_kind", "item"}
"""Columns of choices: there a word of ours means what it says."""
_LEFT_OUT = {"oak 3", "oak 5", "oak 6", "oak 7", "oak 8"}


def bring_hostile(book: Fieldbook, folder: Path) -> str:
    """Take the invented sheets in with other words in them; returns the property's id."""
    with as_file(files("rootcase.services").joinpath("demo", "alder-bank")) as packaged:
        for sheet in packaged.glob("*.csv"):
            with sheet.open(newline="", encoding="utf-8") as read, (folder / sheet.name).open("w", newline="") as write:
                csv.writer(write).writerows(_rows(csv.reader(read)))
    (folder / "terms.txt").write_text("<script>alert(9)</script>\n\n" + LONG, encoding="utf-8")
    return book.import_sheet(folder).property_id


def _rows(rows: Iterator[list[str]]) -> Iterator[list[str]]:
    heads = next(rows)
    yield heads
    for row in rows:
        if not _LEFT_OUT & set(row):
            yield [cell if head in _CHOSEN else TYPED.get(cell, cell) for head, cell in zip(heads, row, strict=True)]
