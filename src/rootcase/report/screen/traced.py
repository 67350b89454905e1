"""The readings behind a figure as rows: what was read where, as typed, when and by whom, and where it came in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, Reading
from rootcase.report.pdf.behind import rows_of
from rootcase.report.text.depths import depth_told
from rootcase.report.text.naming import subjects
from rootcase.report.text.readings import told_together, value_told


@dataclass(frozen=True, slots=True)
class ReadRow:
    """Readings of one kind and day."""

    name: str
    of: str
    values: tuple[tuple[str, str], ...]
    """Id of each reading, and what was typed, with its depth."""
    when: str
    came_in: str


def read_rows(readings: Sequence[Reading], record: PropertyRecord, system: System) -> list[ReadRow]:
    """Return readings as rows, depths in a person's units."""
    called = subjects(record)
    return [ReadRow(group.name, ", ".join(dict.fromkeys(called[each.of] for each in group.readings)),
                    tuple((each.id, _at_depth(each, system)) for each in group.readings),
                    ", ".join((show_date(group.day), *dict.fromkeys(each.observer for each in group.readings))),
                    rows_of(each.source for each in group.readings)) for group in told_together(readings)]


def _at_depth(reading: Reading, system: System) -> str:
    depth = depth_told(reading, system)
    return say("trace.at_depth", value=value_told(reading), depth=depth) if depth else value_told(reading)
