"""The kinds of events: what happened, once, and is never changed afterwards.

Each kind is a frozen class with typed fields and one canonical body. `slot` names what an event speaks about (this cell
of this sheet, this tree's position); an event with the same slot that `supersedes` another takes its place in the view.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Mapping, Sequence
from dataclasses import MISSING, dataclass, field, fields, is_dataclass
from datetime import date
from functools import cache
from typing import Any, ClassVar

from rootcase.fieldbook.canonical import canonical, content_hash, number_text, read_canonical
from rootcase.ground.errors import StoreError
from rootcase.ground.words import say
from rootcase.records.observe import Nothing, Sign, System


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """What every kind of event carries."""

    KIND: ClassVar[str]
    slot: str
    supersedes: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PropertyOpened(Body):
    """What is empty or None nobody has said."""

    KIND = "property_opened"
    name: str
    latitude_deg: float
    longitude_deg: float
    weather_station: str
    system: System
    invented: bool
    elevation_m: float | None = None
    time_zone: str = ""
    currency: str = ""
    law: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceOpened(Body):
    KIND = "place_opened"
    place: str
    name: str
    place_kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceOutlined(Body):
    """The corners of a place, or of something that is only drawn (then `place` is an id of its own)."""

    KIND = "place_outlined"
    place: str
    name: str
    outline_kind: str
    outline_m: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeOpened(Body):
    KIND = "tree_opened"
    tree: str
    label: str
    place: str
    east_m: float | None = None
    north_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PitOpened(Body):
    KIND = "pit_opened"
    pit: str
    label: str
    tree: str | None = None
    place: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleOpened(Body):
    KIND = "sample_opened"
    sample: str
    label: str
    tree: str | None = None
    place: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitStarted(Body):
    KIND = "visit_started"
    visit: str
    label: str
    day: date
    observer: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class YardstickNamed(Body):
    """This tree belongs to the yardstick of this label."""

    KIND = "yardstick_named"
    yardstick: str
    label: str
    tree: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparedWith(Body):
    KIND = "compared_with"
    tree: str
    yardstick: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTaken(Body):
    """One observation; day and observer are those of its visit (the first visit where `visit` is empty)."""

    KIND = "reading_taken"
    kind: str
    of: str
    visit: str
    typed: str
    value: float | None = None
    choice: str | None = None
    sign: Sign = "="
    nothing: Nothing | None = None
    depth_from_m: float | None = None
    depth_to_m: float | None = None
    growth_year: int | None = None
    series: str = ""
    attributes: Mapping[str, str] = field(default_factory=dict)
    doubts: tuple[str, ...] = ()
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingCorrected(ReadingTaken):
    KIND = "reading_corrected"
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTakenBack(Body):
    KIND = "reading_taken_back"
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced(Body):
    """A line of the practice's price book; it belongs to no property."""

    KIND = "priced"
    item: str
    unit: str
    amount: float
    currency: str
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleTold(Body):
    """A rule of a law or of the practice; it belongs to no property."""

    KIND = "rule_told"
    topic: str
    law: str
    applies_to: tuple[str, ...]
    checked_on: date
    value: float | None = None
    unit: str = ""
    closed_from: str = ""
    closed_to: str = ""
    source: str = ""
    note: str = ""
    holds: bool = True
    """False: it was a rule and is none any more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetImported(Body):
    """These events came in as one."""

    KIND = "sheet_imported"
    file: str
    events: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportUndone(Body):
    """The import it supersedes should not have been; its events stay and say nothing any more."""

    KIND = "import_undone"
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanSigned(Body):
    """Somebody answers for this plan; the one that stands before is superseded."""

    KIND = "plan_signed"
    signed: str
    """Canonical text of all that was signed."""
    mark: str
    """SHA-256 of that text."""
    by: str
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanWithdrawn(Body):
    """The plan it supersedes holds no more."""

    KIND = "plan_withdrawn"
    by: str
    day: date
    reason: str


KINDS: Mapping[str, type[Body]] = {
    kind.KIND: kind
    for kind in (PropertyOpened, PlaceOpened, PlaceOutlined, TreeOpened, PitOpened, SampleOpened, VisitStarted,
                 YardstickNamed, ComparedWith, ReadingTaken, ReadingCorrected, ReadingTakenBack, Priced,
                 RuleTold, SheetImported, ImportUndone, PlanSigned, PlanWithdrawn)
}


@dataclass(frozen=True, slots=True)
class Event:
    """A body with its envelope; when and on which device it was written down is told, but not part of the content."""

    id: str
    practice_id: str
    property_id: str
    """Empty for what belongs to the whole practice."""
    made_at: str
    """UTC, such as 2015-11-05T09:30:00.000Z."""
    device: str
    body: Body

    @property
    def hash(self) -> str:
        """What says that two copies of an event are the same."""
        return content_hash({"body": plain_body(self.body), "id": self.id, "kind": self.body.KIND,
                             "practice": self.practice_id, "property": self.property_id})


def body_text(body: Body) -> str:
    """Canonical text of a body, as it is stored.

    >>> body_text(ComparedWith(slot="s", tree="t", yardstick="y", label="wood"))
    '{"label":"wood","slot":"s","tree":"t","yardstick":"y"}'
    """
    return canonical(plain_body(body)).decode("utf-8")


def read_body(kind: str, text: str) -> Body:
    """The typed body of a stored text.

    >>> read_body("compared_with", '{"label":"wood","slot":"s","tree":"t","yardstick":"y"}').slot
    's'
    """
    if kind not in KINDS:
        raise StoreError(say("fieldbook.unknown_event"), value=kind, right=say("fieldbook.newer_program"))
    body: Body = typed(KINDS[kind], read_canonical(text))
    return body


def plain_body(record: Any) -> dict[str, object]:
    """Only what differs from the default, so that a field added later does not change old hashes."""
    plain: dict[str, object] = {}
    hints = _hints(type(record))
    for each in fields(record):
        value = getattr(record, each.name)
        default = each.default_factory() if each.default_factory is not MISSING else each.default
        if value != default:
            plain[each.name] = _untyped(hints[each.name], value)
    return plain


def _untyped(hint: Any, value: Any) -> object:
    """A typed value as canonical bodies hold it: numbers and days as text."""
    if is_dataclass(hint):
        return plain_body(value)
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return None if value is None else _untyped(inner[0], value)
    if hint is float:
        return number_text(value)
    if hint is date:
        return value.isoformat()
    if origin is tuple:
        return [_untyped(kind, part) for kind, part in zip(_kinds(inner, value), value, strict=True)]
    return value


def typed(hint: Any, plain: Any) -> Any:
    """A plain value as its type wants it; what a record does not know is passed over, what is not told is its default.

    >>> typed(ComparedWith, {"label": "wood", "slot": "s", "tree": "t", "yardstick": "y"}).label
    'wood'
    """
    if hint is str:  # most are
        return plain
    if is_dataclass(hint):
        return hint(**{name: typed(kind, plain[name]) for name, kind in _hints(hint).items()  # type: ignore[operator]
                       if name in plain})
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return None if plain is None else typed(inner[0], plain)
    if hint is float:
        return float(plain)
    if hint is date:
        return date.fromisoformat(plain)
    if origin is tuple:
        return tuple(typed(kind, part) for kind, part in zip(_kinds(inner, plain), plain, strict=True))
    return plain


def _kinds(inner: tuple[Any, ...], parts: Sequence[object]) -> tuple[Any, ...]:
    """Type of each part of a tuple."""
    return inner[:1] * len(parts) if inner[-1] is Ellipsis else inner


@cache
def _hints(record: type) -> dict[str, Any]:
    """Types of the fields by name."""
    return {name: hint for name, hint in typing.get_type_hints(record).items() if name != "KIND"}
