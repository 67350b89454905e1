"""Everything a property holds once the drafts are in, laid out to be looked up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from math import isclose

from rootcase.fieldbook.events import (
    Body,
    ComparedWith,
    PitOpened,
    PlaceOpened,
    PropertyOpened,
    ReadingTaken,
    SampleOpened,
    TreeOpened,
    VisitStarted,
    YardstickNamed,
)
from rootcase.fieldbook.view import Head, natural, said
from rootcase.ground.errors import TypedError
from rootcase.ground.quantity import System, number, with_unit
from rootcase.ground.typed import read
from rootcase.ground.units import convert, convertible
from rootcase.ground.words import say
from rootcase.tables.readings import kinds

_ROUNDED = 1e-6
Question = tuple[tuple[str, ...], str]
"""Slots of the new readings it is about, and what is asked."""


@dataclass(frozen=True, slots=True)
class Held:
    """Drafts laid over what stands; `new` are the readings that nobody has given before, and only they are doubted."""

    new: tuple[ReadingTaken, ...]
    by_thing: Mapping[tuple[str, str], list[ReadingTaken]]
    """By kind and what it is of."""
    by_repeat: Mapping[tuple[str, str, str, str], list[ReadingTaken]]
    """By kind, what it is of, visit and repeat."""
    by_visit: Mapping[tuple[str, str], list[ReadingTaken]]
    """By kind and visit."""
    looked: frozenset[tuple[str, str, str]]
    """What was read at all: kind, thing, visit."""
    felt: Mapping[tuple[str, date | None], set[tuple[float, float]]]
    """Depths at which the moisture was felt, by pit and day."""
    days: Mapping[str, date]
    """Of each visit; "" is the first one."""
    labels: Mapping[str, str]
    trees: Mapping[str, TreeOpened]
    pits: Mapping[str, PitOpened]
    near: Mapping[str, list[str]]
    """Pits of each tree, or of each place where they have no tree."""
    members: Mapping[str, list[str]]
    """Trees of each yardstick."""
    yardstick_of: Mapping[str, str]
    facts: PropertyOpened | None
    new_slots: frozenset[str] = field(repr=False)

    @property
    def system(self) -> System:
        return self.facts.system if self.facts else "metric"

    def of(self, kind: str, thing: str) -> list[ReadingTaken]:
        return self.by_thing.get((kind, thing), [])

    def beside(self, reading: ReadingTaken, kind: str) -> list[ReadingTaken]:
        """Readings of another kind of the same thing, visit and repeat; what is of the visit itself has no repeat."""
        if kinds()[kind].of == "visit" != kinds()[reading.kind].of:
            return self.at_visit(kind, reading.visit)
        return self.by_repeat.get((kind, reading.of, reading.visit, reading.series), [])

    def at_visit(self, kind: str, visit: str) -> list[ReadingTaken]:
        return self.by_visit.get((kind, visit), [])

    def day(self, reading: ReadingTaken) -> date | None:
        return self.days.get(reading.visit)

    def new_of(self, *wanted: str) -> Iterator[ReadingTaken]:
        """New readings of these kinds that have a value."""
        return (each for each in self.new if each.kind in wanted and each.value is not None)

    def what(self, reading: ReadingTaken) -> str:
        """Kind and thing, as a sentence begins with them."""
        label = self.labels.get(reading.of, "")
        kind = kinds()[reading.kind].label
        return say("doubts.what", kind=kind, thing=label) if label else kind


def held(drafts: Mapping[str, Body], standing: Mapping[str, Head]) -> Held:
    """Lay the drafts over what stands."""
    bodies = {slot: head.event.body for slot, head in standing.items()} | dict(drafts)
    by_thing: dict[tuple[str, str], list[ReadingTaken]] = defaultdict(list)
    by_repeat: dict[tuple[str, str, str, str], list[ReadingTaken]] = defaultdict(list)
    by_visit: dict[tuple[str, str], list[ReadingTaken]] = defaultdict(list)
    visits: list[VisitStarted] = []
    labels: dict[str, str] = {}
    trees: dict[str, TreeOpened] = {}
    pits: dict[str, PitOpened] = {}
    near: dict[str, list[str]] = defaultdict(list)
    members: dict[str, list[str]] = defaultdict(list)
    yardstick_of: dict[str, str] = {}
    facts = None
    for body in bodies.values():
        match body:
            case ReadingTaken():
                by_thing[body.kind, body.of].append(body)
                by_repeat[body.kind, body.of, body.visit, body.series].append(body)
                by_visit[body.kind, body.visit].append(body)
            case VisitStarted():
                visits.append(body)
            case TreeOpened():
                trees[body.tree], labels[body.tree] = body, body.label
            case PitOpened():
                pits[body.pit], labels[body.pit] = body, body.label
                near[body.tree or body.place or ""].append(body.pit)
            case SampleOpened():
                labels[body.sample] = body.label
            case PlaceOpened():
                labels[body.place] = body.name
            case YardstickNamed():
                members[body.yardstick].append(body.tree)
            case ComparedWith():
                yardstick_of[body.tree] = body.yardstick
            case PropertyOpened():
                facts = body
    days = {visit.visit: visit.day for visit in visits}
    if visits:
        days[""] = min(visits, key=lambda visit: (visit.day, natural(visit.label), visit.visit)).day
    felt: dict[tuple[str, date | None], set[tuple[float, float]]] = defaultdict(set)
    for (kind, pit), readings in by_thing.items():
        for lump in readings if kind == "soil_moisture_feel" else ():
            if lump.choice and lump.depth_from_m is not None:
                felt[pit, days.get(lump.visit)].add((lump.depth_from_m, lump.depth_to_m or lump.depth_from_m))
    new = tuple(_new(drafts, standing))
    return Held(new, by_thing, by_repeat, by_visit, frozenset(key[:3] for key in by_repeat), felt, days, labels, trees,
                pits, near, members, yardstick_of, facts, frozenset(each.slot for each in new))


def _new(drafts: Mapping[str, Body], standing: Mapping[str, Head]) -> Iterator[ReadingTaken]:
    for slot, draft in drafts.items():
        if isinstance(draft, ReadingTaken) and draft.kind in kinds() and (
                slot not in standing or said(standing[slot].event.body) != said(draft)):
            yield draft


@lru_cache(maxsize=4096)
def _number_of(typed: str) -> tuple[float | None, str]:
    """The number in a text and its unit; "" where none can be made out."""
    try:
        found = read(typed)
    except TypedError:
        found = None
    return (found.value, found.unit or "") if found else (None, "")


def own_unit(reading: ReadingTaken) -> str:
    """Unit a reading was typed in, else its kind's own."""
    kind, (_, unit) = kinds()[reading.kind], _number_of(reading.typed)
    return unit if unit and convertible(unit, kind.si_unit) else kind.si_unit


def shown(value_si: float, kind: str, unit: str) -> str:
    """A value in a unit, to three figures."""
    return with_unit(number(convert(value_si, kinds()[kind].si_unit, unit), 3), unit)


def told(reading: ReadingTaken) -> str:
    """What was typed; behind the value where what was typed is another thing, such as a trunk's girth."""
    typed, unit = _number_of(reading.typed)
    if typed is None or reading.value is None or unit != own_unit(reading) or isclose(
            convert(typed, unit, kinds()[reading.kind].si_unit), reading.value, rel_tol=_ROUNDED):
        return reading.typed
    return say("doubts.worked_out", value=shown(reading.value, reading.kind, unit), typed=reading.typed)


def told_of(readings: Iterable[ReadingTaken]) -> str:
    """Kinds with what was typed of each."""
    return ", ".join(f"{kinds()[each.kind].label} {told(each)}" for each in readings)
