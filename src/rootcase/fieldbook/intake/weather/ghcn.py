"""GHCN-Daily as CSV, long (a line for each element of a day) and wide (a line for each day).

NOAA National Centers for Environmental Information, GHCN-Daily readme, sections II and III, and its readme of files by
station: ID, date, element, value, measurement, quality and source flag, time; rain, temperature, dew point and wind in
tenths of mm, degC and m/s, humidity in %, -9999 missing, any quality flag means that a check failed (fields and
tenths seen, dew point and humidity memory). The wide form has those flags, with commas between, in NAME_ATTRIBUTES.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.grid import Grid, folded
from rootcase.fieldbook.intake.weather.columns import LIMITS, drop_upside_down
from rootcase.fieldbook.intake.weather.station_file import StationFile, Told, Units, refused, shown
from rootcase.fieldbook.store.weather import WeatherDay
from rootcase.ground.dates import show_date
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.observe import Station
from rootcase.science.water.atmosphere import HIGHEST_GROUND_M, LOWEST_GROUND_M

_ELEMENTS = {"PRCP": "rain_mm", "TMIN": "t_min_c", "TMAX": "t_max_c", "AWND": "wind_m_s", "ADPT": "t_dew_c",
             "RHMN": "humidity_min_pct", "RHMX": "humidity_max_pct", "RHAV": "humidity_mean_pct"}
_US = {"rain_mm": "in", "t_min_c": "degF", "t_max_c": "degF", "t_dew_c": "degF", "wind_m_s": "mph"}
_ID = re.compile(r"[A-Z]{2}[A-Z0-9_-]{9}")
_LONG_DATE = re.compile(r"(\d{4})-?(\d{2})-?(\d{2})")
_LONG_HEADINGS = ({"id", "station"}, {"date", "year month day", "yearmonthday"}, {"element"},
                  {"value", "data value", "datavalue"})
_ELEMENT = re.compile(r"[A-Z]{2}[A-Z0-9]{2}")
_OF_STATION = ("DATE", "NAME")
_MISSING = (-9999.0, 9999.0)
_HOTTEST_F = 140.0
"""JUDGEMENT: a whole number above this is no temperature in Fahrenheit, so it is tenths of a degree Celsius."""
_PRESUMED_ZERO = "P"


@dataclass(frozen=True, slots=True)
class _Value:
    row: int
    station: str
    day: str
    element: str
    text: str
    measured: str
    failed: str


def is_ghcn(grid: Grid) -> bool:
    """Whether it is of the one form or the other."""
    return _is_long(grid) or _is_wide(grid)


def read_ghcn(grid: Grid, told: Told) -> StationFile:
    """One station's days; what failed a check of the source is left out and counted."""
    values = list(_long(grid) if _is_long(grid) else _wide(grid))
    station = _one_station(grid, sorted({each.station for each in values}), told.station)
    here = [each for each in values if each.station == station]
    left = sorted({each.element for each in here} - _ELEMENTS.keys())
    values = [each for each in here if each.element in _ELEMENTS]
    failed = sum(bool(each.failed) for each in values)
    presumed = sum(each.measured == _PRESUMED_ZERO and not each.failed for each in values)
    sound = [each for each in values if not each.failed]
    units = told.units or _units(grid, sound)
    faults: list[Fault] = []
    figures: dict[date, dict[str, Any]] = defaultdict(dict)
    rows: dict[date, int] = {}
    typed: dict[date, dict[str, str]] = defaultdict(dict)
    twice: set[tuple[date, str]] = set()
    for each in sound:
        if (found := _figure(grid, each, units, faults)) is None:
            continue
        (day, value), name = found, _ELEMENTS[each.element]
        if figures[day].get(name, value) != value:
            twice.add((day, name))
            faults.append(Fault(grid.name, each.row, each.element, f'{show_date(day)}: {typed[day][name]}, '
                                f'"{each.text}"', say("weather.ghcn_twice"), say("weather.right_ghcn_twice")))
        figures[day].setdefault(name, value)
        typed[day].setdefault(name, f'"{each.text}"')
        rows.setdefault(day, each.row)
    for day, name in twice:
        del figures[day][name]
    if not figures:
        raise refused(grid, 1, "", say("intake.no_days"), say("weather.right_ghcn"))
    for day, of_day in figures.items():
        drop_upside_down(grid.name, rows[day], of_day, faults, typed[day])
    days = tuple(WeatherDay(day, **figures[day], source=told.source or grid.file) for day in sorted(figures))
    said = [say("weather.form_ghcn", station=station), say(f"weather.ghcn_{units}")]
    said += [say(f"weather.ghcn_{what}", count=f"{count:,}") for what, count in (
        ("failed", failed), ("presumed", presumed)) if count]
    said += [say("weather.unread", columns=", ".join(left))] if left else []
    return StationFile(days, tuple(said), tuple(faults), _facts(grid, station))


def _is_long(grid: Grid) -> bool:
    if len(grid.rows) < 2 or len(grid.rows[0]) < 4:
        return False
    first = [folded(cell.text) for cell in grid.rows[0][:4]]
    headed = all(text in words for text, words in zip(first, _LONG_HEADINGS, strict=True))
    at, day, element = (cell.text for cell in grid.rows[1 if headed else 0][:3])
    return bool(_ID.fullmatch(at) and _LONG_DATE.fullmatch(day) and _ELEMENT.fullmatch(element))


def _is_wide(grid: Grid) -> bool:
    header = [cell.text for cell in grid.rows[0]] if grid.rows else []
    if not {"STATION", "DATE"} <= set(header) or not set(_ELEMENTS) & set(header) or len(grid.rows) < 2:
        return False
    return _ID.fullmatch(grid.rows[1][header.index("STATION")].text) is not None


def _long(grid: Grid) -> Iterator[_Value]:
    for number, line in enumerate(grid.rows, 1):
        at, day, element, text, *flags = (cell.text for cell in line)
        if _ID.fullmatch(at):
            measured, failed = [*flags, "", ""][:2]
            yield _Value(number, at, day, element, text, measured, failed)


def _wide(grid: Grid) -> Iterator[_Value]:
    header = [cell.text for cell in grid.rows[0]]
    station_at, day_at = header.index("STATION"), header.index("DATE")
    columns = [(element, header.index(element),
                header.index(f"{element}_ATTRIBUTES") if f"{element}_ATTRIBUTES" in header else None)
               for element in header if _ELEMENT.fullmatch(element) and element not in _OF_STATION]
    for number, line in enumerate(grid.rows[1:], 2):
        for element, at, flags_at in columns:
            flags = line[flags_at].text.split(",") if flags_at is not None else []
            measured, failed = [*(flag.strip() for flag in flags), "", ""][:2]
            if line[at].text:
                yield _Value(number, line[station_at].text, line[day_at].text, element, line[at].text, measured, failed)


def _one_station(grid: Grid, found: list[str], wanted: str) -> str:
    if len(found) == 1:
        return found[0]
    if wanted in found:
        return wanted
    raise refused(grid, 1, shown(found), say("weather.several_stations", count=f"{len(found):,}"),
                  say("weather.right_station"))


def _units(grid: Grid, values: list[_Value]) -> Units:
    """By the decimals and the size of the figures; asked where they do not tell."""
    by: dict[str, list[str]] = defaultdict(list)
    for each in values:
        by["rain" if each.element == "PRCP" else "warmth" if each.element in ("TMIN", "TMAX") else ""].append(each.text)
    rain_in_parts, warmth_in_parts = (any("." in text for text in by[what]) for what in ("rain", "warmth"))
    if _is_long(grid) and not (rain_in_parts or warmth_in_parts):
        return "tenths"
    if warmth_in_parts:
        return "metric"
    if rain_in_parts:
        return "us"
    numbers = [abs(float(text)) for text in by["warmth"] if re.fullmatch(r"-?\d+", text)]
    if any(_HOTTEST_F < number < 1000.0 for number in numbers) or any(text.strip("0") for text in by["rain"]):
        return "tenths"  # rain in inches or mm is exported with decimals
    raise refused(grid, 1, "", say("weather.ghcn_units"), say("weather.right_ghcn_units"))


def _figure(grid: Grid, value: _Value, units: Units, faults: list[Fault]) -> tuple[date, float] | None:
    """The day and the figure in our unit."""
    found = _LONG_DATE.fullmatch(value.day)
    name = _ELEMENTS[value.element]
    try:
        day = date(*(int(part) for part in found.groups())) if found else None
        figure = float(value.text)
    except ValueError:
        day = None
    if day is None:
        faults.append(Fault(grid.name, value.row, value.element, f'"{value.day}", "{value.text}"',
                            say("weather.ghcn_line"), say("weather.right_ghcn_line")))
        return None
    if figure in _MISSING:
        return None
    if units == "tenths" and not name.startswith("humidity"):
        figure = round(figure / 10.0, 9)
    elif units == "us" and name in _US:
        figure = round(convert(figure, _US[name], LIMITS[name].unit), 9)
    low, high = LIMITS[name].low, LIMITS[name].high
    if not low <= figure <= high:
        faults.append(Fault(grid.name, value.row, value.element, f'"{value.text}"', say(
            "intake.weather_range", low=f"{low:g}", high=f"{high:g}", unit=LIMITS[name].unit),
            say("intake.right_figure")))
        return None
    return day, figure


def _facts(grid: Grid, station: str) -> Station:
    """The wide form says where its station stands."""
    if not _is_wide(grid):
        return Station(station)
    header = [cell.text for cell in grid.rows[0]]
    line = next(line for line in grid.rows[1:] if line[header.index("STATION")].text == station)

    def number(heading: str, low: float, high: float) -> float | None:
        try:
            value = float(line[header.index(heading)].text)
        except ValueError:
            return None
        return value if low <= value <= high else None  # an unknown elevation is -999.9

    name = line[header.index("NAME")].text if "NAME" in header else ""
    return Station(name or station, number("LATITUDE", -90.0, 90.0), number("LONGITUDE", -180.0, 180.0),
                   number("ELEVATION", LOWEST_GROUND_M, HIGHEST_GROUND_M))
