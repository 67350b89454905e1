"""Days on which a ground is in use, out of the words in which a client told of them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta

from rootcase.ground.dates import read_date
from rootcase.ground.errors import UnreadableValue
from rootcase.ground.words import say
from rootcase.records.apply.told import MOST_USE_DAYS

_BETWEEN = re.compile(r"\s*[-–—]\s*|\s+to\s+")
_BESIDE = re.compile(r"\s*[,/&]\s*(?:and\s+)?|\s+and\s+|\s+")
_TO = re.compile(r"\s+to\s+|\s+-\s+|\s*–\s*")


@dataclass(frozen=True, slots=True)
class UsedDays:
    """One part of what was told."""

    name: str
    first: date
    last: date
    weekdays: tuple[int, ...] = ()
    """Monday is 0; empty: every day from the first to the last."""


def used_days(text: str, told_on: date) -> tuple[tuple[UsedDays, ...], tuple[str, ...]]:
    """What closes which days, and the parts in which no day can be read.

    Parts are parted by semicolons; each is days of the week, a date, or two dates with `to` between, and after a colon
    what for. Days of the week hold for a year from the day they were told: then it is asked again.

    >>> found, unread = used_days("Sat, Sun: matches; 12 Jun 2016 to 14 Jun 2016: fair; ring Jo", date(2016, 5, 2))
    >>> [(each.name, each.weekdays, each.first.isoformat()) for each in found], unread
    ([('matches', (5, 6), '2016-05-02'), ('fair', (), '2016-06-12')], ('ring Jo',))
    """
    found, unread = [], []
    for part in filter(None, (each.strip() for each in re.split(r"[;\n]", text))):
        when, _, what = part.partition(":")
        read = _read(when.strip(), (what.strip() or part), told_on)
        if read is None:
            unread.append(part)
        else:
            found.append(read)
    return tuple(found), tuple(unread)


def read_weekdays(text: str) -> tuple[int, ...]:
    """Days of the week, Monday 0, where nothing else stands in a text; else none.

    >>> read_weekdays("Mon-Wed, Sat/Sun"), read_weekdays("Friday to Monday"), read_weekdays("Mon morning")
    ((0, 1, 2, 5, 6), (0, 4, 5, 6), ())
    """
    known = {word: day for day, words in enumerate(say("windows.weekdays_typed").split(";")) for word in words.split()}
    week, found = say("windows.weekdays_typed").count(";") + 1, set()
    for part in filter(None, _BESIDE.split(_BETWEEN.sub("-", text.strip().casefold()))):
        ends = [known.get(word.removesuffix(".")) for word in part.split("-")]
        first, last = ends[0], ends[-1]
        if first is None or last is None or len(ends) > 2:
            return ()
        found |= {(first + step) % week for step in range((last - first) % week + 1)}
    return tuple(sorted(found))


def _read(when: str, name: str, told_on: date) -> UsedDays | None:
    days = read_weekdays(when)
    if days:
        return UsedDays(name, told_on, told_on + timedelta(MOST_USE_DAYS), days)
    try:
        ends = [read_date(each) for each in _TO.split(when)]
    except UnreadableValue:
        return None
    return UsedDays(name, ends[0], ends[-1]) if len(ends) <= 2 and ends[0] <= ends[-1] else None
