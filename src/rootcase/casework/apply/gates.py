"""What a remedy asks of the day it is put on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import inf
from typing import cast

from rootcase.records.apply.windows import Gate
from rootcase.records.observe import PropertyRecord
from rootcase.tables.load import table

LOCATE = "locate_lines"
"""The caution of work for which buried lines are located first."""
CONCERN, SEEN = "structural_concern", "seen"
"""Kind of the reading, and its choice."""


@dataclass(frozen=True, slots=True)
class Limits:
    """One gate of a remedy: closed at `low` and below it, at `high` and above it."""

    gate: Gate
    must: bool
    """Whether the day is not known while this is not."""
    low: float = -inf
    high: float = inf
    unit: str = ""


@cache
def gates_of(remedy: str) -> tuple[Limits, ...]:
    """The gates of a remedy.

    Parameters
    ----------
    remedy : its code.

    Returns
    -------
    Limits in the order of the table, the season first; locating last, where the ground is opened. [unit of each]

    Raises
    ------
    Missing : the table of groups has no such remedy.

    Notes
    -----
    A remedy has its group's gates and its own.

    References
    ----------
    Tables apply/gate_groups and apply/gates, row by row; locating: table prescribe/remedies.

    Examples
    --------
    >>> [each.gate for each in gates_of("deadwood")]
    ['season', 'wind', 'use', 'law', 'permit']
    >>> next((each.low, each.high) for each in gates_of("extract") if each.gate == "soil_temperature")
    (6.0, 30.0)
    """
    group = str(table("apply/gate_groups").row(remedy=remedy)["remedy_group"])
    cautions = str(table("prescribe/remedies").row(remedy=remedy)["cautions"]).split("|")
    locate = (Limits("locate", True),) if LOCATE in cautions else ()
    return (Limits("season", True), *_rows(group), *_rows(remedy), *locate)


def works_roots(remedy: str) -> bool:
    """Whether a remedy opens or works the ground, so that a permit for root work is one for it.

    Parameters
    ----------
    remedy : its code.

    Returns
    -------
    True for what the table of groups has under digging.

    Raises
    ------
    Missing : the table of groups has no such remedy.

    Notes
    -----
    None

    References
    ----------
    Table apply/gate_groups: JUDGEMENT.

    Examples
    --------
    >>> works_roots("air_tillage"), works_roots("extract")
    (True, False)
    """
    return str(table("apply/gate_groups").row(remedy=remedy)["remedy_group"]) == "digging"


def window_figure(figure: str) -> float:
    """A figure of the days ahead.

    Parameters
    ----------
    figure : its name in the table, such as soil_mean_days.

    Returns
    -------
    In the unit of its row

    Raises
    ------
    Missing : there is no such row.

    Notes
    -----
    None

    References
    ----------
    Table apply/window_figures, row by row.

    Examples
    --------
    >>> window_figure("soil_mean_days")
    11.0
    """
    return float(table("apply/window_figures").row(figure=figure)["value"])


def _rows(of: str) -> Iterator[Limits]:
    for row in table("apply/gates").rows:
        if row["of"] == of:
            yield Limits(cast(Gate, row["gate"]), row["must"] == 1.0, -inf if row["low"] is None else row["low"],
                         inf if row["high"] is None else row["high"], str(row["unit"]))


def concerned_trees(record: PropertyRecord) -> frozenset[str]:
    """Under which trees nobody works, for something was seen there that could fail.

    Parameters
    ----------
    record : the property, corrections applied.

    Returns
    -------
    Ids of trees.

    Raises
    ------
    Nothing.

    Notes
    -----
    The newest reading decides, as where remedies are chosen.

    References
    ----------
    None: it looks up what was read. That work stops then is common practice, no source.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> concerned_trees(PropertyRecord(ground, (), (), (), (), (), (), (), {}))
    frozenset()
    """
    read = (each for each in record.readings if each.kind == CONCERN and each.choice)
    newest = {each.of: each.choice for each in sorted(read, key=lambda each: (each.day, each.id))}
    return frozenset(tree_id for tree_id, choice in newest.items() if choice == SEEN)
