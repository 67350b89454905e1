"""Fit days as a calendar file that other programs read: iCalendar, RFC 5545."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from hashlib import sha256

from rootcase.ground.words import say

LONGEST_OCTETS = 75
"""Of a line without its end; RFC 5545, 3.1."""
_ESCAPES = str.maketrans({"\\": "\\\\", ";": "\\;", ",": "\\,", "\n": "\\n", "\r": None})


@dataclass(frozen=True, slots=True, kw_only=True)
class CalendarDay:
    """One whole day."""

    key: str
    """What it is of: the same day of the same work has the same name in every file."""
    day: date
    title: str
    where: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CalledOff:
    """A day that an earlier file had, and that is fit no more."""

    mark: str
    """As `mark_of` gave it then."""
    day: date


def mark_of(each: CalendarDay) -> str:
    """What a day is called in every file."""
    return sha256(f"{each.key}\n{each.day.isoformat()}".encode()).hexdigest()[:32]


def calendar_file(days: Iterable[CalendarDay], made_at: datetime, gone: Iterable[CalledOff] = (), sequence: int = 0
                  ) -> bytes:
    """A calendar of whole days, lines folded and ended as the standard asks. gone: what is called off in it; sequence:
    higher in each file that says something else.

    >>> print(calendar_file([], datetime(2016, 5, 2, tzinfo=UTC)).decode().splitlines()[1])
    VERSION:2.0
    """
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//rootcase//days ahead//EN", "CALSCALE:GREGORIAN",
             f"X-WR-CALNAME:{_text(say('windows.calendar'))}"]
    stamp = f"{made_at.astimezone(UTC):%Y%m%dT%H%M%SZ}"
    for each in days:
        lines += [*_begun(mark_of(each), each.day, stamp, sequence), "STATUS:CONFIRMED",
                  f"SUMMARY:{_text(each.title)}", f"LOCATION:{_text(each.where)}", f"DESCRIPTION:{_text(each.words)}",
                  "TRANSP:TRANSPARENT", "END:VEVENT"]
    for off in gone:
        lines += [*_begun(off.mark, off.day, stamp, sequence), "STATUS:CANCELLED",
                  f"SUMMARY:{_text(say('windows.calendar_off'))}", "TRANSP:TRANSPARENT", "END:VEVENT"]
    lines.append("END:VCALENDAR")
    return b"".join(part + b"\r\n" for line in lines for part in folded(line))


def _begun(mark: str, day: date, stamp: str, sequence: int) -> list[str]:
    return ["BEGIN:VEVENT", f"UID:{mark}@rootcase.invalid", f"DTSTAMP:{stamp}", f"SEQUENCE:{sequence}",
            f"DTSTART;VALUE=DATE:{day:%Y%m%d}", f"DTEND;VALUE=DATE:{day + timedelta(1):%Y%m%d}"]


def folded(line: str) -> Iterator[bytes]:
    """A line in parts of at most 75 octets, no letter torn; each further part begins with a space.

    >>> [len(part) for part in folded("x" * 100)]
    [75, 26]
    """
    part = b""
    for letter in line:
        octets = letter.encode()
        if len(part) + len(octets) > LONGEST_OCTETS:
            yield part
            part = b" "
        part += octets
    yield part


def _text(words: str) -> str:
    """Text as a value holds it; what no text may hold is left out."""
    return "".join(each for each in words if each == "\n" or each.isprintable()).translate(_ESCAPES)
