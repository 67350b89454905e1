"""Where the trees of a list stand: degrees into metres from the property's corner, and what a slip does to them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from math import hypot
from statistics import median

from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.lists.checks import leave
from rootcase.fieldbook.intake.lists.columns import Mapped, Theirs, is_blank
from rootcase.fieldbook.intake.lists.entry import Entries, Entry
from rootcase.fieldbook.intake.lists.told import Mend, Told
from rootcase.fieldbook.intake.lists.troubles import Answer, Trouble
from rootcase.ground.errors import RootcaseError
from rootcase.ground.position import local_m
from rootcase.ground.quantity import number
from rootcase.ground.words import say

Position = tuple[float, float]

_NEAR_M = 20_000.0
"""How far from the others a tree of one property may stand (JUDGEMENT); a lost sign or order takes it much farther."""
_DEGREES = re.compile(r"\s*(-?\d+(?:[.,]\d+)?)\s*°?\s*([NSEWnsewO]?)\s*")
_PAIR = re.compile(r"\s*\(?(.+?)\)?\s*(?:,\s|;|\s{1,})\s*(.+?)\)?\s*")


def place_trees(found: Entries, mapped: Mapped, told: Told, known: Position | None) -> Position | None:
    """Give each row its position in degrees, and return the one they are all measured from."""
    latitude, longitude, both = mapped.of("latitude"), mapped.of("longitude"), mapped.of("position")
    mends = {(mend.column, value): mend for mend in told.mends for value in mend.values}
    if not both and not (latitude and longitude):
        return known
    column = both or latitude
    assert column is not None
    for entry in found.rows:
        mend = mends.get((column.header, entry.row.cells[column.at].text))
        texts = _pair(entry.cells[both.at].text) if both else tuple(
            "" if is_blank(cell) else cell.text for each in (latitude, longitude) if each
            for cell in (entry.cells[each.at],))
        if (texts is not None and not any(texts)) or (mend and mend.do == "leave"):
            continue
        entry.position = _degrees(texts)
        if entry.position is None:
            _complain(found, entry, column, "no_position", say("lists.no_position"), say("intake.right_degrees"))
        else:
            entry.position = _turned(entry.position, mend)
    origin = known or _middle([entry.position for entry in found.rows if entry.position])
    if origin:
        for entry in found.rows:
            if entry.position:
                _hold(found, entry, column, origin)
    return origin


def metres(entry: Entry, origin: Position | None) -> Position | None:
    """East and north of the origin."""
    return local_m(*entry.position, *origin) if entry.position and origin else None


def _pair(text: str) -> tuple[str, ...] | None:
    """Latitude and longitude that stand in one cell; None where they cannot be told apart."""
    if not text or is_blank(Cell(text)):
        return ("", "")
    found = _PAIR.fullmatch(text)
    return (found[1], found[2]) if found else None


def _degrees(texts: Sequence[str] | None) -> Position | None:
    found = [_DEGREES.fullmatch(text) for text in texts or ()]
    if len(found) != 2 or not all(found):
        return None
    values = [float(each[1].replace(",", ".")) * (-1 if each[2] and each[2] in "SsWwO" and not each[1].startswith("-")
                                                  else 1) for each in found if each]
    return values[0], values[1]


def _turned(position: Position, mend: Mend | None) -> Position:
    if mend and mend.do == "swap":
        return position[1], position[0]
    if mend and mend.do == "minus":
        return position[0], -position[1]
    return position


def _middle(positions: Sequence[Position]) -> Position | None:
    """Where most of them stand."""
    right = [each for each in positions if abs(each[0]) <= 90 and abs(each[1]) <= 180]
    return (round(median(each[0] for each in right), 6), round(median(each[1] for each in right), 6)) if right else None


def _hold(found: Entries, entry: Entry, column: Theirs, origin: Position) -> None:
    """Ask about a tree that stands far from the others."""
    assert entry.position is not None
    far_m = _distance(entry.position, origin)
    if far_m is not None and far_m <= _NEAR_M:
        return
    ways: Mapping[str, Position] = {"swap": (entry.position[1], entry.position[0]),
                                    "minus": (entry.position[0], -entry.position[1])}
    right = [word for word, position in ways.items() if (way := _distance(position, origin)) is not None
             and way <= _NEAR_M]
    answers = tuple(Answer(word, say(f"lists.does.{word}"), word) for word in right)
    what = say("lists.no_place_on_earth") if far_m is None else say("lists.far", km=number(far_m / 1000, 3))
    _complain(found, entry, column, "far", what, say("lists.right_far") if right else say("intake.right_degrees"),
              answers, "_".join(right))


def _distance(position: Position, origin: Position) -> float | None:
    try:
        return hypot(*local_m(*position, *origin))
    except RootcaseError:
        return None


def _complain(found: Entries, entry: Entry, column: Theirs, cause: str, what: str, right: str,
              answers: tuple[Answer, ...] = (), key: str = "") -> None:
    found.troubles.append(Trouble(entry.row.number, column.header, entry.row.cells[column.at].text, cause, what, right,
                                  (*answers, leave()), key=key))
