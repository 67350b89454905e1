"""The field sheet's pages: which columns each has, and what a header word stands for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Literal

from rootcase.fieldbook.intake.grid import Page, folded
from rootcase.ground.units import is_unit
from rootcase.ground.words import say
from rootcase.tables.readings import ReadingKind, kinds

COVERS = ("litter", "mulch", "turf", "planting", "bare", "gravel", "paving")
RINGS = ("0-1 m", "half crown", "dripline", "twice crown")
THINGS = ("place", "tree", "pit", "sample", "visit")
ROLES = ("owner", "payer", "site contact")
_STAGES = ("observe", "prescribe")
DRAWN_KINDS = ("building", "path", "water")

Role = Literal["fixed", "kind", "attribute", "year", "fault", "own", "blank"]


@dataclass(frozen=True, slots=True)
class Layout:
    """One page of the field sheet."""

    name: str
    columns: tuple[str, ...]
    """Fixed columns in order; the first `needed` of them make the page known by its header."""
    needed: int
    of: str = ""
    """What the page's other columns are readings of."""
    repeats: bool = False
    """Whether several rows may be readings of one thing, told apart by `repeat`."""


PAGES: Mapping[str, Layout] = {page.name: page for page in (
    Layout("property", ("key", "value"), 2),
    Layout("visits", ("visit", "date", "observer"), 2, "visit", repeats=True),
    Layout("places", ("place", "visit"), 1, "place", repeats=True),
    Layout("outlines", ("place", "kind", "corner", "east", "north"), 5),
    Layout("trees", ("tree", "place", "visit", "yardstick", "compare_with", "east", "north"), 2, "tree", repeats=True),
    Layout("shoots", ("tree", "visit", "shoot_position", "shoot"), 4, repeats=True),
    Layout("covers", ("tree", "visit", "ring", *COVERS), 3),
    Layout("pits", ("pit", "tree", "place", "visit", "depth_from", "depth_to"), 1, "pit", repeats=True),
    Layout("samples", ("sample", "tree", "place", "visit"), 1, "sample", repeats=True),
    Layout("readings", ("visit", "of", "name", "kind", "value", "unit", "depth_from", "depth_to", "growth_year",
                        "note"), 5, repeats=True),
    Layout("prices", ("item", "unit", "amount", "currency", "source"), 3),
    Layout("rules", ("topic", "law", "value", "unit", "closed_from", "closed_to", "applies_to", "source", "checked_on",
                     "note"), 2),
    Layout("practice", ("key", "value", "ends"), 3),
    Layout("contacts", ("role", "name", "phone", "email"), 2),
    Layout("weather", ("date",), 1),
)}
"""In the order they are read: what a page speaks about stands before it."""


@dataclass(frozen=True, slots=True)
class Column:
    """What a header word stands for."""

    header: str
    role: Role
    name: str = ""
    """Fixed column, kind, or attribute."""
    kind: str = ""
    """Kind an attribute belongs to; empty for all kinds of the row that require it."""
    unit: str = ""
    """As the header or the units row says; empty: the property's system decides."""
    factor: float = 1.0
    """What a number is multiplied by to become the kind's own: nitrate to nitrogen, a girth to a diameter."""
    attributes: Mapping[str, str] = field(default_factory=dict)
    """What the header says of every value under it, such as a laboratory's method."""


def layout_of(page: Page) -> Layout | None:
    """Which page of the field sheet this is, by its name, else by its header; None where it is none."""
    name = folded(page.name)
    for layout in PAGES.values():
        if name == layout.name or name.startswith(f"{layout.name} "):
            return layout
    words = {folded(header) for header in page.header}
    fits = [layout for layout in PAGES.values() if words >= {folded(word) for word in layout.columns[:layout.needed]}]
    # The widest fit: a page of shoots also has what a page of trees needs.
    return max(fits, key=lambda layout: layout.needed, default=None)


def is_field_sheet(page: Page) -> bool:
    """Whether a page can only be one of the field sheet's: a list may have a column that is called as one of ours."""
    layout, words = layout_of(page), {folded(header) for header in page.header}
    if layout is None or folded(layout.columns[0]) not in words:
        return False
    if folded(page.name).startswith(layout.name):
        return words >= {folded(word) for word in layout.columns[:layout.needed]} or "visit" in words
    return "visit" in words if "visit" in layout.columns else layout.needed > 1


def columns_of(page: Page, layout: Layout) -> list[Column]:
    """Every column of a page with its meaning."""
    return [_column(header, unit, layout) for header, unit in zip(page.header, page.units, strict=True)]


def _column(header: str, unit: str, layout: Layout) -> Column:
    if not header:
        return Column(header, "blank")
    # A unit behind the word wins over the row of units.
    if (split := re.fullmatch(r"(.*?)\s*[(\[]([^()\[\]]*)[)\]]", header)) and is_unit(split[2]):
        found = _meaning(split[1], split[2], layout)
        if found:
            return replace(found, header=header)
    return _meaning(header, unit, layout) or Column(header, "own", header, unit=unit)


def _meaning(header: str, unit: str, layout: Layout) -> Column | None:
    word = folded(header)
    fixed = {folded(name): name for name in (*layout.columns, *(("repeat",) if layout.repeats else ()))}
    if word in fixed:
        return Column(header, "fixed", fixed[word], unit=unit)
    if word == folded(say("intake.fault_column")):
        return Column(header, "fault")
    if layout.name == "shoots" and re.fullmatch(r"(19|20)\d\d", word):
        return Column(header, "year", word, unit=unit)
    if not layout.of:
        return None
    kind = kind_of(header)
    if kind:
        return Column(header, "kind", kind.kind, unit=unit)
    return _attribute(header, word)


def _attribute(header: str, word: str) -> Column | None:
    """`method`, or `soil_ph.method` and `soil_ph method`."""
    required = {folded(name): name for kind in kinds().values() for name in kind.required}
    if word in required:
        return Column(header, "attribute", required[word])
    for known, name in required.items():
        if word.endswith(f" {known}"):
            kind = kind_of(word.removesuffix(f" {known}"))
            if kind and name in kind.required:
                return Column(header, "attribute", name, kind.kind)
    return None


def kinds_on(layout: Layout) -> list[ReadingKind]:
    """Kinds with a column of their own on this page; the rest go on the page of readings."""
    return [kind for kind in kinds().values()
            if kind.of == layout.of and kind.kind not in layout.columns
            and (kind.stage in _STAGES or layout.of == "place") and kind.value_type != "date"
            and (kind.value_type != "profile" or (kind.axis.startswith("depth") and " by " not in kind.axis))]


def kind_of(header: str) -> ReadingKind | None:
    """The kind a word names: by its code, its label, or one of the words people use."""
    return _kind_words().get(folded(header))


@cache
def _kind_words() -> Mapping[str, ReadingKind]:
    words: dict[str, ReadingKind] = {}
    for entry in say("intake.kind_words").split(";"):
        kind, _, listed = entry.partition(":")
        words |= {folded(word): kinds()[kind.strip()] for word in listed.split(",") if kind.strip() in kinds()}
    words |= {folded(kind.label): kind for kind in kinds().values()}
    return words | {folded(code): kind for code, kind in kinds().items()}
