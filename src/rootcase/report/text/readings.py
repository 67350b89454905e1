"""Readings in words: what was read, together where it is one kind, day and way; what figures rest on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from rootcase.ground.words import say
from rootcase.records.explain import Explanation, LimitShare
from rootcase.records.observe import PropertyRecord, Reading, Tree
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


def unused(missing: Iterable[str], tree: Tree, record: PropertyRecord) -> tuple[str, ...]:
    """Return of the kinds that an answer lacks those that were read, only not in a way that it could take."""
    of = (tree.id, tree.place_id, *(pit.id for pit in record.pits_of(tree.id)),
          *(sample.id for sample in record.samples_of(tree)))
    read = {each.kind for each in record.of(*of) if each.nothing is None and each.choice != "not_looked"}
    return tuple(kind for kind in missing if kind in read)


def rests_of(step: LimitShare, explanation: Explanation) -> tuple[str, ...]:
    """Return the readings behind a limit; behind water those too by which roots reach it. docs/model.md, 1."""
    if step.limit != "water":
        return step.rests_on
    deep = (each for other in explanation.limits if other.limit == "strength" for each in other.rests_on)
    return tuple(dict.fromkeys((*step.rests_on, *deep)))


def rests_told(ids: Sequence[str], assumed: Sequence[str], record: PropertyRecord, tree: Tree) -> str:
    """Return how many readings of which kinds a figure rests on, and what stands in for those that could not be taken
    and those nobody made."""
    known = {reading.id: reading.kind for reading in record.readings}
    counts = Counter(known[each] for each in ids if each in known)
    told = [say("report.rests.count", count=count, kind=kind_name(kind)) for kind, count in counts.most_common()]
    useless = unused(assumed, tree, record)
    for form, kinds in (("unused", useless), ("assumed", [kind for kind in assumed if kind not in useless])):
        if kinds:
            told.append(say(f"report.rests.{form}", kinds=", ".join(kind_name(kind) for kind in kinds)))
    return "; ".join(told)
