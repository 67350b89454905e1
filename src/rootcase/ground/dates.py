"""Days as people write them, and the growing season a day belongs to on either half of the earth."""

from __future__ import annotations

import re
from datetime import date
from typing import Literal

from rootcase.ground.errors import UnreadableValue
from rootcase.ground.words import say

Order = Literal["month_first", "day_first"]

_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[ T]00:00(?::00)?)?")
_NUMBERS = re.compile(r"(\d{1,2})[-/.](\d{1,2})[-/.](\d{4})")
_DAY_NAME = re.compile(r"(\d{1,2})(?:st|nd|rd|th|\.)?[ -]+([^\W\d]+)\.?,?[ -]+(\d{4})", re.IGNORECASE)
_NAME_DAY = re.compile(r"([^\W\d]+)\.?[ -]+(\d{1,2})(?:st|nd|rd|th)?,?[ -]+(\d{4})", re.IGNORECASE)

MIDSUMMER_NORTH = (6, 21)
MIDSUMMER_SOUTH = (12, 21)
_HALF_YEAR_DAYS = 183


def months_later(month: int, months: int) -> int:
    """The month so many months on, over the new year; six make a season of the north one of the south.

    >>> months_later(3, 6), months_later(8, 6), months_later(12, 1)
    (9, 2, 1)
    """
    return (month - 1 + months) % 12 + 1


def read_date(text: str, order: Order | None = None) -> date:
    """Return the day a person typed; a text that can mean two days is refused with both named.

    >>> read_date("4 Nov 2015"), read_date("11/13/2015"), read_date("11/4/2015", "month_first")
    (datetime.date(2015, 11, 4), datetime.date(2015, 11, 13), datetime.date(2015, 11, 4))
    """
    form = " ".join(text.split())
    if found := _YEAR_FIRST.fullmatch(form):
        days = _days((found[1], found[2], found[3]))
    elif found := _DAY_NAME.fullmatch(form):
        days = _days((found[3], _month(found[2]), found[1]))
    elif found := _NAME_DAY.fullmatch(form):
        days = _days((found[3], _month(found[1]), found[2]))
    elif found := _NUMBERS.fullmatch(form):
        month_first, day_first = (found[3], found[1], found[2]), (found[3], found[2], found[1])
        days = _days(*{"month_first": [month_first], "day_first": [day_first], None: [month_first, day_first]}[order])
    else:
        days = ()
    if not days:
        raise UnreadableValue(say("dates.unreadable"), value=f'"{text}"', right=say("dates.right"))
    if len(days) > 1:
        raise UnreadableValue(say("dates.ambiguous", first=show_date(days[0]), second=show_date(days[1])),
                              value=f'"{text}"', right=say("dates.right"))
    return days[0]


def show_date(day: date) -> str:
    """Write a day out in full.

    >>> show_date(date(2015, 11, 4))
    '4 November 2015'
    """
    return say("dates.shown", day=day.day, month=say("dates.months").split()[day.month - 1], year=day.year)


def count_days(count: int) -> str:
    """Write a number of days.

    >>> count_days(1), count_days(1200)
    ('1 day', '1,200 days')
    """
    return say("dates.one_day") if count == 1 else say("dates.several_days", count=f"{count:,}")


def season_year(day: date, latitude_deg: float) -> int:
    """Year of the growing season a day belongs to; in the south a season runs July to June and is named after its end.

    >>> season_year(date(2015, 11, 4), 41.0), season_year(date(2015, 11, 4), -37.8)
    (2015, 2016)
    """
    return day.year + (latitude_deg < 0 and day.month >= 7)


def last_finished_season(day: date, latitude_deg: float) -> int:
    """Newest season whose shoots count as finished: before midsummer last year's, from midsummer this one's.

    >>> last_finished_season(date(2015, 5, 4), 41.0), last_finished_season(date(2015, 11, 4), 41.0)
    (2014, 2015)
    """
    midsummer = MIDSUMMER_SOUTH if latitude_deg < 0 else MIDSUMMER_NORTH
    season = season_year(day, latitude_deg)
    first_day = date(season - 1 if latitude_deg < 0 else season, *midsummer)
    return season if day >= first_day else season - 1


def season_day(day: date, latitude_deg: float) -> int:
    """Day of the year, 1 to 366, as it would be in the north: in the south half a year is added.

    >>> season_day(date(2015, 1, 1), 41.0), season_day(date(2015, 7, 3), -37.8)
    (1, 1)
    """
    of_year = day.timetuple().tm_yday
    if latitude_deg >= 0:
        return of_year
    return of_year - _HALF_YEAR_DAYS if of_year > _HALF_YEAR_DAYS else of_year + _HALF_YEAR_DAYS


def day_between(day: str, first: str, last: str) -> bool:
    """Whether a day of the year, month first as in 12-01, lies from one to another, both counted, over New Year or not.

    >>> day_between("12-15", "12-01", "04-01"), day_between("04-02", "12-01", "04-01")
    (True, False)
    """
    return first <= day <= last if first <= last else day >= first or day <= last


def _days(*readings: tuple[str, str, str]) -> tuple[date, ...]:
    """The days, each once, that the readings (year, month, day) name; impossible ones left out."""
    days: list[date] = []
    for year, month, day_of_month in readings:
        try:
            day = date(int(year), int(month), int(day_of_month))
        except ValueError:
            continue
        if day not in days:
            days.append(day)
    return tuple(days)


def _month(name: str) -> str:
    """Number of a month from its name or its first three letters and more; 0 when it is none."""
    names = say("dates.months").lower().split()
    numbers = [n for n, full in enumerate(names, 1) if len(name) >= 3 and full.startswith(name.lower())]
    if name.lower() == "sept":
        numbers = [9]
    return str(numbers[0]) if numbers else "0"
