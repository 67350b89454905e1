"""Read: a form of readings in walking order, made from the catalogue, and what was typed into it kept."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from secrets import token_hex

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.forms import Filled
from rootcase.fieldbook.intake.layout import COVERS, PAGES, RINGS, kinds_on
from rootcase.fieldbook.intake.species import names_no_kind, resolve
from rootcase.fieldbook.intake.values import box_unit
from rootcase.ground.dates import last_finished_season, read_date
from rootcase.ground.errors import RootcaseError
from rootcase.ground.length import MOST_LINE, too_long
from rootcase.ground.units import unit_label
from rootcase.ground.words import say
from rootcase.records.observe import Place, PropertyRecord, Reading, System, Tree
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import species_of
from rootcase.tables.load import table
from rootcase.tables.readings import ReadingKind, kinds

_MARK = re.compile("[A-Za-z0-9_-]{1,16}")
_STAGE = "observe"
"""What reading is: wishes, money, trials and records of work are told elsewhere, by who may."""
_MOST_TIMES = 3
"""Boxes for repeats; a full set of shoots or leaves goes into the field sheet."""
_YEARS = 4
_BESIDE = {"shoot_length_last": "shoot_position", "probe_depth": "probe_stop"}
"""What a reading of the first look is not compared without."""
PUSHES = ("probe_depth", "probe_stop")
SPECIES, SPECIES_SAID = "v.species.1", "s.species"
"""The field of a tree's kind, and that of what was answered where its name is asked about."""
_PAGE_OF = {"tree": "trees", "pit": "pits", "sample": "samples", "place": "places", "visit": "visits"}
_ABOUT = {"pits": "depth_from", "samples": "sample"}
"""The field that a fault of a whole row is about; of all others the day."""


@dataclass(frozen=True, slots=True)
class Ask:
    """One kind of reading as a form asks for it."""

    kind: ReadingKind
    unit: str
    """Of a number typed without one."""
    times: int = 1


@dataclass(frozen=True, slots=True)
class Stop:
    """Where one stands while these are read."""

    name: str
    asks: tuple[Ask, ...]


@dataclass(frozen=True, slots=True)
class Came:
    """What came of a form: how many readings are kept, and what is wrong, by field."""

    kept: int
    wrong: Mapping[str, str]


def walk(things: tuple[str, ...], system: System, opened: str = "") -> tuple[Stop, ...]:
    """The stops of a form for these things: the kind that somebody came for, the first look, then all in walking order.

    A kind is asked for once, where it comes first.
    """
    first = [kinds()[code] for kind in kinds().values() if kind.quick and kind.of in things
             for code in (kind.kind, _BESIDE.get(kind.kind, "")) if code]
    wanted = [kinds()[each] for each in (opened, _BESIDE.get(opened, "")) if each in kinds()]
    found, seen = [], set[str]()
    for name, listed in (("wanted", wanted), ("first", first), *_stops(things)):
        fresh = tuple(_ask(kind, system) for kind in listed if kind.kind not in seen and _is_asked(kind, things))
        seen |= {ask.kind.kind for ask in fresh}
        found += [Stop(name, fresh)] if fresh else []
    return tuple(found)


def shoot_years(day: date, latitude_deg: float) -> tuple[int, ...]:
    """The years whose shoots can be read on a day, newest first."""
    newest = last_finished_season(day, latitude_deg)
    return tuple(newest - back for back in range(_YEARS))


def spots(record: PropertyRecord, tree: Tree) -> tuple[str, ...]:
    """Where the soil may be read at a tree: a new spot, and those there are."""
    labels, known = {pit.label.casefold() for pit in record.pits}, [pit.label for pit in record.pits_of(tree.id)]
    new = next(name for number in range(1, len(labels) + 2)
               if (name := say("read.new_spot", tree=tree.label, number=number)).casefold() not in labels)
    return (new, *known)


def visit_label(record: PropertyRecord, day: date, by: str) -> str:
    """What a person's visit of a day is called: as it is already, where there was one."""
    known = (each.label for each in record.visits if (each.day, each.observer) == (day, by))
    return next(known, say("read.visit", day=day.isoformat(), by=by))


def of_form(record: PropertyRecord, mark: str) -> tuple[Reading, ...]:
    """What a form has brought, as it stands."""
    source = say("read.source", mark=mark)
    return tuple(reading for reading in record.readings if reading.source == source)


def take(fieldbook: Fieldbook, record: PropertyRecord, at: Tree | Place, typed: Mapping[str, str], *, by: str,
         system: System, folder: Path | None = None) -> Came:
    """Keep what was typed into a form, field by field; what is refused stays outside with the reason."""
    wrong = too_long(typed, MOST_LINE)
    sound = {name: text for name, text in typed.items() if name not in wrong}
    if question := _asked_of_species(record, at, sound):
        wrong[SPECIES] = question
        del sound[SPECIES]
    elif sound.get(SPECIES_SAID) in may_mean(sound.get(SPECIES, "")):
        sound[SPECIES] = sound[SPECIES_SAID]
    sheet = _Sheet(record, at, sound, by)
    sheet.fill()
    if len(sheet.rows) < 2:
        return Came(0, wrong or {"day": say("read.nothing_typed")})
    taken = fieldbook.forms.take(record.property.id, Filled(
        typed.get("mark", ""), {page: list(rows.values()) for page, rows in sheet.rows.items()}, system, folder), by=by)
    for fault in taken.faults:
        line = str(RootcaseError(fault.what, value=fault.value, right=fault.right))
        wrong.setdefault(sheet.field_of(fault.sheet, fault.row, fault.column), line)
    return Came(taken.kept, {"day": wrong["day"]} if "day" in wrong else wrong)


def marked(typed: Mapping[str, str]) -> Mapping[str, str]:
    """A form with a mark of its own: without one, what another form kept in the same boxes would give way to it."""
    return typed if _MARK.fullmatch(typed.get("mark", "")) else {**typed, "mark": fresh_mark()}


def fresh_mark() -> str:
    return token_hex(4)


def may_mean(species: str) -> tuple[str, ...]:
    """The kinds that a name may mean which is surely that of none."""
    return resolve(species).candidates


def _asked_of_species(record: PropertyRecord, at: Tree | Place, typed: Mapping[str, str]) -> str:
    """What is asked of a tree's name that our tables do not know, until somebody answers; of one it bears, nothing."""
    text = typed.get(SPECIES, "").strip()
    if not text or isinstance(at, Place) or text == species_of(record, at) or resolve(text).botanical or (
            names_no_kind(text) or typed.get(SPECIES_SAID, "") in (text, *may_mean(text))):
        return ""
    kinds_meant = may_mean(text)
    what = say("lists.species_several" if len(kinds_meant) > 1 else "lists.species", typed=text)
    return f"{sentence(what)}. {say('read.which_kind')}"


@dataclass(slots=True)
class _Sheet:
    """A form's fields laid out as rows of the field sheet."""

    record: PropertyRecord
    at: Tree | Place
    typed: Mapping[str, str]
    by: str
    rows: dict[str, dict[str, dict[str, str]]] = field(default_factory=dict)
    """By page and a name of the row."""
    fields: dict[tuple[str, str, str], str] = field(default_factory=dict)
    """The form's field by page, name of the row and column."""

    def fill(self) -> None:
        self.row("visits", "", "1")
        for name, text in self.typed.items():
            if text.strip() and (found := re.fullmatch(r"v\.(\w+)\.(\d)", name)) and found[1] in kinds():
                self.value(kinds()[found[1]], int(found[2]), name, text)
            elif text.strip() and (found := re.fullmatch(r"y\.(\d)\.((?:19|20)\d\d)", name)):
                self.put("shoots", found[1], found[2], name, text)
            elif text.strip() and (found := re.fullmatch(rf"c\.([0-3])\.({'|'.join(COVERS)})", name)):
                self.put("covers", found[1], found[2], name, text)
        for name, text in self.typed.items():
            found = re.fullmatch(r"o\.(\w+)", name)
            if text and found and found[1] in kinds() and not self.typed.get(f"v.{found[1]}.1", "").strip():
                self.value(kinds()[found[1]], 1, f"v.{found[1]}.1", text)

    def value(self, kind: ReadingKind, number: int, name: str, text: str) -> None:
        page = _PAGE_OF.get(kind.of, "")
        if not page or kind.stage != _STAGE or isinstance(self.at, Place) == (kind.of in ("tree", "pit", "sample")):
            return
        push = "p" if kind.kind in PUSHES else ""
        row = f"{push}{number}" if push or _times(kind) > 1 else ""
        cells = self.put(page, row, kind.kind, name, text, f"{self.typed.get('mark', '')}.{row}" if row else "1")
        cells |= {f"{kind.kind}.{each}": self.typed.get(f"a.{kind.kind}.{each}", "") for each in kind.required}

    def put(self, page: str, row: str, column: str, name: str, text: str, repeat: str = "") -> dict[str, str]:
        self.fields[page, row, column] = name
        cells = self.row(page, row, repeat)
        cells[column] = text
        return cells

    def row(self, page: str, name: str, repeat: str = "") -> dict[str, str]:
        """The row of this name, begun with what names it."""
        rows = self.rows.setdefault(page, {})
        if name not in rows:
            rows[name] = self.begun(page, name) | ({"repeat": repeat} if repeat and PAGES[page].repeats else {})
        return rows[name]

    def begun(self, page: str, name: str) -> dict[str, str]:
        visit = {"visit": self.visit}
        tree = {"tree": self.at.label} if isinstance(self.at, Tree) else {}
        mark = self.typed.get("mark", "")
        begun: dict[str, dict[str, str]] = {
            "visits": {"date": self.typed.get("day", ""), "observer": self.by},
            "places": {"place": self.at.name if isinstance(self.at, Place) else ""},
            "trees": tree, "covers": tree | {"ring": RINGS[int(name[0])]} if page == "covers" else {},
            "shoots": tree | {"shoot": f"{mark}.{name}",
                              "shoot_position": self.typed.get("a.shoot_length_by_year.position", "")},
            "pits": tree | {"pit": self.typed.get("pit", ""), **({} if name.startswith("p") else {
                each: self.typed.get(each, "") for each in ("depth_from", "depth_to")})},
            "samples": tree | {"sample": self.typed.get("sample", "")}}
        return visit | begun[page]

    @property
    def visit(self) -> str:
        """Label of the visit: that of the same person on the same day, where there is one."""
        try:
            return visit_label(self.record, read_date(self.typed.get("day", ""), None), self.by)
        except RootcaseError:
            return say("read.visit", day=self.typed.get("day", ""), by=self.by)

    def field_of(self, page: str, number: int, column: str) -> str:
        row = list(self.rows.get(page, {}))[number - 1]
        if not column and page == "covers":
            return f"c.{row[0]}"
        if not column and page == "pits" and row.startswith("p"):
            return "pit"
        return self.fields.get((page, row, column), _ABOUT.get(page, "day"))


def _stops(things: tuple[str, ...]) -> Iterator[tuple[str, list[ReadingKind]]]:
    """The catalogue in its order, cut where the table of stops cuts it."""
    by_code, order = kinds(), list(kinds())
    cuts = [row for row in table("observe/walk").rows if row["of"] in things]
    for cut in cuts:
        begins = order.index(cut["first_kind"])
        same = (order.index(each["first_kind"]) for each in cuts if each["of"] == cut["of"])
        ends = min((at for at in same if at > begins), default=len(order))
        yield cut["stop"], [by_code[code] for code in order[begins:ends] if by_code[code].of == cut["of"]]


def _is_asked(kind: ReadingKind, things: tuple[str, ...]) -> bool:
    """Whether the form has a field for it: what has a column in the field sheet, or a page of its own."""
    own = kind.kind in ("shoot_length_by_year", "cover_share_by_ring")
    return kind.of in things and kind.stage == _STAGE and (own or kind.kind in {
        each.kind for each in kinds_on(PAGES[_PAGE_OF[kind.of]])})


def _ask(kind: ReadingKind, system: System) -> Ask:
    return Ask(kind, unit_label(box_unit(kind, system)) if kind.si_unit else "", _times(kind))


def _times(kind: ReadingKind) -> int:
    """How many boxes a kind has: as many as its rule of repeats begins with, within what a form has room for."""
    if kind.kind in PUSHES:
        return _MOST_TIMES
    begins = re.match(r"\d+", kind.repeat_rule)
    return min(int(begins[0]), _MOST_TIMES) if begins and kind.value_type in ("number", "share", "count") else 1
