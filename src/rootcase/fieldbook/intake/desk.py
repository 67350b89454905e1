"""The desk a sheet is read on: what is known already, what has been made of the rows so far, and what is wrong."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

from rootcase.fieldbook.canonical import number_text
from rootcase.fieldbook.events import (
    Body,
    PitOpened,
    PlaceOpened,
    PropertyOpened,
    ReadingTaken,
    SampleOpened,
    TreeOpened,
    VisitStarted,
)
from rootcase.fieldbook.intake.faults import Fault, Refused
from rootcase.fieldbook.intake.grid import Cell, Page, Row, folded
from rootcase.fieldbook.intake.layout import Column, Layout
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.intake.values import Value, read_length_m, read_value
from rootcase.fieldbook.store.store import Contact
from rootcase.fieldbook.view import Head, natural, said
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.records.people import UNBOUND, Bounds
from rootcase.tables.readings import ReadingKind

Opened = PlaceOpened | TreeOpened | PitOpened | SampleOpened | VisitStarted
_OPENED: Mapping[type[Body], str] = {PlaceOpened: "place", TreeOpened: "tree", PitOpened: "pit", SampleOpened: "sample",
                                     VisitStarted: "visit"}

_SHOWN = 12
"""Of the things there are, when one that is named is not among them."""


@dataclass
class Desk:
    """Gathers drafts of events and faults while the pages go by."""

    practice_id: str
    property_id: str
    facts: PropertyOpened
    today: date
    things: dict[tuple[str, str], Opened] = field(default_factory=dict)
    """By thing and folded label."""
    drafts: dict[str, Body] = field(default_factory=dict)
    """By slot."""
    faults: list[Fault] = field(default_factory=list)
    bad_rows: dict[str, dict[int, str]] = field(default_factory=dict)
    """Rows to be set aside: page name, row number, and which repeat of its thing the row was."""
    unknown: list[str] = field(default_factory=list)
    told: list[str] = field(default_factory=list)
    heard: set[str] = field(default_factory=set)
    """What `told` says without its row: the same of many rows is told of the first."""
    contacts: list[Contact] = field(default_factory=list)
    within: Bounds = UNBOUND
    """What whoever brings the sheet may tell."""
    by: str = ""
    """Code of who brings it; a visit whose observer is left blank is theirs."""
    folder: Path | None = None
    """Where the pictures are that cells may name; None: they name none."""
    pictures: dict[str, Path] = field(default_factory=dict)
    """By the mark each is kept under."""

    def know(self, heads: Mapping[str, Head]) -> None:
        """Take over the things that earlier imports and phones have opened."""
        for head in heads.values():
            body = head.event.body
            if isinstance(body, PlaceOpened | TreeOpened | PitOpened | SampleOpened | VisitStarted):
                self.things[_OPENED[type(body)], folded(label_of(body))] = body

    def id_of(self, thing: str, label: str) -> str:
        """Id of a thing: the one it has, else one made of its label."""
        known = self.things.get((thing, folded(label)))
        made = named_id(self.practice_id, self.property_id, thing, folded(label))
        return str(getattr(known, thing)) if known else made

    def slot(self, *names: object) -> str:
        return named_id(self.practice_id, self.property_id, "slot", *names)

    def find(self, thing: str, label: str) -> Opened:
        """The thing of that label, or a refusal that names those there are."""
        if (thing, folded(label)) not in self.things:
            known = sorted((label_of(body) for (kind, _), body in self.things.items() if kind == thing), key=natural)
            more = say("lists.and_more", count=len(known) - _SHOWN) if len(known) > _SHOWN else ""
            raise Refused(say("intake.no_such_thing", thing=thing), value=f'"{label}"',
                          right=say("intake.one_of", choices=", ".join(known[:_SHOWN]) + more) if known else "")
        return self.things[thing, folded(label)]

    def open(self, thing: str, body: Opened) -> None:
        """Draft a thing; twice in one sheet it must be the same."""
        self.draft(body)
        self.things[thing, folded(label_of(body))] = body

    def draft(self, body: Body) -> None:
        earlier = self.drafts.setdefault(body.slot, body)
        if said(earlier) != said(body):
            raise Refused(say("intake.twice"), right=say("intake.right_twice"))

    def visit(self, label: str) -> VisitStarted:
        """The visit of that label; where there is only one it need not be named."""
        if label:
            found = self.find("visit", label)
            assert isinstance(found, VisitStarted)
            self.within.require_observer(found.observer)
            return found
        visits = [body for body in self.things.values() if isinstance(body, VisitStarted)]
        if len(visits) == 1:
            return self.visit(visits[0].label)
        named = ", ".join(sorted((body.label for body in visits), key=natural))
        raise Refused(say("intake.which_visit"), right=say("intake.one_of", choices=named) if named else "")


@dataclass(frozen=True, slots=True)
class Where:
    """Where in the soil or in time a reading stands, and the sum its share is taken of."""

    depth_from_m: float | None = None
    depth_to_m: float | None = None
    growth_year: int | None = None
    whole: float | None = None


NOWHERE = Where()


@dataclass
class Line:
    """One row of a page, with its columns by meaning."""

    desk: Desk
    page: Page
    layout: Layout
    columns: list[Column]
    row: Row
    repeat: str = ""

    def cell(self, name: str) -> Cell:
        """Cell of a fixed column; empty where the page has none of that name, or a word for a blank stands there."""
        found = next((cell for column, cell in self.filled("fixed") if column.name == name), Cell(""))
        return Cell("") if found.text.casefold() in say("typed.blank").split("|") else found

    def text(self, name: str) -> str:
        return self.cell(name).text

    def unit(self, name: str) -> str:
        return next((column.unit for column in self.columns if column.role == "fixed" and column.name == name), "")

    def filled(self, role: str) -> Iterator[tuple[Column, Cell]]:
        """Cells that hold something, of the columns of one role."""
        for column, cell in zip(self.columns, self.row.cells, strict=False):
            if column.role == role and cell.text:
                yield column, cell

    def depths(self) -> Where:
        """Depths of the columns depth_from and depth_to."""
        return between(*(read_length_m(self.cell(name), self.unit(name), self.desk.facts.system, small=True)
                         for name in ("depth_from", "depth_to")))

    @property
    def source(self) -> str:
        if self.page.file == f"{self.page.name}.csv":
            return say("intake.source_csv", file=self.page.file, row=self.row.number)
        return say("intake.source", file=self.page.file, sheet=self.page.name, row=self.row.number)

    @contextmanager
    def guarding(self, column: str = "", cell: Cell | None = None) -> Iterator[None]:
        """Whatever is refused inside becomes a fault of this row, and the sheet goes on."""
        try:
            yield
        except RootcaseError as error:
            value = error.value or (f'"{cell.text}"' if cell and cell.text not in error.what else "")
            self.fault(error.what.removeprefix(f"{column}: "), column=column, value=value, right=error.right)

    def fault(self, what: str, *, column: str = "", value: str = "", right: str = "",
              cells: tuple[tuple[str, str], ...] = ()) -> None:
        self.desk.faults.append(Fault(self.page.name, self.row.number, column, value, what, right, cells))
        self.desk.bad_rows.setdefault(self.page.name, {})[self.row.number] = self.repeat

    def take(self, kind: ReadingKind, cell: Cell, of: str, visit: VisitStarted | None, *, unit: str = "",
             series: str = "", attributes: Mapping[str, str] | None = None, where: Where = NOWHERE,
             factor: float = 1.0) -> None:
        """Draft the reading of one cell, if it is one."""
        self.desk.within.require_kind(kind.kind)
        value = read_value(kind, cell, unit, self.desk.facts.system, visit.day if visit else None, factor,
                           self.desk.facts.currency)
        if value is None:
            return
        if value.said and value.said not in self.desk.heard:
            self.desk.heard.add(value.said)
            self.desk.told.append(f"{self.source}: {value.said}")
        doubts, given = _attributes(kind, {**(attributes or {}), **value.attributes})
        if where.whole and value.value is not None:
            value = replace(value, value=value.value / where.whole)
        self.desk.draft(self._reading(kind.kind, of, visit, value, series, given, doubts, where))

    def take_own(self, of: str, visit: VisitStarted | None, series: str) -> None:
        """Keep the text of the columns that are none of ours, each under its own name."""
        for column, cell in self.filled("own"):
            text = f"{cell.text} {column.unit}".strip()
            self.desk.draft(self._reading(column.header, of, visit, Value(text, choice=text), series, {}, (), NOWHERE))

    def _reading(self, kind: str, of: str, visit: VisitStarted | None, value: Value, series: str,
                 attributes: dict[str, str], doubts: tuple[str, ...], where: Where) -> ReadingTaken:
        visit_id = visit.visit if visit else ""
        depths = [None if end is None else number_text(end) for end in (where.depth_from_m, where.depth_to_m)]
        slot = self.desk.slot(self.layout.name, kind, of, visit_id, series, *depths, where.growth_year,
                              attributes.get("cover"))
        return ReadingTaken(slot=slot, kind=kind, of=of, visit=visit_id, typed=value.typed, value=value.value,
                            choice=value.choice, sign=value.sign, nothing=value.nothing, series=series,
                            attributes=attributes, doubts=value.doubts + doubts, source=self.source,
                            depth_from_m=where.depth_from_m, depth_to_m=where.depth_to_m,
                            growth_year=where.growth_year)


def whole(lines: list[Line]) -> Iterator[Line]:
    """The rows that can be read; one with a value under no header waits, as its cells may have slipped aside."""
    for line in lines:
        stray = next((cell for _, cell in line.filled("blank")), None)
        if stray:
            line.fault(say("intake.no_header"), value=f'"{stray.text}"', right=say("intake.right_header"))
        else:
            yield line


def between(top_m: float | None, bottom_m: float | None) -> Where:
    """A stretch of soil; its bottom is deeper than its top."""
    if top_m is not None and bottom_m is not None and bottom_m <= top_m:
        raise Refused(say("intake.upside_down"), right=say("intake.right_upside_down"))
    return Where(top_m, bottom_m)


def label_of(body: Opened) -> str:
    return body.name if isinstance(body, PlaceOpened) else body.label


def count_repeats(lines: list[Line], *names: str) -> None:
    """Number the rows of the same thing, so that repeats keep apart; a `repeat` column that is filled wins."""
    seen: Counter[tuple[str, ...]] = Counter()
    for line in lines:
        key = tuple(folded(line.text(name)) for name in names)
        seen[key] += 1
        line.repeat = line.text("repeat") or str(seen[key])


def _attributes(kind: ReadingKind, given: dict[str, str]) -> tuple[tuple[str, ...], dict[str, str]]:
    """What the kind requires beside its value: checked where it is there, a doubt where it is not.

    A count is refused: without what was looked at it is no number.
    """
    doubts = []
    for name, allowed in kind.required.items():
        text = given.get(name, "")
        codes = {folded(code): code for code in allowed}
        if not text and kind.value_type == "count":
            raise Refused(say("doubts.no_effort", kind=kind.label), right=say(
                "doubts.right_effort", name=name, choices=", ".join(allowed)))
        if not text:
            doubts.append(say("intake.attribute_missing", name=name))
        elif allowed and folded(text) not in codes:
            raise Refused(say("intake.no_choice", kind=f"{kind.label}, {name}"), value=f'"{text}"',
                          right=say("intake.one_of", choices=", ".join(allowed)))
        elif allowed:
            given[name] = codes[folded(text)]
    return tuple(doubts), given
