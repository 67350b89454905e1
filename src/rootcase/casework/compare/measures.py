"""Every other measure on its own line: leaves, dieback, density; never added up."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from scipy.special import ndtri

from rootcase.casework.estimate import estimate
from rootcase.casework.explain.ground import FRESH_DAYS
from rootcase.records.compare import MeasureLine
from rootcase.records.observe import PropertyRecord, Reading
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

NORMAL = ndtri((np.arange(1000) + 0.5) / 1000)
"""Evenly spaced quantiles of the normal distribution: an interval needs no chance."""
WIDEST_LOG_SD = 1.0
"""A ratio whose error passes this factor of e says nothing. JUDGEMENT."""
IN_LEAF = ("full", "evergreen")


def measure_lines(record: PropertyRecord, tree_id: str,
                  yardstick_trees: tuple[str, ...]) -> tuple[MeasureLine, ...]:
    """How the tree stands in each measure that was read of it or of its yardstick.

    Parameters
    ----------
    record : the property, corrections applied.
    tree_id : the tree that is compared.
    yardstick_trees : ids of its healthy trees; may be empty.

    Returns
    -------
    One line a kind, in the order of the table of measures; ratios [-] or differences in the kind's SI unit.

    Raises
    ------
    Nothing.

    Notes
    -----
    Each side is the mean of its newest readings, and those of the year before them, with the catalogue's error over
    the root of their number; of growth years those read on both sides. What is doubted or only a limit is in no mean.
    The yardstick adds the spread between healthy trees over the root of the trees. A kind that needs a companion
    reading, was read out of leaf, is small beside its error or stands on one side only is shown and not compared,
    with the reason.

    References
    ----------
    JUDGEMENT for the spread between trees (table compare/measures); error sizes from the catalogue of readings.

    Examples
    --------
    >>> from rootcase.records.observe import Property, PropertyRecord
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> measure_lines(PropertyRecord(ground, (), (), (), (), (), (), (), {}), "t", ())
    ()
    """
    lines = []
    for row in table("compare/measures").rows:
        kind = str(row["kind"])
        own = _values(record, kind, tree_id)
        theirs = {t: _values(record, kind, t) for t in yardstick_trees}
        theirs = {t: found for t, found in theirs.items() if found}
        years = {r.growth_year for r in own} & {r.growth_year for found in theirs.values() for r in found}
        if years:
            own = _of_years(own, years)
            theirs = {t: kept for t, found in theirs.items() if (kept := _of_years(found, years))}
        if own or theirs:
            lines.append(_line(record, row, tree_id, own, theirs))
    return tuple(lines)


def _values(record: PropertyRecord, kind: str, tree_id: str) -> tuple[Reading, ...]:
    """Readings of the newest look and of the year before it."""
    found = [r for r in record.of(tree_id, kind=kind) if r.value is not None]
    newest = max((r.day for r in found), default=None)
    return tuple(r for r in found if newest is not None and (newest - r.day).days <= FRESH_DAYS)


def _of_years(readings: tuple[Reading, ...], years: set[int | None]) -> tuple[Reading, ...]:
    return tuple(r for r in readings if r.growth_year in years)


def _plain(readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    return tuple(r for r in readings if r.plain)


def _mean(readings: tuple[Reading, ...]) -> float:
    return float(np.mean([r.value for r in readings if r.value is not None]))


def _line(record: PropertyRecord, row: Mapping[str, Any], tree_id: str, read: tuple[Reading, ...],
          read_there: Mapping[str, tuple[Reading, ...]]) -> MeasureLine:
    kind, own = str(row["kind"]), _plain(read)
    theirs = {t: kept for t, found in read_there.items() if (kept := _plain(found))}
    ids = tuple(r.id for r in own) + tuple(r.id for found in theirs.values() for r in found)
    tree_value = _mean(own) if own else None
    yardstick_value = float(np.mean([_mean(found) for found in theirs.values()])) if theirs else None
    doubted = read if not own else () if theirs else read_there
    note = "doubted" if doubted else _why_not(record, row, tree_id, own, theirs)
    if note or tree_value is None or yardstick_value is None:
        return MeasureLine(kind, tree_value, yardstick_value, None, None, note, ids)
    ratio = row["form"] == "ratio"
    between = float(row["tree_spread"]) / np.sqrt(len(theirs))
    spread = np.sqrt(_error(kind, tree_value, ratio, len(own)) ** 2 + between**2
                     + _error(kind, yardstick_value, ratio, sum(map(len, theirs.values()))) ** 2)
    if ratio and spread > WIDEST_LOG_SD:
        return MeasureLine(kind, tree_value, yardstick_value, None, None, "too_small", ids)
    noise = spread * NORMAL
    if ratio:
        share = estimate(tree_value / yardstick_value * np.exp(noise))
        return MeasureLine(kind, tree_value, yardstick_value, share, None, "", ids)
    return MeasureLine(kind, tree_value, yardstick_value, None, estimate(tree_value - yardstick_value + noise), "", ids)


def _error(kind: str, value: float, ratio: bool, repeats: int) -> float:
    """Standard deviation of a mean of repeats, on the log scale for a ratio."""
    listed = kinds()[kind]
    size = listed.error_size or 0.0
    if listed.error_model == "binomial":
        size = float(np.sqrt(max(value * (1 - value), 0.01) / max(size, 1.0)))
    if ratio and listed.error_model != "lognormal":
        size /= max(abs(value), 1e-9)
    return size / float(np.sqrt(repeats))


def _why_not(record: PropertyRecord, row: Mapping[str, Any], tree_id: str, own: tuple[Reading, ...],
             theirs: Mapping[str, tuple[Reading, ...]]) -> str:
    if not own:
        return "not_read_here"
    if not theirs:
        return "not_read_at_yardstick"
    if kinds()[str(row["kind"])].season == "leaf_full" and any(
            r.choice not in IN_LEAF for reading in (*own, *(r for found in theirs.values() for r in found))
            for r in record.of(reading.of, kind="leaf_stage") if r.visit_id == reading.visit_id and r.choice):
        return "other_season"
    for needed in str(row["companion"] or "").split("|") if row["companion"] else ():
        for reading in (*own, *(r for found in theirs.values() for r in found)):
            if not any(r.day == reading.day for r in record.of(reading.of, reading.visit_id, kind=needed)):
                return "companion_missing"
    return ""
