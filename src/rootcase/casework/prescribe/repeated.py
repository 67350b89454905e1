"""A programme on a day: which of its visits were made, which come, until when its price is held."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise

from rootcase.ground.dates import show_date
from rootcase.records.offer import Programme, ProgrammeState, ProgrammeVisit

MONTHS = 12
_DAYS_A_YEAR = 365


def programme_state(programme: Programme, visit_days: Sequence[date], today: date) -> ProgrammeState:
    """Where a programme stands.

    Parameters
    ----------
    programme : as it was agreed, renewed, skipped and stopped.
    visit_days : days on which somebody was at the property.
    today : the day that is asked about.

    Returns
    -------
    ProgrammeState. The visits of the running year in their order.

    Raises
    ------
    Nothing.

    Notes
    -----
    A year's visits are spread evenly over its months from the day the year began. A visit counts as made by the first
    day somebody was there between halfway from the one before and halfway to the next, the very first not before the
    programme began; it is missed once that time is over and nobody was.

    References
    ----------
    The even spread and the half way: JUDGEMENT.

    Examples
    --------
    >>> agreed = Programme("1", "mark", 1, ((date(2016, 4, 1), 2),), date(2017, 3, 31))
    >>> [(visit.due.isoformat(), visit.state) for visit in
    ...  programme_state(agreed, [date(2016, 4, 20)], date(2016, 6, 1)).visits]
    [('2016-04-01', 'made'), ('2016-10-01', 'ahead')]
    """
    renewal = months_on(programme.years[-1][0], MONTHS)
    begun = [at for at, (first, _) in enumerate(programme.years) if first <= today] or [0]
    days = [day for first, count in programme.years[begun[-1]:] for day in _spread(first, count)]
    half = timedelta(days=_DAYS_A_YEAR // (2 * programme.years[begun[-1]][1]))
    between = [one + (other - one) / 2 for one, other in pairwise(days)]
    starts = [each - half if begun[-1] else each for each in days[:1]] + between
    visits = tuple(_visit(day, start, end, programme, visit_days, today)
                   for day, start, end in zip(days, starts, [*between, renewal], strict=True)
                   if programme.stopped is None or day <= programme.stopped)
    return ProgrammeState(programme, visits, renewal, programme.stopped is None and today <= programme.price_until)


def months_on(day: date, months: int) -> date:
    """The same day so many months on, or the last of a shorter month.

    Parameters
    ----------
    day : from which.
    months : 0 or more.

    Returns
    -------
    date.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    None; the calendar (computed).

    Examples
    --------
    >>> months_on(date(2016, 1, 31), 1), months_on(date(2016, 2, 29), 12)
    (datetime.date(2016, 2, 29), datetime.date(2017, 2, 28))
    """
    at = day.month - 1 + months
    year, month = day.year + at // MONTHS, at % MONTHS + 1
    after = date(year + month // MONTHS, month % MONTHS + 1, 1)
    return min(date(year, month, 1) + timedelta(days=day.day - 1), after - timedelta(days=1))


def _spread(first: date, count: int) -> list[date]:
    """A year's visits: by whole months as far as there are enough of them."""
    if count <= MONTHS:
        return [months_on(first, round(MONTHS * at / count)) for at in range(count)]
    return [first + timedelta(days=_DAYS_A_YEAR * at // count) for at in range(count)]


def _visit(due: date, start: date, end: date, programme: Programme, visit_days: Sequence[date],
           today: date) -> ProgrammeVisit:
    skipped = next((why for day, why in programme.skipped if day == due), None)
    if skipped is not None:
        return ProgrammeVisit(due, "skipped", skipped)
    made = min((day for day in visit_days if start <= day < end and day <= today), default=None)
    if made is not None:
        return ProgrammeVisit(due, "made", show_date(made))
    return ProgrammeVisit(due, "missed" if today >= end else "ahead")
