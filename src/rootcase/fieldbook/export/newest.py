"""The newest standing readings of things, one column a kind: what maps and workbooks show."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import fsum

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, Reading, by_stem
from rootcase.science.tree.trunk import one_trunk_mm
from rootcase.tables.readings import ReadingKind, kinds

_LONG = ("profile", "photo")
"""Types of value of which one cell cannot hold the newest."""


@dataclass(frozen=True, slots=True)
class Newest:
    """What was read of a thing on the newest day it was read."""

    value: float | None
    """In the kind's own unit; the mean where several were read that day, one trunk for several stems."""
    text: str
    note: str
    """What the value alone would hide: how many it is the mean of, stems, a girth, a sign, nothing, a doubt."""


@dataclass(frozen=True, slots=True)
class NewestColumn:
    kind: ReadingKind
    by_thing: Mapping[str, Newest]

    @property
    def is_number(self) -> bool:
        return bool(self.kind.si_unit)


def newest_columns(records: Iterable[PropertyRecord], thing: str) -> list[NewestColumn]:
    """A column for each kind read of trees, pits, samples or places, in the order of the catalogue."""
    found: dict[str, dict[str, list[Reading]]] = defaultdict(lambda: defaultdict(list))
    for record in records:
        for reading in record.readings:
            found[reading.kind][reading.of].append(reading)
    return [NewestColumn(kind, {of: _newest(code, readings) for of, readings in found[code].items()})
            for code, kind in kinds().items()
            if code in found and kind.of == thing and kind.value_type not in _LONG]


def _newest(code: str, readings: list[Reading]) -> Newest:
    day = max(reading.day for reading in readings)
    there = [reading for reading in readings if reading.day == day]
    values = [reading.value for reading in there if reading.value is not None]
    texts = dict.fromkeys(reading.choice for reading in there if reading.choice)
    value = fsum(values) / len(values) if values else None
    notes = [say("export.mean", count=len(values))] if len(values) > 1 else []
    stems = by_stem(reading for reading in there if reading.value is not None) if code == "dbh" else []
    if len(stems) > 1:
        value = float(one_trunk_mm([fsum(each.value or 0.0 for each in stem) / len(stem) for stem in stems]))
        notes = [say("export.stems", count=len(stems))]
    measured = dict.fromkeys(reading.attributes["measured"] for reading in there if "measured" in reading.attributes)
    notes += [say(f"export.measured.{each}") for each in measured]
    notes += dict.fromkeys(reading.nothing or reading.sign for reading in there
                           if reading.nothing or (reading.value is not None and reading.sign != "="))
    notes += [say("export.doubtful")] if any(reading.doubts for reading in there) else []
    return Newest(value, "; ".join(texts), ", ".join(notes))
