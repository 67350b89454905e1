"""The empty field sheet: a page for each thing, the units in a row, choices to pick from, one example each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import Any

import xlsxwriter

from rootcase.fieldbook.intake.layout import COVERS, DRAWN_KINDS, PAGES, RINGS, ROLES, THINGS, Layout, kinds_on
from rootcase.fieldbook.intake.practice import PRACTICE_KEYS
from rootcase.fieldbook.intake.prices import items
from rootcase.fieldbook.intake.property_page import KEYS
from rootcase.fieldbook.intake.rules import topics
from rootcase.fieldbook.intake.values import box_unit
from rootcase.fieldbook.whole_file import write_whole
from rootcase.ground.units import unit_label
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.tables.readings import ReadingKind, kinds

_LAST_ROW = 500
"""How far down the choices reach; more rows may be filled."""
# In the file's properties: the same template is the same bytes.
_MADE = datetime(2000, 1, 1)  # noqa: DTZ001
_MANY = 70
"""Columns of readings from which on the seldom ones are folded away."""
_YEARS = 4
"""Years of shoots, newest first; more may be added, each a column."""
Filled = Mapping[str, Sequence[Mapping[str, str]]]
"""Rows by page, cells by column."""
_PLACED = {"east": ("ft", "m"), "north": ("ft", "m"), "depth_from": ("in", "cm"), "depth_to": ("in", "cm")}


@dataclass
class _Column:
    """One column of a page: header, unit, what may be picked, what is told when it is entered."""

    name: str
    """Fixed column or kind."""
    header: str
    unit: str = ""
    choices: Sequence[str] | str = ()
    """Codes, or a range of another page."""
    told: tuple[str, str] | None = None
    seldom: bool = False
    """Folded away until somebody wants it."""
    example: str = ""


@dataclass
class _Book:
    """The workbook while it is written, and its hidden page of choices."""

    book: Any
    system: System
    years: tuple[str, ...]
    lists: dict[tuple[str, ...], str] = field(default_factory=dict)

    def range_of(self, choices: Sequence[str]) -> str:
        """Where a list of choices stands; each list once."""
        key = tuple(choices)
        if key not in self.lists:
            page, at = self.book.get_worksheet_by_name(say("template.choices_page")), len(self.lists)
            page.write_column(0, at, key)
            column = xlsxwriter.utility.xl_col_to_name(at, col_abs=True)
            self.lists[key] = f"={say('template.choices_page')}!{column}$1:{column}${len(key)}"
        return self.lists[key]


def write_template(path: Path, system: System, newest_year: int, filled: Filled | None = None) -> None:
    """Write the field sheet for one system of units and the shoots of four years; the same call, the same bytes.

    filled: what stands in it already, by page; pages that are not named are left out.
    """
    data = BytesIO()
    with xlsxwriter.Workbook(data, {"in_memory": True, "strings_to_numbers": False, "strings_to_urls": False}) as book:
        book.set_properties({"created": _MADE, "title": say("template.title")})
        names = (say("template.first_page"), *PAGES, say("template.choices_page"))
        sheets = {name: book.add_worksheet(name) for name in names
                  if name != "weather" and (filled is None or name not in PAGES or name in filled)}
        book.get_worksheet_by_name(say("template.choices_page")).hide()
        made = _Book(book, system, tuple(str(newest_year - back) for back in range(_YEARS)))
        _first_page(made, sheets[say("template.first_page")])
        for name, layout in PAGES.items():
            if name == "property" and name in sheets:
                _property_page(made, sheets[name])
            elif name in sheets:
                _page(made, sheets[name], _columns(layout, system, made.years), (filled or {}).get(name, ()))
    write_whole({path: data.getvalue()})


def _first_page(made: _Book, sheet: Any) -> None:
    sheet.set_column(0, 0, 100, made.book.add_format({"text_wrap": True, "valign": "top"}))
    heading = made.book.add_format({"bold": True, "font_size": 16})
    sheet.write(0, 0, say("template.title"), heading)
    for row, line in enumerate(say("template.explained").strip().split("\n"), 2):
        sheet.write(row, 0, line)


def _property_page(made: _Book, sheet: Any) -> None:
    text, head = _formats(made)[:2]
    sheet.set_column(0, 0, 18, text)
    sheet.set_column(1, 1, 34, text)
    sheet.set_column(2, 2, 70)
    sheet.write_row(0, 0, ["key", "value", say("template.what")], head)
    told = dict(line.split(": ", 1) for line in say("template.property_keys").strip().split("\n"))
    for row, key in enumerate(KEYS, 1):
        sheet.write(row, 0, key)
        sheet.write(row, 2, told[key])
        if key == "system":
            sheet.write(row, 1, made.system)
        choices = {"system": ("us", "metric"), "invented": ("no", "yes")}.get(key)
        if choices:
            sheet.data_validation(row, 1, row, 1, {"validate": "list", "source": list(choices)})


def _page(made: _Book, sheet: Any, columns: list[_Column], rows: Sequence[Mapping[str, str]] = ()) -> None:
    text, head, unit, example = _formats(made)
    sheet.freeze_panes(2, 1)
    for at, column in enumerate(columns):
        sheet.set_column(at, at, max(11, min(len(column.header) + 2, 20)), text,
                         {"level": 1, "hidden": True} if column.seldom else {})
        sheet.write(0, at, column.header, head)
        sheet.write(1, at, column.unit, unit)
        if not rows:
            sheet.write(2, at, column.example, example)
        for number, row in enumerate(rows, 2):
            sheet.write(number, at, row.get(column.name, ""), text)
        told = {"input_title": column.told[0][:32], "input_message": column.told[1][:255]} if column.told else {}
        if column.choices:
            source = column.choices if isinstance(column.choices, str) else made.range_of(column.choices)
            # A warning only: not looked and not read are no choices, and may be typed.
            sheet.data_validation(2, at, _LAST_ROW, at, {"validate": "list", "source": source, "error_type": "warning",
                                                         **told})
        elif told:
            sheet.data_validation(2, at, _LAST_ROW, at, {"validate": "any", **told})


def _formats(made: _Book) -> tuple[Any, Any, Any, Any]:
    """Text for what is typed: a spreadsheet must not make a date of 3-4, nor a number of 1,250."""
    return (made.book.add_format({"num_format": "@"}),
            made.book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1}),
            made.book.add_format({"italic": True, "num_format": "@"}),
            made.book.add_format({"font_color": "#666666", "italic": True, "num_format": "@"}))


def _columns(layout: Layout, system: System, years: tuple[str, ...]) -> list[_Column]:
    fixed = [_fixed(layout, name, system) for name in layout.columns]
    fixed[0].unit = "units"
    examples = _examples(layout.name, years)
    more = [column for kind in kinds_on(layout) for column in _of_kind(kind, system)]
    if len(more) > _MANY:
        more.sort(key=lambda column: column.seldom)
    else:
        more = [replace(column, seldom=False) for column in more]
    if layout.name == "shoots":
        shoot = kinds()["shoot_length_by_year"]
        unit = unit_label(box_unit(shoot, system))
        more = [_Column(year, year, unit, told=(shoot.label, shoot.method)) for year in years]
    columns = fixed + more
    for column in columns:
        column.example = examples.get(column.name, "")
    return columns


def _fixed(layout: Layout, name: str, system: System) -> _Column:
    """A fixed column; what names a thing offers the names on that thing's own page."""
    column = _Column(name, name.replace("_", " "))
    if name in _PLACED:
        column.unit = _PLACED[name][system == "metric"]
    elif name in COVERS:
        column.unit = "%"
    drawn = (*kinds()["place_kind"].choices, *DRAWN_KINDS) if layout.name == "outlines" else tuple(kinds())
    choices: Mapping[str, Sequence[str]] = {
        "ring": RINGS, "role": ROLES, "of": THINGS, "item": items(), "kind": drawn, "topic": topics(),
        "key": PRACTICE_KEYS,
        "shoot_position": tuple(kinds()["shoot_position"].choices)}
    if name in THINGS and name != layout.columns[0]:
        column.choices = f"={name}s!$A$4:$A${_LAST_ROW}"
    else:
        column.choices = choices.get(name, ())
    return column


def _of_kind(kind: ReadingKind, system: System) -> list[_Column]:
    """The column of a kind, and one for each attribute without which it is not compared."""
    number = bool(kind.si_unit)
    definitions = "; ".join(f"{code}: {definition}" for code, definition in kind.choices.items())
    used = {"compare", "explain", "prescribe"} & set(kind.used_by)
    seldom = not kind.quick and len(used) < 2
    own = _Column(kind.kind, kind.label, unit_label(box_unit(kind, system)) if number else "", tuple(kind.choices),
                  (kind.label, definitions or kind.method), seldom)
    return [own, *(_Column(f"{kind.kind}.{name}", f"{kind.label}, {name}", "", allowed, seldom=seldom)
                   for name, allowed in kind.required.items())]


def _examples(page: str, years: tuple[str, ...]) -> dict[str, str]:
    """The example row of a page: column and cell, as the catalogue of words has it."""
    named = {f"year_{number}": year for number, year in enumerate(years, 1)}
    rows = dict(line.split(" | ", 1) for line in say("template.examples", **named).strip().split("\n"))
    return dict(pair.split("=", 1) for pair in rows.get(page, "").split(" | ") if pair)
