"""Times of day as people write them, and the moment that a local time was: none, one or two of a place's clock."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from rootcase.ground.errors import UnreadableValue
from rootcase.ground.words import say

_TIME = re.compile(r"(\d{1,2})(?:[:.h](\d{2})(?:[:.](\d{2})(?:[.,]\d+)?)?)?\s*([ap])?\.?\s*(?:m\.?)?", re.IGNORECASE)
_FAR = timedelta(hours=3)
"""No clock is put forward or back by more."""


def read_time(text: str) -> time:
    """The time of day a person typed.

    >>> read_time("7:30"), read_time("7:05 pm"), read_time("12 am"), read_time("16:40:10")
    (datetime.time(7, 30), datetime.time(19, 5), datetime.time(0, 0), datetime.time(16, 40, 10))
    """
    found = _TIME.fullmatch(text.strip())
    wrong = UnreadableValue(say("clock.unreadable"), value=f'"{text}"', right=say("clock.right"))
    if found is None or not (found[2] or found[4]):
        raise wrong
    hour, minute, second = int(found[1]), int(found[2] or 0), int(found[3] or 0)
    if found[4]:
        if not 1 <= hour <= 12:
            raise wrong
        hour = hour % 12 + (12 if found[4].lower() == "p" else 0)
    try:
        return time(hour, minute, second)
    except ValueError:
        raise wrong from None


def zone(name: str) -> ZoneInfo:
    """The time zone of this name.

    >>> zone("America/New_York").key
    'America/New_York'
    """
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise UnreadableValue(say("clock.no_zone"), value=f'"{name}"', right=say("clock.right_zone")) from None


def is_zone(name: str) -> bool:
    """Whether there is a time zone of this name.

    >>> is_zone("America/New_York"), is_zone("Etc/Unknown")
    (True, False)
    """
    try:
        zone(name)
    except UnreadableValue:
        return False
    return True


def moments_of(local: datetime, place: ZoneInfo) -> tuple[datetime, ...]:
    """The moments at which a place's clock showed this: two where the clock was put back over it, none where forward.

    >>> new_york = ZoneInfo("America/New_York")
    >>> [each.hour for each in moments_of(datetime(2015, 11, 1, 1, 30), new_york)]
    [5, 6]
    >>> moments_of(datetime(2015, 3, 8, 2, 30), new_york)
    ()
    """
    both = {local.replace(tzinfo=place, fold=fold).astimezone(UTC) for fold in (0, 1)}
    return tuple(sorted(each for each in both if each.astimezone(place).replace(tzinfo=None) == local))


def beside_gap(local: datetime, place: ZoneInfo) -> tuple[datetime, datetime]:
    """The local times between which a place's clock was put forward over this one.

    >>> [each.hour for each in beside_gap(datetime(2015, 3, 8, 2, 30), ZoneInfo("America/New_York"))]
    [2, 3]
    """
    forward = local.replace(tzinfo=place, fold=0).astimezone(UTC)
    back = local.replace(tzinfo=place, fold=1).astimezone(UTC)
    jump = forward - back
    low, high = back - _FAR, forward + _FAR
    offset = low.astimezone(place).utcoffset()
    while high - low > timedelta(seconds=1):
        middle = low + (high - low) / 2
        low, high = (middle, high) if middle.astimezone(place).utcoffset() == offset else (low, middle)
    after = high.replace(microsecond=0).astimezone(place).replace(tzinfo=None)
    return after - jump, after


def show_time(moment: datetime, place: ZoneInfo) -> str:
    """A moment as the place's clock shows it.

    >>> show_time(datetime(2015, 11, 1, 5, 30, tzinfo=UTC), ZoneInfo("America/New_York"))
    '01:30'
    """
    return moment.astimezone(place).strftime("%H:%M")


def day_there(moment: datetime, place: ZoneInfo) -> date:
    """The day that it is at a place at a moment.

    >>> day_there(datetime(2015, 11, 1, 3, 30, tzinfo=UTC), ZoneInfo("America/New_York"))
    datetime.date(2015, 10, 31)
    """
    return moment.astimezone(place).date()


def the_moment(local: datetime, place: ZoneInfo, which: str = "") -> datetime:
    """The one moment of a local time; which: "first" or "second", where it came twice.

    >>> the_moment(datetime(2015, 11, 1, 1, 30), ZoneInfo("America/New_York"), "second")
    datetime.datetime(2015, 11, 1, 6, 30, tzinfo=datetime.timezone.utc)
    """
    moments = moments_of(local, place)
    shown = f"{local:%Y-%m-%d %H:%M}"
    if not moments:
        before, after = beside_gap(local, place)
        raise UnreadableValue(say("clock.never"), value=shown,
                              right=say("clock.right_never", before=f"{before:%H:%M}", after=f"{after:%H:%M}"))
    if len(moments) == 1:
        return moments[0]
    if which not in ("first", "second"):
        raise CameTwice(say("clock.twice"), value=shown, right=say("clock.right_twice"))
    return moments[which == "second"]


class CameTwice(UnreadableValue):
    """A local time that came twice, and nobody said which it was."""
