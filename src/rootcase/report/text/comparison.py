"""A tree beside its kind as rows of a table: the years of its shoots, and every other measure on its own line."""

from __future__ import annotations

from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.compare import MeasureLine, TreeComparison
from rootcase.records.estimate import Estimate
from rootcase.records.observe import PropertyRecord
from rootcase.report.text.figures import difference, ends, percent, sentence
from rootcase.report.text.naming import compare_note, kind_name
from rootcase.tables.readings import kinds


def year_rows(line: TreeComparison, record: PropertyRecord) -> list[tuple[str, ...]]:
    """Return the head and a row a year of shoots; nothing where none was read."""
    if not line.years:
        return []
    columns = ("year", "this_tree", "healthy", "shoots", "year_share")
    rows = [tuple(say(f"report.column.{column}") for column in columns)]
    for year in line.years:
        here, there = (show(e.median if e else None, "mm", record.property.system, ("in", "cm"))
                       for e in (year.tree_mm, year.yardstick_mm))
        share = share_told(year.share) if year.share else say("report.not_known")
        rows.append((str(year.year), here, there, str(len(year.lengths_mm)), share))
    return rows


def measure_row(measure: MeasureLine, record: PropertyRecord) -> tuple[str, str, str, str]:
    """Return a measure's name, its value here and at the yardstick, and how far apart they are or why that is not told.
    """
    kind = kinds()[measure.kind]
    here, there = (show(value, kind.si_unit, record.property.system, kind.pair)
                   for value in (measure.tree_value, measure.yardstick_value))
    if measure.share:
        result = share_told(measure.share)
    elif measure.difference:
        result = difference(measure.difference)
    else:
        result = compare_note(measure.note, measure.kind) if measure.note else ""
    return sentence(kind_name(measure.kind)), here, there, result


def share_told(share: Estimate) -> str:
    """Return a share with its interval behind it.

    >>> share_told(Estimate(0.14, 0.14, 0.10, 0.19, 0.12, 0.16))
    '14 % (10 to 19)'
    """
    low, high = ends(share.low, share.high)
    return say("terminal.measure.share", share=percent(share)[0], low=low, high=high)
