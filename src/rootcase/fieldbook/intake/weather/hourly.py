"""Hourly weather from a plain file, summed to days of the station's own time."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from typing import Any

from rootcase.fieldbook.intake.faults import Fault, PageRefused
from rootcase.fieldbook.intake.grid import Page, Row
from rootcase.fieldbook.intake.weather.columns import LIMITS, Column, columns_of, unread, unsaid_units
from rootcase.fieldbook.intake.weather.daily import day_order, figures_of
from rootcase.fieldbook.intake.weather.hours import HOURS_A_DAY, Hour, days_of
from rootcase.fieldbook.intake.weather.station_file import StationFile, Told
from rootcase.ground.dates import Order, read_date
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say

_TIME = re.compile(r"(\d{1,2})(?::\d{2}){0,2}")
_DAY_AND_TIME = re.compile(r"(\S+)[ T](\d{1,2}:\d{2}(?::\d{2})?)(?:\.\d+)?\s*(Z|UTC|GMT|[+-]\d{2}:?\d{2})?")
_TWICE_SHARE = 0.01
"""JUDGEMENT: when clocks are put back one hour of a year stands twice; more than that is a file finer than hours."""
_OF_HOUR = {"solar_mj_m2_day": "solar_mj_m2", "temperature_c": "temperature_c", "t_dew_c": "t_dew_c",
            "humidity_pct": "humidity_pct", "wind_m_s": "wind_m_s", "rain_mm": "rain_mm"}


def is_hourly(page: Page, columns: Sequence[Column]) -> bool:
    """Whether its rows are hours: it has a column of them, or times beside its dates."""
    names = [column.name for column in columns]
    if "hour" in names:
        return True
    return "day" in names and any(_DAY_AND_TIME.fullmatch(row.cells[names.index("day")].text) and not re.search(
        r"[ T]0?0:00", row.cells[names.index("day")].text) for row in page.rows[:2 * HOURS_A_DAY])


def read_hourly(page: Page, told: Told) -> StationFile:
    """The days; which of their hours are there decides what is known of them."""
    columns = columns_of(page, told.units, hourly=True)
    hours: dict[date, list[Hour]] = defaultdict(list)
    faults: list[Fault] = []
    times = _times(page, columns)
    ends = any(hour == HOURS_A_DAY for _, hour in times)
    for row, (day, hour) in zip(page.rows, times, strict=True):
        figures = figures_of(page, row, columns, faults, told.units, hourly=True)
        named: dict[str, Any] = {_OF_HOUR[name]: value for name, value in figures.items() if name in _OF_HOUR}
        hours[day].append(Hour(hour=hour if ends else hour + 1, **named))
    if not hours:
        raise PageRefused(Fault(page.name, 1, "", "", say("intake.no_days"), say("intake.right_weather")))
    twice = sum(len(of_day) - len({each.hour for each in of_day}) for of_day in hours.values())
    if twice > 1 + _TWICE_SHARE * len(page.rows):
        raise PageRefused(Fault(page.name, 1, "", f"{twice:,}", say("weather.finer"), say("weather.right_finer")))
    height = next((column.height_m for column in columns if column.name == "wind_m_s"), None)
    days = days_of(hours, told.source or page.file, height)
    said = (say("weather.form_hourly"), say("weather.hours_end" if ends else "weather.hours_begin"),
            unsaid_units(columns, told.units), unread(columns, LIMITS.keys() - _OF_HOUR.keys()))
    return StationFile(tuple(days), tuple(filter(None, said)), tuple(faults))


def _times(page: Page, columns: Sequence[Column]) -> list[tuple[date, int]]:
    """Day and hour of every row, from one column, two, or four."""
    at = {column.name: n for n, column in enumerate(columns) if column.name}
    if "day" not in at or not {"temperature_c", "rain_mm"} & set(at):
        raise PageRefused(Fault(page.name, 1, "", ", ".join(page.header), say("weather.hourly_columns"),
                                say("weather.right_hourly")))
    parts = [_parts(row, at) for row in page.rows]
    order = day_order([day for day, _, _ in parts])
    return [_time(page, row, order, *each) for row, each in zip(page.rows, parts, strict=True)]


def _parts(row: Row, at: dict[str, int]) -> tuple[str, str, str]:
    """The day, the time and the zone as they stand."""
    day = row.cells[at["day"]].text
    if {"year", "month", "hour"} <= set(at):
        year, month, hour = (row.cells[at[name]].text for name in ("year", "month", "hour"))
        return f"{year}-{month}-{day}", hour, ""
    if "hour" in at:
        return day, row.cells[at["hour"]].text, ""
    found = _DAY_AND_TIME.fullmatch(day)
    return (found[1], found[2], found[3] or "") if found else (day, "", "")


def _time(page: Page, row: Row, order: Order | None, day: str, time: str, zone: str) -> tuple[date, int]:
    found = _TIME.fullmatch(time)
    if zone:
        raise PageRefused(Fault(page.name, row.number, "", zone, say("weather.other_zone"),
                                say("weather.right_other_zone")))
    if found is None or int(found[1]) > HOURS_A_DAY:
        raise PageRefused(Fault(page.name, row.number, "", f'"{day} {time}"', say("weather.no_hour"),
                                say("weather.right_hours")))
    try:
        return read_date(day, order), int(found[1])
    except RootcaseError as error:
        raise PageRefused(Fault(page.name, row.number, "", error.value, error.what, error.right)) from None
