"""The last pages: every mark with its readings, every reading as typed, every table the reckoning used."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, Reading
from rootcase.records.report import Casework
from rootcase.report.lettering import lacking
from rootcase.report.text.figures import sentence
from rootcase.report.text.ledger import Ledger
from rootcase.report.text.naming import choice_name, kind_name, short_ids, subjects, way_name
from rootcase.tables.load import table

_ENDS_IN_NUMBER = re.compile(r"(.*?)(\d+)")

Group = tuple[str, str, str, str]
"""What of, which kind, read in which way, which visit's day and reader: one row of the readings table."""


def marks_and_readings(ledger: Ledger, record: PropertyRecord) -> dict[str, Any]:
    """Return the table of marks and, behind it, the readings any of them rests on."""
    entries = ledger.entries()
    used = {reading_id for _, result, _ in entries for reading_id in result.readings}
    groups: dict[Group, list[Reading]] = {}
    for reading in record.readings:
        if reading.id in used:
            groups.setdefault(_group(reading), []).append(reading)
    codes = {key: f"r{number}" for number, key in enumerate(groups, 1)}
    group_of = {reading.id: codes[key] for key, readings in groups.items() for reading in readings}
    rows = []
    for code, result, made_of in entries:
        rests = list(dict.fromkeys(group_of[reading_id] for reading_id in result.readings if reading_id in group_of))
        rows.append({"code": code, "what": result.what, "figure": result.figure, "interval": result.interval,
                     "marks": made_of, "readings": rests,
                     "note": say("report.behind.assumed", kinds="; ".join(map(kind_name, result.assumed)))
                     if result.assumed else ""})
    short, labels = short_ids(record), subjects(record)
    return {"marks": rows, "readings": [_reading_row(codes[key], readings, short, labels)
                                        for key, readings in groups.items()]}


def sources(casework: Casework) -> list[dict[str, str]]:
    """Return every table the reckoning used, the weather, and who reckoned."""
    versions = dict(pair for explanation in casework.explanations for pair in explanation.table_versions)
    versions |= dict(casework.pests.table_versions if casework.pests else ())
    rows = []
    for name, version in sorted(versions.items()):
        known = table(name)
        source = known.source or say("report.behind.by_row")
        rows.append({"name": name, "what": known.title, "source": source, "version": version})
    ends = [explanation.weather_ends for explanation in casework.explanations]
    if ends:
        rows.append({"name": say("report.behind.weather"), "what": casework.record.property.weather_station,
                     "source": " ".join((say("report.weather_ends", day=show_date(max(ends))), *dict.fromkeys(
                         told for explanation in casework.explanations for told in explanation.weather_told))),
                     "version": ""})
    rows.append({"name": say("report.behind.engine"), "source": "", "version": casework.engine,
                 "what": say("report.behind.draws", draws=f"{casework.draws:,}", seed=casework.seed)})
    return rows


def unprintable(record: PropertyRecord) -> str:
    """Return the sentence about signs that the typeface lacks, empty where it lacks none."""
    typed = [record.property.name, *(place.name for place in record.places), *(tree.label for tree in record.trees)]
    signs = dict.fromkeys(sign for text in typed for sign in lacking(text))
    return say("report.behind.signs", signs=", ".join(f"U+{ord(sign):04X}" for sign in signs)) if signs else ""


def rows_of(sources_typed: Iterable[str]) -> str:
    """Return where readings came from, rows that follow each other written as a range.

    >>> rows_of(["sheet trees, row 3", "sheet trees, row 4", "sheet trees, row 9"])
    'sheet trees, row 3-4, 9'
    """
    plain, numbered = [], dict[str, list[int]]()
    for source in dict.fromkeys(sources_typed):
        if found := _ENDS_IN_NUMBER.fullmatch(source):
            numbered.setdefault(found[1], []).append(int(found[2]))
        elif source:
            plain.append(source)
    return "; ".join([*plain, *(f"{lead}{_ranges(sorted(numbers))}" for lead, numbers in numbered.items())])


def _ranges(numbers: list[int]) -> str:
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs)


def _group(reading: Reading) -> Group:
    return reading.of, reading.kind, _way(reading), _when(reading)


def _way(reading: Reading) -> str:
    """The extract, the method, the position: what the kind asks for beside the value."""
    return ", ".join(way_name(code) for code in reading.attributes.values() if code)


def _when(reading: Reading) -> str:
    return ", ".join(filter(None, (show_date(reading.day), reading.observer)))


def _reading_row(code: str, readings: list[Reading], short: dict[str, str], labels: dict[str, str]) -> dict[str, Any]:
    first = readings[0]
    values, year = [], None
    for reading in readings:
        lead = f"{reading.growth_year}: " if reading.growth_year and reading.growth_year != year else ""
        year = reading.growth_year
        value = reading.typed if reading.choice is None else choice_name(reading.kind, reading.choice)
        values.append({"value": lead + value, "id": short[reading.id]})
    kind, way = kind_name(first.kind), _way(first)
    return {"code": code, "of": sentence(labels.get(first.of, "")), "when": _when(first), "values": values,
            "kind": say("laboratory.method", kind=kind, method=way) if way else kind,
            "source": rows_of(reading.source for reading in readings)}
