"""Daily weather from a CSV: days in order, gaps named, nothing filled in."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache
from pathlib import Path

from rootcase.fieldbook.intake.faults import Fault, PageRefused, Refused
from rootcase.fieldbook.intake.grid import Cell, Page, Row, folded, read_csv
from rootcase.fieldbook.intake.values import read_day
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.weather import WeatherDay
from rootcase.ground.dates import Order, read_date, show_date
from rootcase.ground.errors import RootcaseError, UnreadableValue
from rootcase.ground.typed import read
from rootcase.ground.words import say
from rootcase.records.observe import Weather

_DAY = timedelta(days=1)
_ORDERS: tuple[Order, ...] = ("month_first", "day_first")

# Unit a column is stored in, and what a day anywhere can have (the earth's extremes, rounded out: JUDGEMENT).
_COLUMNS = {"t_min_c": ("degC", -90.0, 60.0), "t_max_c": ("degC", -90.0, 60.0), "t_dew_c": ("degC", -95.0, 40.0),
            "rain_mm": ("mm", 0.0, 2000.0), "et0_mm": ("mm", 0.0, 25.0), "wind_m_s": ("m/s", 0.0, 90.0)}
_PLAIN = re.compile(r"-?\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True)
class WeatherResult:
    """What a file of weather brought."""

    station: str
    new: int
    replaced: int
    same: int
    first: date
    ends: date
    gaps: tuple[str, ...]
    """What is missing, in words."""
    faults: tuple[Fault, ...]
    """Values that could not be taken; they stay unknown."""


def import_weather(store: Store, path: Path, station: str, *, source: str = "") -> WeatherResult:
    """Take in a CSV of daily weather for a station; a day that differs replaces the old one."""
    days, faults = read_weather(read_csv(path), source)
    with store.writing() as turn:
        new, replaced = turn.keep_weather(station, days)
        held = series(station, turn.weather(station))
    return WeatherResult(station, new, replaced, len(days) - new - replaced, held.days[0], held.ends, gaps(held),
                         faults)


def read_weather(page: Page, source: str = "") -> tuple[list[WeatherDay], tuple[Fault, ...]]:
    """Days of a page; without a unit a column is in degC, mm or m/s. Days out of order are refused with their row."""
    columns = [_column(header, unit) for header, unit in zip(page.header, page.units, strict=True)]
    names = [name for name, _ in columns]
    if "day" not in names or not {"t_min_c", "t_max_c", "rain_mm"} <= set(names):
        raise PageRefused(Fault(page.name, 1, "", ", ".join(page.header), say("intake.weather_columns"),
                                say("intake.right_weather")))
    days: list[WeatherDay] = []
    faults: list[Fault] = []
    at = names.index("day")
    order = _order([row.cells[at].text for row in page.rows])
    for row in page.rows:
        day = _day(page, row, at, order)
        if days and day <= days[-1].day:
            raise PageRefused(Fault(page.name, row.number, "", show_date(day),
                                    say("intake.days_out_of_order", before=show_date(days[-1].day)),
                                    say("intake.right_days")))
        days.append(WeatherDay(day, **_figures(page, row, columns, faults), source=source or page.file))
    if not days:
        raise PageRefused(Fault(page.name, 1, "", "", say("intake.no_days"), say("intake.right_weather")))
    return days, tuple(faults)


def _order(texts: Sequence[str]) -> Order | None:
    """Which of 1/13 and 13/1 a file writes: where only one of them fits every day, that one."""
    fitting: list[Order] = [order for order in _ORDERS if all(_is_date(text, order) for text in texts)]
    return fitting[0] if len(fitting) == 1 else None


def _is_date(text: str, order: Order) -> bool:
    try:
        read_date(text, order)
    except UnreadableValue:
        return False
    return True


def _day(page: Page, row: Row, at: int, order: Order | None) -> date:
    try:
        return read_day(row.cells[at], order)
    except RootcaseError as error:
        fault = Fault(page.name, row.number, page.header[at], error.value, error.what, error.right)
        raise PageRefused(fault) from None


def _figures(page: Page, row: Row, columns: Sequence[tuple[str, str]], faults: list[Fault]) -> dict[str, float]:
    """The figures of a day by column; one that cannot be taken is named and stays unknown."""
    figures: dict[str, float] = {}
    for header, (name, unit), cell in zip(page.header, columns, row.cells, strict=False):
        if name not in _COLUMNS:
            continue
        try:
            value = _figure(name, unit, cell)
        except RootcaseError as error:
            given = error.value or f'"{cell.text}"'
            faults.append(Fault(page.name, row.number, header, given, error.what, error.right))
            continue
        if value is not None:
            figures[name] = value
    if figures.get("t_min_c", -math.inf) > figures.get("t_max_c", math.inf):
        given = f"{figures.pop('t_min_c'):g}, {figures.pop('t_max_c'):g} °C"
        faults.append(Fault(page.name, row.number, "", given, say("intake.cold_over_warm"),
                            say("intake.right_cold_over_warm")))
    return figures


def series(station: str, days: Sequence[WeatherDay]) -> Weather:
    """Every day from the first to the last; what is not known is NaN."""
    if not days:
        return Weather(station, (), (), (), (), (), (), "")
    known = {day.day: day for day in days}
    run = [days[0].day + n * _DAY for n in range((days[-1].day - days[0].day).days + 1)]
    whole = [known.get(day, WeatherDay(day)) for day in run]

    def column(name: str) -> tuple[float, ...]:
        return tuple(math.nan if getattr(day, name) is None else getattr(day, name) for day in whole)

    return Weather(station, tuple(run), column("t_min_c"), column("t_max_c"), column("rain_mm"), column("et0_mm"),
                   column("wind_m_s"), "; ".join(sorted({day.source for day in days})))


def gaps(weather: Weather) -> tuple[str, ...]:
    """What is missing, month by month, and where the weather ends.

    >>> nan, two_days = float("nan"), (date(2014, 6, 1), date(2014, 6, 2))
    >>> gaps(Weather("X", two_days, (1.0, nan), (9.0, 9.0), (0.0, 0.0), (nan, nan), (nan, nan), ""))
    ('1 day missing in June 2014', 'weather ends 2 June 2014')
    """
    if not weather.days:
        return ()
    lost = Counter((day.year, day.month) for day, *figures in
                   zip(weather.days, weather.t_min_c, weather.t_max_c, weather.rain_mm, strict=True)
                   if any(math.isnan(figure) for figure in figures))
    months = say("dates.months").split()
    named = [say("intake.one_day_missing", month=months[month - 1], year=year) if count == 1 else
             say("intake.days_missing", count=count, month=months[month - 1], year=year)
             for (year, month), count in sorted(lost.items())]
    return (*named, say("intake.weather_ends", day=show_date(weather.ends)))


def _column(header: str, unit: str) -> tuple[str, str]:
    """Our name of a column and its unit; an empty name for one that is not ours."""
    words = _column_words()
    if folded(header) in words:
        name = words[folded(header)]
        return name, unit or _COLUMNS.get(name, ("", 0, 0))[0]
    if split := re.fullmatch(r"(.*?)\s*[(\[]([^()\[\]]*)[)\]]", header):
        return words.get(folded(split[1]), ""), split[2]
    return "", ""


@cache
def _column_words() -> dict[str, str]:
    entries = (entry.partition(":") for entry in say("intake.weather_words").split(";"))
    return {folded(word): name.strip() for name, _, listed in entries for word in listed.split(",")}


def _figure(name: str, unit: str, cell: Cell) -> float | None:
    """One figure in its stored unit, or None for no reading.

    T is a trace of rain, less than can be measured, and M a missing figure, as weather services write them (memory).
    """
    stored, low, high = _COLUMNS[name]
    if cell.text in say("intake.weather_missing").split():
        return None
    if name == "rain_mm" and cell.text == say("intake.weather_trace"):
        return 0.0
    if unit == stored and _PLAIN.fullmatch(cell.text):
        value: float | None = float(cell.text) + 0.0
    else:
        try:
            found = read(cell.text)
        except UnreadableValue as error:
            raise Refused(error.what, value=error.value, right=say("intake.right_figure")) from None
        if found is None or found.nothing:
            return None
        value = found.to(stored, unit).value
        value = None if value is None else round(value, 9)
    if value is None or not low <= value <= high:
        raise Refused(say("intake.weather_range", low=f"{low:g}", high=f"{high:g}", unit=stored),
                      value=f'"{cell.text}"')
    return value
