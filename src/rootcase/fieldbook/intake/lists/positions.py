"""Where the trees of a list stand: degrees into metres from the property's corner, and what a slip does to them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import hypot
from statistics import median

from rootcase.fieldbook.canonical import number_text
from rootcase.fieldbook.intake.lists.checks import leave
from rootcase.fieldbook.intake.lists.columns import Mapped, Theirs, is_blank
from rootcase.fieldbook.intake.lists.entry import Entries, Entry
from rootcase.fieldbook.intake.lists.told import Mend, Told
from rootcase.fieldbook.intake.lists.troubles import Answer, Trouble
from rootcase.ground.errors import RootcaseError
from rootcase.ground.position import local_m, place_in, place_of, trees_grow_at
from rootcase.ground.quantity import number
from rootcase.ground.words import say

Position = tuple[float, float]

_NEAR_M = 20_000.0
"""How far from the others a tree of one property may stand (JUDGEMENT); a lost sign or order takes it much farther."""


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
        texts = ["" if is_blank(entry.cells[each.at]) else entry.cells[each.at].text
                 for each in ((both,) if both else (latitude, longitude)) if each]
        if not any(texts) or (mend and mend.do == "leave"):
            continue
        entry.position = place_in(texts[0].strip("() ")) if both else place_of(*texts)
        if entry.position is None and latitude and longitude and not both and not all(texts):
            blank, there = (latitude, longitude) if not texts[0] else (longitude, latitude)
            what = say("lists.half_blank", blank=blank.header, other=there.header)
            _complain(found, entry, column, "no_position", what, say("lists.right_half_blank"),
                      key=blank.header)
        elif entry.position is None:
            _complain(found, entry, column, "no_position", say("lists.no_position"), say("intake.right_degrees"))
        else:
            entry.position = _turned(entry.position, mend)
    positions = [entry.position for entry in found.rows if entry.position]
    origin, middle = known or _middle(positions), _middle(positions)
    elsewhere = known if known and middle and not _near(middle, known) else None
    for entry in found.rows:
        if entry.position:
            _hold(found, entry, column, origin, elsewhere)
    return origin


def metres(entry: Entry, origin: Position | None) -> Position | None:
    """East and north of the origin."""
    return local_m(*entry.position, *origin) if entry.position and origin else None


def _turned(position: Position, mend: Mend | None) -> Position:
    if mend and mend.do == "swap":
        return position[1], position[0]
    if mend and mend.do == "minus":
        return position[0], -position[1]
    return position


def _middle(positions: Sequence[Position]) -> Position | None:
    """Where most of them stand."""
    right = [each for each in positions if trees_grow_at(each[0]) and abs(each[1]) <= 180]
    return (round(median(each[0] for each in right), 6), round(median(each[1] for each in right), 6)) if right else None


def _hold(found: Entries, entry: Entry, column: Theirs, origin: Position | None, elsewhere: Position | None) -> None:
    """Ask about a tree that stands far from the others; `elsewhere`: the property's, from where they all stand far."""
    assert entry.position is not None
    if origin and _near(entry.position, origin):
        return
    ways: Mapping[str, Position] = {"swap": (entry.position[1], entry.position[0]),
                                    "minus": (entry.position[0], -entry.position[1])}
    right = [word for word, position in ways.items()
             if (_near(position, origin) if origin else trees_grow_at(position[0]))]
    answers = tuple(Answer(word, say(f"lists.does.{word}"), word) for word in right)
    far_m = _distance(entry.position, origin) if origin else None
    what = say("lists.no_tree_there") if far_m is None else say("lists.far", km=number(far_m / 1000, 3))
    if far_m is not None and elsewhere:
        shown = ", ".join(map(number_text, elsewhere))
        what = say("lists.far_from_property", km=number(far_m / 1000, 3), position=shown)
    _complain(found, entry, column, "far", what, say("lists.right_far") if right else say("intake.right_degrees"),
              answers, "_".join(right))


def _near(position: Position, origin: Position) -> bool:
    far_m = _distance(position, origin)
    return far_m is not None and far_m <= _NEAR_M


def _distance(position: Position, origin: Position) -> float | None:
    try:
        return hypot(*local_m(*position, *origin)) if trees_grow_at(position[0]) else None
    except RootcaseError:
        return None


def _complain(found: Entries, entry: Entry, column: Theirs, cause: str, what: str, right: str,
              answers: tuple[Answer, ...] = (), key: str = "") -> None:
    found.troubles.append(Trouble(entry.row.number, column.header, entry.row.cells[column.at].text, cause, what, right,
                                  (*answers, leave()), key=key))
