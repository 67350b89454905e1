"""A table of drives as it is typed or lies in a file: names above and at the left, minutes from row to column."""

from __future__ import annotations

import csv
from collections.abc import Collection
from io import StringIO

from rootcase.ground.errors import ImpossibleValue, UnreadableValue
from rootcase.ground.length import require_length
from rootcase.ground.words import say
from rootcase.records.apply.rounds import Travel

MOST_PLACES, MOST_SIGNS, MOST_SHOWN = 300, 1_000_000, 80
MOST_MIN = 1440.0
"""JUDGEMENT: no drive of a working day takes longer than the day."""
Drives = tuple[tuple[str, ...], tuple[tuple[float, ...], ...]]


def read_drives(text: str, names: Collection[str]) -> Drives:
    """Names and minutes of a table; both empty where nothing is typed. names: of properties and fill points.

    >>> read_drives(",yard,elm\\nyard,0,12\\nelm,15,0", ["yard", "elm"])
    (('yard', 'elm'), ((0.0, 12.0), (15.0, 0.0)))
    """
    require_length(text, MOST_SIGNS)
    if not text.strip():
        return (), ()
    between = max("\t;,", key=text.splitlines()[0].count)
    rows = [[cell.strip() for cell in row] for row in csv.reader(StringIO(text), delimiter=between) if any(row)]
    places = tuple(rows[0][1:])
    _require_names(places, [row[0] for row in rows[1:]], names)
    minutes = tuple(tuple(_minutes(row[0], place, cell) for place, cell in zip(places, row[1:], strict=True))
                    for row in rows[1:] if _require_row(row, len(places)))
    return places, minutes


def table_text(travel: Travel) -> str:
    """The table as it would be typed."""
    out = StringIO()
    if travel.places:
        csv.writer(out, lineterminator="\n").writerows(
            [["", *travel.places], *([name, *(f"{each:g}" for each in row)]
                                     for name, row in zip(travel.places, travel.minutes, strict=True))])
    return out.getvalue()


def _shown(text: str) -> str:
    return f'"{text[:MOST_SHOWN]}"'


def _require_names(places: tuple[str, ...], rows: list[str], names: Collection[str]) -> None:
    if not places or len(places) > MOST_PLACES or list(places) != rows or len(set(places)) != len(places):
        raise UnreadableValue(say("fleet.table.not_square"), value=_shown(", ".join(places)),
                              right=say("fleet.table.square"))
    unknown = [place for place in places if place not in names]
    if unknown:
        raise ImpossibleValue(say("fleet.table.unknown"), value=_shown(", ".join(unknown)),
                              right=say("fleet.table.known"))


def _require_row(row: list[str], many: int) -> bool:
    if len(row) != many + 1:
        raise UnreadableValue(say("fleet.table.short"), where=_shown(row[0]), value=str(len(row) - 1), right=str(many))
    return True


def _minutes(start: str, end: str, cell: str) -> float:
    try:
        minutes = float(cell)
    except ValueError:
        minutes = -1.0
    if not 0.0 <= minutes <= MOST_MIN:
        raise ImpossibleValue(say("fleet.table.no_minutes"), where=f"{start} – {end}"[:MOST_SHOWN], value=_shown(cell),
                              right=f"0 – {MOST_MIN:g} min")
    return minutes
