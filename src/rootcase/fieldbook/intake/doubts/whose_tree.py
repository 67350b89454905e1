"""Readings that say another tree than the one they are entered under: its kind, its trunk, where it stands."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import pairwise
from statistics import fmean

from rootcase.fieldbook.events import ReadingTaken
from rootcase.fieldbook.intake.doubts.agreements import inside, usual
from rootcase.fieldbook.intake.doubts.held import Held, Question, told
from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.species import resolve
from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.tables.load import table

_LEAST_YEARS = 1.0
"""Over less time the tape's own error is more than what a trunk grows."""


def doubt_trunks(held: Held) -> Iterator[Question]:
    """Trunks that shrank, or grew faster than trunks do, since the last visit; other stems cannot be matched."""
    row = table("observe/agreements").row(name="trunk_growth")
    for tree in dict.fromkeys(new.of for new in held.new_of("dbh")):
        for (before, old), (after, now) in pairwise(_by_day(held, "dbh", tree)):
            years = max((after - before).days / 365.25, _LEAST_YEARS)
            growth = (fmean(each.value or 0.0 for each in now) - fmean(each.value or 0.0 for each in old)) / years
            if len(old) == len(now) and not inside(growth, row):
                yield from _asked(held, old, now, before, say("doubts.trunk_grows", usual=usual(row, held.system)))


def doubt_kinds(held: Held) -> Iterator[Question]:
    """Trees that were another kind at the last visit."""
    for tree in dict.fromkeys(new.of for new in held.new if new.kind == "species"):
        for (before, old), (_, now) in pairwise(_by_day(held, "species", tree)):
            if not _same_kind(old[-1].choice or "", now[-1].choice or ""):
                yield from _asked(held, old[-1:], now[-1:], before, "")


def _by_day(held: Held, kind: str, tree: str) -> list[tuple[date, list[ReadingTaken]]]:
    found: dict[date, list[ReadingTaken]] = defaultdict(list)
    for each in held.of(kind, tree):
        day = held.day(each)
        if day is not None and each.sign in "=~" and (each.value or each.choice):
            found[day].append(each)
    return sorted(found.items())


def _asked(held: Held, old: Sequence[ReadingTaken], now: Sequence[ReadingTaken], before: date,
           why: str) -> Iterator[Question]:
    """Asked of the later ones, unless only the earlier are new."""
    words = say("doubts.other_tree", what=held.what(now[0]), value=", ".join(map(told, now)),
                day=show_date(before), before=", ".join(map(told, old)), why=why).replace("  ", " ")
    later = [each.slot for each in now if each.slot in held.new_slots]
    asked = later or [each.slot for each in old if each.slot in held.new_slots]
    if asked:
        yield tuple(asked), words


def _same_kind(old: str, now: str) -> bool:
    """Whether two names may be one kind: the same, or one of them only the genus of the other."""
    first, second = (_words(name) for name in (old, now))
    if not first or not second or first[0] != second[0]:
        return not first or not second
    return len(first) == 1 or len(second) == 1 or first[1] == second[1]


def _words(name: str) -> list[str]:
    """Genus and species, "sp." left out; nothing where the name is not a botanical one that we know."""
    named = resolve(name)
    return [word for word in folded(named.botanical or "").split() if word not in ("sp", "spp", "x")][:2]
