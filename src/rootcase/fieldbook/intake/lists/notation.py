"""How a column writes its numbers and its days: where one cell can only be read one way, the others follow it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, timedelta
from typing import Literal

from rootcase.fieldbook.intake.grid import Cell
from rootcase.ground.dates import Order, read_date, show_date
from rootcase.ground.errors import UnreadableValue
from rootcase.ground.words import say

Comma = Literal["decimal", "thousands"]

_GROUPED = re.compile(r"(?<![\d.,])[1-9]\d{0,2},\d{3}(?![\d.,])")
_SURE_DECIMAL = re.compile(r"(?<![\d.,])(?:\d*,\d{1,2}|0,\d+|\d+,\d{4,}|\d{1,3}(?:\.\d{3})+,\d+)(?![\d.,])")
_SURE_THOUSANDS = re.compile(r"(?<![\d.,])\d{1,3}(?:,\d{3})+\.\d+(?![\d.,])|(?<![\d.,])\d{1,3}(?:,\d{3}){2,}(?![\d.,])")
_THOUSANDS_BY_POINT = re.compile(r"(?<![\d.,])([1-9]\d{0,2})\.(\d{3})(?![\d.,])")
_STEMS = re.compile(r"\d+(?:\.\d+)?(?:\s*(?:[;+&/]|,\s)\s*\d+(?:\.\d+)?)+\s*[a-zA-Z\"]*|\d+(?:\.\d+)?(?:,\d+){2,}")
_STEMS_ALIKE = re.compile(r"(\d{1,2})\s*@\s*(\d+(?:\.\d+)?)")
_SHORT_YEAR = re.compile(r"(.*?[-/. ])(\d{2})")
_WEEKDAY = re.compile(r"^[^\W\d]{2,10}[.,]*\s+(?=\d|[^\W\d]{3,9}\.?\s+\d)(?!\d{1,2}(?:st|nd|rd|th)?,?\s+\d{4}$)")
"""A word before a day that is whole without it; the month of "June 15, 2015" is none."""
_RUN_TOGETHER = re.compile(r"((?:19|20)\d\d)(0[1-9]|1[0-2])(0[1-9]|[12]\d|3[01])")
_DAY_IN_WORDS = re.compile(r"(?<![\d./-])(?:\d{4}-\d\d-\d\d|\d{1,2}([-./])\d{1,2}\1\d{4}|\d{1,2} [^\W\d]{3,9} \d{4}|"
                           r"[^\W\d]{3,9} \d{1,2}, \d{4})(?!\d)")
_SERIAL_DAYS = range(20_000, 60_000)
"""Days since the end of 1899 from 1954 to 2064, as spreadsheets count them (the 1900 system; common practice)."""
_SERIAL_START = date(1899, 12, 30)


def comma_of(texts: Iterable[str]) -> Comma | None:
    """What a comma means in a column; None where no cell says it, or two cells disagree.

    >>> comma_of(["12,5", "1,250"]), comma_of(["1,250.5", "2,400"]), comma_of(["1,250"]) is None
    ('decimal', 'thousands', True)
    """
    texts = list(texts)
    decimal = any(_SURE_DECIMAL.search(text) for text in texts)
    thousands = any(_SURE_THOUSANDS.search(text) for text in texts)
    if decimal == thousands:
        return None
    return "decimal" if decimal else "thousands"


def has_open_comma(text: str) -> bool:
    """Whether a comma in it can be a decimal or a thousand."""
    return bool(_GROUPED.search(text))


def with_comma(text: str, comma: Comma | None) -> str:
    """The same number written so that it can be read one way only.

    >>> with_comma("1,250", "decimal"), with_comma("1.250", "decimal"), with_comma("1,250 cm", "thousands")
    ('1.250', '1250', '1250 cm')
    """
    if comma == "thousands":
        return _GROUPED.sub(lambda found: found[0].replace(",", ""), text)
    if comma == "decimal":
        whole = _THOUSANDS_BY_POINT.sub(r"\1\2", text)
        return _GROUPED.sub(lambda found: found[0].replace(",", "."), whole)
    return text


def order_of(texts: Iterable[str]) -> Order | None:
    """Whether days or months come first in a column; None where every day of it can be read both ways, or some neither.

    >>> order_of(["1/2/2024", "13/2/2024"]), order_of(["1/2/2024", "2/3/2024"]) is None
    ('day_first', True)
    """
    seen: set[Order] = set()
    for text in texts:
        day = _numbers_only(text)
        if day:
            first, second = day
            if first > 12 >= second:
                seen.add("day_first")
            elif second > 12 >= first:
                seen.add("month_first")
    return seen.pop() if len(seen) == 1 else None


def has_open_order(text: str) -> bool:
    day = _numbers_only(text)
    return day is not None and day[0] != day[1] and max(day) <= 12


def stems_of(text: str) -> tuple[str, ...]:
    """The trunks that stand in one cell, each as typed; empty where one alone does.

    >>> stems_of("12, 8, 6"), stems_of("3@6"), stems_of("12.5"), stems_of("12,8")
    (('12', '8', '6'), ('6', '6', '6'), (), ())
    """
    if (alike := _STEMS_ALIKE.fullmatch(text)) and int(alike[1]) > 1:
        return (alike[2],) * int(alike[1])
    return tuple(re.findall(r"\d+(?:\.\d+)?", text)) if _STEMS.fullmatch(text) else ()


def day_of(cell: Cell, order: Order | None, today: date) -> date:
    """The day of a cell, or a refusal; a year of two figures is of this century unless that lies ahead.

    >>> day_of(Cell("3.5.24"), "day_first", date(2024, 6, 1)), day_of(Cell("20240503"), None, date(2024, 6, 1))
    (datetime.date(2024, 5, 3), datetime.date(2024, 5, 3))
    >>> [day_of(Cell(text), None, date(2024, 6, 1)).day for text in ("Friday, 3 May 2024", "May 4, 2024")]
    [3, 4]
    """
    text = cell.text.split("T")[0] if re.match(r"\d{4}-\d\d-\d\dT", cell.text) else cell.text
    text = re.sub(r"\s+\d{1,2}:\d\d(?::\d\d(?:\.\d+)?)?(?:\s*[AaPp]\.?[Mm]\.?)?$", "", text)
    if found := _RUN_TOGETHER.fullmatch(text):
        return read_date("-".join(found.groups()))
    if cell.form == "number" or text.isdigit():
        raise UnreadableValue(say("intake.date_as_number"), value=f'"{cell.text}"', right=say("dates.right"))
    if (found := _SHORT_YEAR.fullmatch(text)) and not re.match(r"\d{4}", text):
        century = 2000 if 2000 + int(found[2]) <= today.year else 1900
        text = f"{found[1]}{century + int(found[2])}"
    return read_date(_WEEKDAY.sub("", text), order)


def days_in(text: str) -> set[date]:
    """The days written out in a line of words; one that can be read two ways is none.

    >>> days_in("Client: us, Reported 05/22/2024"), days_in("walked on 14 May 2024"), days_in("phone 5/6/2024")
    ({datetime.date(2024, 5, 22)}, {datetime.date(2024, 5, 14)}, set())
    """
    found: set[date] = set()
    for each in _DAY_IN_WORDS.finditer(text):
        try:
            found.add(read_date(each[0]))
        except UnreadableValue:
            continue
    return found


def day_of_serial(text: str) -> str:
    """The day a spreadsheet's number stands for, written out; empty where it can hardly be one.

    >>> day_of_serial("45415"), day_of_serial("17")
    ('3 May 2024', '')
    """
    if not re.fullmatch(r"[0-9]{5}", text) or int(text) not in _SERIAL_DAYS:
        return ""
    return show_date(_SERIAL_START + timedelta(days=int(text)))


def _numbers_only(text: str) -> tuple[int, int] | None:
    found = re.match(r"(\d{1,2})[-/.](\d{1,2})[-/.](\d{2}|\d{4})(?!\d)", text)
    return (int(found[1]), int(found[2])) if found else None
