"""One tag on several rows of a list: one tree read several times, or several trees."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from math import hypot

from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.lists.columns import Mapped, Theirs
from rootcase.fieldbook.intake.lists.entry import Entries, Entry
from rootcase.fieldbook.intake.lists.positions import metres
from rootcase.fieldbook.intake.lists.told import Mend, Told
from rootcase.fieldbook.intake.lists.troubles import Answer, Trouble
from rootcase.ground.quantity import number
from rootcase.ground.words import say


def deed_for(mends: Mapping[tuple[str, str], Mend], theirs: Theirs, entry: Entry) -> str:
    """What is to be done with the tag of a row; empty where nobody has said it."""
    mend = mends.get((theirs.header, entry.row.cells[theirs.at].text))
    return mend.do if mend else ""


def ask_twice(found: Entries, theirs: Theirs, entries: Sequence[Entry], deed: str, taken: set[str]) -> None:
    """One tag on several rows of a day: joined, numbered, or asked about."""
    for at, entry in enumerate(entries):
        if deed == "join":
            entry.joins = at > 0
        elif deed == "number" and at:
            entry.label = _free(entry.label, taken)
        elif deed not in ("join", "number"):
            found.troubles.append(_trouble(theirs, entry, say("lists.twice", tag=entry.label)))


def ask_apart(found: Entries, mapped: Mapped, told: Told) -> None:
    """One tag at several spots: it cannot be one tree in each of them."""
    theirs, place = mapped.labels, mapped.of("place")
    if theirs is None:
        return
    mends = {(mend.column, value): mend for mend in told.mends for value in mend.values}
    asked = {trouble.row for trouble in found.troubles if trouble.cause == "twice"}
    spots: dict[str, dict[tuple[object, ...], list[Entry]]] = defaultdict(lambda: defaultdict(list))
    for entry in found.rows:
        if entry.label and not entry.joins and entry.row.number not in asked:
            spots[folded(entry.label)][folded(entry.place), entry.position].append(entry)
    taken = set(spots)
    for there in (there for there in spots.values() if len(there) > 1):
        first, *others = list(there.values())
        deed = deed_for(mends, theirs, first[0])
        for entries in others if deed == "number" else ():
            label = _free(entries[0].label, taken)
            for entry in entries:
                entry.label = label
        for entry in (entry for entries in others for entry in entries if deed == "join"):
            entry.joins = True
            if place and folded(entry.place) != folded(first[0].place):
                entry.kept[place.header] = entry.place
        if deed not in ("join", "number"):
            shown = "; ".join(_spot(entries[0], first[0]) for entries in there.values())
            found.troubles += [_trouble(theirs, entry, say("lists.twice_apart", tag=entry.label, spots=shown))
                               for entries in there.values() for entry in entries]


def _spot(entry: Entry, first: Entry) -> str:
    away = metres(entry, first.position) if entry is not first and entry.place == first.place else None
    if away is None:
        return say("lists.spot", row=entry.row.number, place=entry.place)
    return say("lists.spot_beside", row=entry.row.number, place=entry.place, metres=number(hypot(*away), 2))


def _trouble(theirs: Theirs, entry: Entry, what: str) -> Trouble:
    return Trouble(entry.row.number, theirs.header, entry.label, "twice", what, say("lists.right_twice"),
                   (Answer("join", say("lists.does.join"), "join"),
                    Answer("number", say("lists.does.number", tag=entry.label), "number")), key=folded(entry.label))


def _free(label: str, taken: set[str]) -> str:
    """The label with the first ending that no other has."""
    free = next(made for sign in _endings() if folded(made := f"{label}{sign}") not in taken)
    taken.add(folded(free))
    return free


def _endings() -> Iterable[str]:
    letters = "bcdefghijklmnopqrstuvwxyz"
    yield from letters
    yield from (f"-{number}" for number in range(27, 100_000))
