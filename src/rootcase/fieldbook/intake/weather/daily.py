"""Daily weather from a plain file: days in order, nothing filled in."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from rootcase.fieldbook.intake.faults import Fault, PageRefused
from rootcase.fieldbook.intake.grid import Page, Row
from rootcase.fieldbook.intake.values import read_day
from rootcase.fieldbook.intake.weather.columns import (
    LIMITS,
    Column,
    as_typed,
    columns_of,
    drop_upside_down,
    figure,
    unread,
    unsaid_units,
)
from rootcase.fieldbook.intake.weather.station_file import StationFile, Told, Units
from rootcase.fieldbook.store.weather import WeatherDay
from rootcase.ground.dates import Order, read_date, show_date
from rootcase.ground.errors import RootcaseError, UnreadableValue
from rootcase.ground.words import say

_ORDERS: tuple[Order, ...] = ("month_first", "day_first")
_MEAN = "temperature_c"
"""Of a day it is not kept: its extremes are."""
_UNUSED = (_MEAN, "hour", "year", "month")
_STORED = {"humidity_pct": "humidity_mean_pct"}
"""Where a day keeps what its column calls otherwise."""


def read_daily(page: Page, told: Told) -> StationFile:
    """A row a day; days out of order are refused with their row."""
    columns = columns_of(page, told.units, hourly=False)
    days, faults = _days(page, columns, told.units, told.source)
    said = (say("weather.form_daily"), unsaid_units(columns, told.units), unread(columns, _UNUSED))
    return StationFile(tuple(days), tuple(filter(None, said)), faults)


def read_weather(page: Page, source: str = "") -> tuple[list[WeatherDay], tuple[Fault, ...]]:
    """Days of a field sheet's page; without a unit a column is in degC, mm or m/s."""
    return _days(page, columns_of(page, "", hourly=False), "", source)


def _days(page: Page, columns: Sequence[Column], bare: Units,
          source: str) -> tuple[list[WeatherDay], tuple[Fault, ...]]:
    names = [column.name for column in columns]
    both = {"t_min_c", "t_max_c"} <= set(names)
    if "day" not in names or (not both and ("rain_mm" not in names or {"t_min_c", "t_max_c"} & set(names))):
        raise PageRefused(Fault(page.name, 1, "", ", ".join(page.header), say("intake.weather_columns"),
                                say("intake.right_weather")))
    days: list[WeatherDay] = []
    faults: list[Fault] = []
    at = names.index("day")
    order = day_order([row.cells[at].text for row in page.rows])
    height = next((column.height_m for column in columns if column.name == "wind_m_s"), None)
    for row in page.rows:
        day = _day(page, row, at, order)
        if days and day <= days[-1].day:
            raise PageRefused(Fault(page.name, row.number, "", show_date(day),
                                    say("intake.days_out_of_order", before=show_date(days[-1].day)),
                                    say("intake.right_days")))
        figures = figures_of(page, row, columns, faults, bare)
        typed = {column.name: as_typed(column, cell, bare)
                 for column, cell in zip(columns, row.cells, strict=False) if column.name in LIMITS}
        drop_upside_down(page.name, row.number, figures, faults, typed)
        named: dict[str, Any] = {_STORED.get(name, name): value for name, value in figures.items() if name != _MEAN}
        days.append(WeatherDay(day, **named, wind_height_m=height if "wind_m_s" in named else None,
                               source=source or page.file))
    if not days:
        raise PageRefused(Fault(page.name, 1, "", "", say("intake.no_days"), say("intake.right_weather")))
    return days, tuple(faults)


def figures_of(page: Page, row: Row, columns: Sequence[Column], faults: list[Fault], bare: Units,
               hourly: bool = False) -> dict[str, float]:
    """The figures of a row by column; one that cannot be taken is named and stays unknown."""
    figures: dict[str, float] = {}
    for column, cell in zip(columns, row.cells, strict=False):
        if column.name not in LIMITS:
            continue
        try:
            value = figure(column, cell, bare, hourly)
        except RootcaseError as error:
            given = error.value or f'"{cell.text}"'
            faults.append(Fault(page.name, row.number, column.header, given, error.what, error.right))
            continue
        if value is not None:
            figures[column.name] = value
    return figures


def day_order(texts: Sequence[str]) -> Order | None:
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
