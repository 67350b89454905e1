"""Ours beside theirs: what each column of a stranger's list is taken for, in which unit, and why."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.lists import notation, units
from rootcase.fieldbook.intake.lists.laboratory import Laboratory, lab_meaning, laboratory_of
from rootcase.fieldbook.intake.lists.notation import Comma
from rootcase.fieldbook.intake.lists.table import Table
from rootcase.fieldbook.intake.lists.told import KEEP, LEAVE, Told
from rootcase.fieldbook.intake.lists.words import PLAIN, TRUNKS, Meant, meant, plain
from rootcase.ground.dates import Order
from rootcase.ground.errors import FileError
from rootcase.ground.units import unit_label
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.tables.readings import ReadingKind, kinds

Thing = Literal["tree", "sample"]
Standing = Literal["said", "proposed", "asked", "kept", "left"]

_ONCE = ("tag", "of_tree", "depth", "place", "ground", "day", "position", "genus", "species", "latitude", "longitude")
"""What only one column of a list can be; a second one is kept as text."""
_OF_A_LIST = ("tag", "species", "genus", "dbh", "tree_height", "crown_spread")
"""A list of trees has one of these at least."""
_UNDECIDED = ("tree", "arbre", "baum", "boom", "arbol", "code")
"""Header words that mean the tag in one list and the species in another; the cells decide."""
_SAMPLES = 3
_NAMES = (("tag", "sample"), ("tag", "tree"))
"""A column that names samples, and one whose names of samples are those of trees."""
_IN_UNITS = re.compile(r"\b((?:\w{1,20}[:,]? ){1,3}?)(?:is |are )?in ([^\W\d]{1,20})\b", re.IGNORECASE)
_METHODS = ("method", "extractant", "extract", "buffer")
"""What tells two laboratories' values of one kind apart."""


@dataclass(frozen=True, slots=True)
class Theirs:
    """One column of the list and what it is taken for."""

    at: int
    header: str
    target: str
    """One of words.PLAIN, the code of a kind, keep or leave."""
    word: str
    """The same as `--column` and the mapping file write it: girth for a trunk that was taped round."""
    standing: Standing
    why: str
    samples: tuple[str, ...]
    unit: str = ""
    factor: float = 1.0
    attributes: Mapping[str, str] = field(default_factory=dict)
    said: tuple[str, ...] = ()
    """What has to be known of it beside the unit."""
    options: tuple[str, ...] = ()
    """What may be written for it where it is asked."""
    comma: Comma | None = None
    order: Order | None = None
    second_of: str = ""
    """What it would be if no other column were taken for that."""

    @property
    def kind(self) -> ReadingKind | None:
        return kinds().get(self.target) if self.standing in ("said", "proposed") else None

    @property
    def ours(self) -> str:
        """The same in words."""
        if self.kind is None:
            plainly = self.target if (self.target, self.word) not in _NAMES else f"name_of_{self.word}"
            return say(f"lists.ours.{plainly}") if self.target in PLAIN else kinds()[self.target].label
        label = say("laboratory.method", kind=self.kind.label, method=self.method) if self.method else self.kind.label
        return f"{label}, {unit_words(self)}" if unit_words(self) else label

    @property
    def method(self) -> str:
        """By what a laboratory read it, or that nobody says it."""
        wanted = self.kind.required if self.kind and self.kind.of == "sample" else {}
        return ", ".join(_method(name, allowed, self.attributes) for name, allowed in wanted.items()
                         if name in _METHODS)

    @property
    def means(self) -> str:
        """As `--column` and the mapping file write it."""
        return f"{self.word}:{self.unit}" if self.unit and self.kind and units.needs_unit(self.kind) else self.word


def _method(name: str, allowed: Sequence[str], attributes: Mapping[str, str]) -> str:
    code = attributes.get(name, "")
    if not code:
        return say("lists.method_unsaid", name=name)
    return say(f"laboratory.by.{code}") if code in allowed and code != "other" else attributes.get(
        f"{name}_as_printed", code)


@dataclass(frozen=True, slots=True)
class Mapped:
    """The columns of a list, and whether its rows are trees or samples."""

    thing: Thing
    columns: tuple[Theirs, ...]
    system: System | None
    laboratory: Laboratory | None = None

    def of(self, target: str) -> Theirs | None:
        """The column that is taken for this, if one is."""
        return next((each for each in self.columns if each.target == target and each.standing in ("said", "proposed")),
                    None)

    @property
    def labels(self) -> Theirs | None:
        """The column that names trees or samples."""
        return self.of("tag") or ((self.of("lab_and_number") or self.of("of_tree")) if self.laboratory else None)


def map_columns(table: Table, told: Told, known_system: System | None) -> Mapped:
    """Take every column for what somebody said, else for what its header, its cells and the other columns say."""
    for header in told.columns:
        if header not in table.header and not any(plain(header) == plain(each) for each in table.header):
            raise FileError(say("lists.no_such_column"), where=say("lists.sheet", file=table.file, sheet=table.name),
                            value=f'"{header}"', right=say("intake.one_of", choices=", ".join(table.header)))
    texts = {at: [row.cells[at].text for row in table.rows if row.cells[at].text] for at in range(len(table.header))}
    sheet = laboratory_of(table, told.matrix)
    found = [_meaning(table, at, texts[at], told, sheet) for at in range(len(table.header))]
    seen = [each.unit for each, _ in found if isinstance(each, Meant) and each.unit]
    own = units.system_of(seen)
    system = known_system or own
    whose = say("lists.whose_property") if known_system else say("lists.whose_sheet")
    of_bare = None if own and own != system else system  # one says feet, the other metres: bare numbers may be either
    columns = [_theirs(table, at, texts[at], *found[at], told, (of_bare, whose)) for at in range(len(table.header))]
    seen = [each.unit for each in columns if each.standing == "proposed"]
    if system is None and (proposed := units.system_of(seen)):
        whose = say("lists.whose_proposed")
        open_still = [each for each in columns if each.standing == "asked" and each.options and not each.said]
        for each in open_still:
            again = _theirs(table, each.at, texts[each.at], *found[each.at], told, (proposed, whose))
            columns[each.at] = replace(again, standing="proposed") if again.standing != "asked" else again
    if sheet is None and not told.columns and not any(each.target in _OF_A_LIST for each in columns):
        raise FileError(say("lists.no_list"), where=say("lists.sheet", file=table.file, sheet=table.name),
                        right=say("lists.right_list"))
    return Mapped("sample" if sheet else "tree", tuple(_whole(_each_once(columns, told))), system, sheet)


def _meaning(table: Table, at: int, texts: Sequence[str], told: Told,
             sheet: Laboratory | None) -> tuple[Meant | str, str]:
    """What a column stands for, or keep or leave, and how that is known."""
    header = table.header[at]
    words = next((words for name, words in told.columns.items() if plain(name) == plain(header)), None)
    if words is not None:
        return _said(table, header, words, sheet), say("lists.you_said")
    if not texts:
        return LEAVE, say("lists.empty_column")
    if sheet:
        found = lab_meaning(header, table.units[at], sheet) or meant(header, table.units[at])
        of = found.kind.of if found and found.kind else "sample"
        return (found, say("lists.header_says")) if found and of == "sample" else (KEEP, say("lists.not_ours"))
    found = meant(header, table.units[at])
    if found and found.kind and not found.unit and (unit := _unit_above(table, found)):
        return replace(found, unit=unit), say("lists.title_says")
    if plain(header) in _UNDECIDED:
        figures = sum(bool(re.search(r"\d", text)) for text in texts)
        found = Meant("tag") if 2 * figures > len(texts) else Meant("species")
    if found is None:
        return KEEP, say("lists.not_ours")
    if found.kind and found.kind.of not in ("tree", "place", "visit"):
        return KEEP, say("lists.of_other", kind=found.kind.label, of=found.kind.of)
    if found.target in ("latitude", "longitude") and not any(_is_degrees(text) for text in texts):
        return KEEP, say("lists.no_degrees")
    return found, say("lists.header_says")


def _said(table: Table, header: str, words: str, sheet: Laboratory | None) -> Meant | str:
    """What somebody said of a column, as `dbh:in`, `keep` or `leave`."""
    name, _, unit = words.rpartition(":") if ":" in words else (words, "", "")
    if words in (KEEP, LEAVE):
        return words
    found = (lab_meaning(words, "", sheet) if sheet else None) or meant(name, unit)
    if found is None or (unit and found.kind and not found.unit):
        raise FileError(say("lists.no_such_meaning"), where=say("lists.column", file=table.file, column=header),
                        value=f'"{words}"', right=say("lists.right_meaning"))
    return found


def _unit_above(table: Table, found: Meant) -> str:
    """The one unit a line above the header gives for this, as "DBH in inches" does."""
    parts = [part for text in table.above for part in _IN_UNITS.finditer(text)]
    told = [meant(f"{name} ({part[2]})") for part in parts for name in _endings(re.sub(r"[:,]", "", part[1]))]
    said = {each.unit for each in told if each and each.unit and each.target == found.target}
    return said.pop() if len(said) == 1 else ""


def _endings(words: str) -> tuple[str, ...]:
    """All of the words, and those without the first ones: the name may begin after other words."""
    parts = words.split()
    return tuple(" ".join(parts[at:]) for at in range(len(parts)))


def _is_degrees(text: str) -> bool:
    try:
        return abs(float(text.rstrip("°").replace(",", "."))) <= 180
    except ValueError:
        return bool(re.search(r"[°NSEW]", text))


def _theirs(table: Table, at: int, texts: Sequence[str], found: Meant | str, why: str, told: Told,
            system: tuple[System | None, str]) -> Theirs:
    header, samples = table.header[at], tuple(dict.fromkeys(texts))[:_SAMPLES]
    if isinstance(found, str):
        return Theirs(at, header, found, found, "left" if found == LEAVE else "kept", why, samples)
    said = (found.said,) if found.said else ()
    target = found.kind.kind if found.kind else found.target
    plainly = Theirs(at, header, target, found.word or found.target, "said", why, samples, found.unit, found.factor,
                     found.attributes, said)
    if found.asked:
        return replace(plainly, standing="asked", why=found.said, said=(), options=found.options)
    if target == "day":
        return _with_order(plainly, texts, told)
    if found.kind is None or not found.kind.si_unit:
        return plainly
    plainly = _with_comma(plainly, texts, told)
    if found.unit or not units.needs_unit(found.kind):
        return plainly if found.unit else replace(plainly, unit=found.kind.metric_unit)
    read = [notation.with_comma(text, plainly.comma) for text in texts]
    unit = units.unit_of(found.kind, found.factor, read, *system)
    return replace(plainly, unit=unit.unit, standing=unit.standing, why=unit.why,
                   options=tuple(f"{found.target}:{each}" for each in unit.options))


def _with_order(plainly: Theirs, texts: Sequence[str], told: Told) -> Theirs:
    """With what stands first in its days, the day or the month."""
    orders: Mapping[str, Order] = {"day-first": "day_first", "month-first": "month_first"}
    if plainly.header in told.days:
        return replace(plainly, order=orders[told.days[plainly.header]])
    found = notation.order_of(texts)
    if found is None or not any(map(notation.has_open_order, texts)):
        return replace(plainly, order=found)
    return replace(plainly, order=found, said=(*plainly.said, say(f"lists.order.{found}")))


def _with_comma(plainly: Theirs, texts: Sequence[str], told: Told) -> Theirs:
    """With what a comma is in its numbers."""
    commas: Mapping[str, Comma] = {"decimal": "decimal", "thousands": "thousands"}
    if plainly.header in told.commas:
        return replace(plainly, comma=commas[told.commas[plainly.header]])
    found = notation.comma_of(texts)
    if all(notation.with_comma(text, found) == text for text in texts):
        return replace(plainly, comma=found)
    return replace(plainly, comma=found, said=(*plainly.said, say(f"lists.comma_is.{found}")))


def _each_once(columns: Sequence[Theirs], told: Told) -> list[Theirs]:
    """Of two columns for one fact the better named stands; the other is kept as text."""
    chosen: dict[str, Theirs] = {}
    for target in _ONCE:
        rivals = [each for each in columns if each.target == target and each.standing in ("said", "proposed")]
        ranked = sorted(rivals, key=lambda each: (each.header not in told.columns, _rank(each), each.at))
        if ranked:
            chosen[target] = ranked[0]
    trunks = [each for each in columns if each.target == "dbh" and each.standing in ("said", "proposed")]
    best = min(trunks, key=lambda each: (each.header not in told.columns, TRUNKS.index(each.word)), default=None)
    lesser = [each for each in trunks if best and each.word != best.word]
    first = {**chosen, "dbh": best} if best else chosen
    return [replace(each, target=KEEP, word=KEEP, standing="kept", second_of=each.target,
                    why=say("lists.second", first=first[each.target].header))
            if each in lesser or (each.standing in ("said", "proposed") and chosen.get(each.target, each) is not each)
            else each for each in columns]


def _whole(columns: Sequence[Theirs]) -> list[Theirs]:
    """A half of a position places no tree, and a pair beside it is one too many; a genus alone is the species."""
    there = {each.target for each in columns if each.standing in ("said", "proposed")}
    text: dict[str, str] = {}
    if {"latitude", "longitude"} <= there:
        text["position"] = say("lists.second", first=next(each.header for each in columns if each.target == "latitude"))
    else:
        text |= dict.fromkeys(("latitude", "longitude"), say("lists.half_position"))
    found = [replace(each, target=KEEP, word=KEEP, standing="kept", why=text[each.target])
             if each.target in text and each.standing in ("said", "proposed") else each for each in columns]
    if "species" in there:
        return found
    return [replace(each, target="species", word="species") if each.target == "genus" else each for each in found]


def _rank(theirs: Theirs) -> int:
    """How well a header names its fact: its place in the list of words, botanical before common names."""
    order = [plain(word) for word in say("lists.better_words").split("|")]
    word = plain(theirs.header)
    return order.index(word) if word in order else len(order)


def unit_words(theirs: Theirs) -> str:
    """The unit as it is shown beside a column."""
    return unit_label(theirs.unit) if theirs.unit and theirs.kind and units.needs_unit(theirs.kind) else ""


def is_blank(cell: Cell) -> bool:
    """Whether a cell says nothing, as `-` and `n/a` do."""
    return cell.text.casefold() in say("typed.blank").split("|")

