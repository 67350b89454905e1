"""The calendar file of fit days: what an earlier file told and is fit no more is called off in the next."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rootcase.fieldbook.applied.fleet import CalendarTaken
from rootcase.fieldbook.applying.fleet_log import calendar_of
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.named import named_id
from rootcase.report.icalendar import CalendarDay, CalledOff, calendar_file, mark_of


def take_calendar(book: Fieldbook, days: Sequence[CalendarDay], today: date, by: str) -> bytes:
    """The file of these days; what it tells is kept where it is not what the file before told."""
    now = {mark_of(each): each.day for each in days}
    found: list[CalendarTaken] = []

    def told(events: Sequence[Event]) -> Sequence[Body]:
        before = calendar_of(events)
        ahead = {mark: day for mark, day in before.days if day >= today} if before else {}
        slot = named_id(book.store.practice_id, "calendar")
        everything = tuple(sorted({**ahead, **now}.items()))
        off = tuple(mark for mark, _ in everything if mark not in now)
        if before and (everything, off) == (tuple(sorted(ahead.items())), before.off):
            found.append(before)
            return ()
        found.append(CalendarTaken(slot=slot, by=by, number=before.number + 1 if before else 1, days=everything,
                                   off=off))
        return found

    book.applying.tell_practice(told)
    gone = [CalledOff(mark=mark, day=day) for mark, day in found[0].days if mark in found[0].off and day >= today]
    return calendar_file(days, book.applying.now(), gone, found[0].number)
