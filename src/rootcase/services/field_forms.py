"""The full reading as a phone walks it: forms with their kinds, seasons, companions and depths, from the tables."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from itertools import groupby, pairwise
from typing import Any

from rootcase.fieldbook.canonical import number_text
from rootcase.fieldbook.intake.layout import COVERS, RINGS
from rootcase.ground.dates import MIDSUMMER_NORTH, MIDSUMMER_SOUTH
from rootcase.ground.units import convert
from rootcase.tables.load import Row, table
from rootcase.tables.readings import ReadingKind, kind_of, kinds

_NOTED = re.compile(r"in the note|note the|note height")
"""How a method sends something to the note."""
_FROM_OUTSIDE = ("crown", "place", "visit")
"""Forms that are read from beside the tree, so that they stay open where something could fail. JUDGEMENT."""
_APART_SD = 2 * 2**0.5
"""Two readings of one thing differ so much by luck only once in twenty: two standard deviations of a difference."""


@cache
def field_forms() -> Mapping[str, Any]:
    """All that a phone's full reading asks; of `depths` both systems, in metres.

    >>> walk = field_forms()
    >>> walk["forms"][0]["name"], walk["depths"]["us"][1], walk["companions"]["soil_colour"][0]["kind"]
    ('tree', ['0.0762', '0.1524'], 'soil_colour_state')
    """
    return {
        "forms": [_form(name, list(rows))
                  for name, rows in groupby(table("observe/forms").rows, lambda row: row["form"])],
        "seasons": {row["season"]: {"first": row["first"], "last": row["last"], "stages": _parted(row["stages"])}
                    for row in table("observe/reading_seasons").rows},
        "companions": _companions(), "depths": {system: _depths(system) for system in ("us", "metric")},
        "explains": sorted({each for row in table("explain/next_readings").rows for each in _parted(row["tells"], ";")}
                           | {row["kind"] for row in table("compare/measures").rows}),
        "apart": {kind.kind: _APART_SD * kind.error_size for kind in kinds().values() if kind.error_size
                  and (kind.of, kind.value_type, kind.error_model) == ("tree", "share", "normal")},
        "rings": list(RINGS), "covers": list(COVERS), "cover_sum": _cover_sum(),
        "midsummer": {"north": list(MIDSUMMER_NORTH), "south": list(MIDSUMMER_SOUTH)},
    }


def _form(name: str, rows: list[Row]) -> dict[str, Any]:
    return {"name": name, "outside": name in _FROM_OUTSIDE, "asks": [_ask(kind_of(row["kind"]), row) for row in rows]}


def _ask(kind: ReadingKind, row: Row) -> dict[str, Any]:
    return {"kind": kind.kind, "tool": row["tool"], "times": int(row["times"]), "once": row["asked"] == "once",
            "nothing": nothing_of(kind), "noted": bool(_NOTED.search(f"{kind.method} {kind.repeat_rule}"))}


def nothing_of(kind: ReadingKind) -> list[str]:
    """The kinds of nothing that make sense for a kind, without those its choices say already.

    None is seen only of what may be there or not: a choice names that itself, of numbers it is nought. A laboratory
    does not look.

    >>> nothing_of(kind_of("aphid_count")), nothing_of(kind_of("leaf_stage"))
    (['none seen', 'not looked', 'not read'], ['not looked', 'not read'])
    """
    seen = kind.value_type in ("share", "count") or (
        kind.value_type == "number" and kind.lower_doubt == 0 and kind.si_unit != "deg")
    looks = kind.of != "sample" and not any(code.startswith("not_") or code == "unknown" for code in kind.choices)
    return [*["none seen"] * seen, *["not looked"] * looks, "not read"]


def _companions() -> dict[str, list[dict[str, Any]]]:
    found: dict[str, list[dict[str, Any]]] = {}
    for row in table("observe/companions").rows:
        found.setdefault(row["kind"], []).append(
            {"kind": row["companion"], "without": row["without"], "same_depth": row["same_depth"] == "yes"})
    return found


def _depths(system: str) -> list[list[str]]:
    """From and to of each step, as canonical bodies write metres."""
    ends = [number_text(round(convert(row["boundary"], row["unit"], "m"), 6))
            for row in table("observe/depth_steps").rows if row["system"] == system]
    return [list(step) for step in pairwise(ends)]


def _cover_sum() -> list[float]:
    row = table("observe/agreements").row(name="ring_covers")
    return [row["low"], row["high"]]


def _parted(cell: str, by: str = "|") -> list[str]:
    return cell.split(by) if cell else []
