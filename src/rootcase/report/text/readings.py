"""Readings in words: what was read, together where it is one kind, day and way; what figures rest on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, Reading
from rootcase.report.text.figures import sentence
from rootcase.report.text.naming import choice_meaning, choice_name, kind_name, way_name

HOLD = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Together:
    """Repeats of one kind, day and way of reading."""

    name: str
    day: date
    readings: tuple[Reading, ...]


def told_together(readings: Iterable[Reading]) -> list[Together]:
    """Return the readings, repeats of one kind, day and way together."""
    groups: dict[tuple[str, date], list[Reading]] = {}
    for reading in readings:
        year = f" {reading.growth_year}" if reading.growth_year else ""
        ways = [way_name(said) for name, said in reading.attributes.items() if said and name != "photo"]
        way = f" ({', '.join(ways)})" if ways else ""
        groups.setdefault((f"{sentence(kind_name(reading.kind))}{year}{way}", reading.day), []).append(reading)
    return [Together(name, day, tuple(found)) for (name, day), found in groups.items()]


def value_told(reading: Reading) -> str:
    """Return what was read, a number as it was typed and never torn."""
    return reading.typed.replace(" ", HOLD) if reading.choice is None else choice_name(reading.kind, reading.choice)


def meaning_told(reading: Reading) -> str:
    """Return what was read as value_told, a choice by its full meaning."""
    return value_told(reading) if reading.choice is None else choice_meaning(reading.kind, reading.choice)


def rests_told(ids: Sequence[str], assumed: Sequence[str], record: PropertyRecord) -> str:
    """Return how many readings of which kinds a figure rests on, and what stands in for those nobody made."""
    known = {reading.id: reading.kind for reading in record.readings}
    counts = Counter(known[each] for each in ids if each in known)
    told = [say("report.rests.count", count=count, kind=kind_name(kind)) for kind, count in counts.most_common()]
    if assumed:
        told.append(say("report.rests.assumed", kinds=", ".join(kind_name(kind) for kind in assumed)))
    return "; ".join(told)
