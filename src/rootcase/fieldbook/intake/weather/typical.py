"""Years of hours as TMY3 and EPW have them: mostly typical ones, months of different years put together."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.grid import Cell, Grid
from rootcase.fieldbook.intake.weather.hours import HOURS_A_DAY, Hour, days_of
from rootcase.fieldbook.intake.weather.rain_unit import rain_factor
from rootcase.fieldbook.intake.weather.station_file import StationFile, Told, refused
from rootcase.fieldbook.store.weather import TYPICAL_YEAR
from rootcase.ground.words import say
from rootcase.records.observe import Station
from rootcase.science.water.atmosphere import HIGHEST_GROUND_M, LOWEST_GROUND_M

MJ_PER_WH = 0.0036
MONTHS = 12
ANEMOMETER_M = 10.0
"""Both forms are made from records of weather services, which measure wind at 10 m (WMO-No. 8, memory)."""

Missing = Callable[[float], bool]


@dataclass(frozen=True, slots=True)
class Column:
    """Where a figure stands, which figures mean that there is none, and what is possible."""

    at: int
    missing: Missing
    low: float
    high: float
    factor: float = 1.0


@dataclass(slots=True)
class Year:
    """Hours as they are read, by day."""

    grid: Grid
    hours: dict[date, list[Hour]] = field(default_factory=lambda: defaultdict(list))
    faults: list[Fault] = field(default_factory=list)

    def take(self, number: int, day: tuple[int, int, int], hour: int, columns: Mapping[str, Column],
             rain_hours: Column | None) -> None:
        """One row."""
        try:
            held = date(*day)
        except (ValueError, OverflowError):
            raise refused(self.grid, number, "-".join(map(str, day)), say("weather.no_day"),
                          say("weather.right_hours")) from None
        if not 1 <= hour <= HOURS_A_DAY:
            raise refused(self.grid, number, str(hour), say("weather.no_hour"), say("weather.right_hours"))
        cells = self.grid.rows[number - 1]
        figures = {name: self._figure(number, cells, column) for name, column in columns.items()}
        covered = self._figure(number, cells, rain_hours) if rain_hours else None
        self.hours[held].append(Hour(hour=hour, **figures, rain_hours=1 if covered is None else int(covered)))

    def _figure(self, number: int, cells: tuple[Cell, ...], column: Column) -> float | None:
        text = cells[column.at].text if column.at < len(cells) else ""
        try:
            value = float(text) if text else None
        except ValueError:
            value = float("nan")
        if value is None or column.missing(value):
            return None
        if not column.low <= value <= column.high:
            self.faults.append(Fault(self.grid.name, number, say("weather.column", number=column.at + 1), f'"{text}"',
                                     say("intake.weather_range", low=f"{column.low:g}", high=f"{column.high:g}",
                                         unit="").strip(), say("intake.right_figure")))
            return None
        return value * column.factor

    def file(self, form: str, facts: Station, told: Told, named_typical: bool) -> StationFile:
        """The days, the rain in the unit its figures show; typical where said so or where no month stands twice."""
        if not self.hours:
            raise refused(self.grid, 1, "", say("intake.no_days"), say("weather.right_hours"))
        rain = [each.rain_mm for hours in self.hours.values() for each in hours if each.rain_mm is not None]
        factor, why = rain_factor(rain, told.rain_unit)
        hours = {day: [replace(each, rain_mm=_times(each.rain_mm, factor)) for each in of_day]
                 for day, of_day in self.hours.items()}
        years = {day.year for day in hours}
        typical = named_typical or (len(years) > 1 and len({(day.year, day.month) for day in hours}) <= MONTHS)
        if typical:  # 29 February is left out, as a typical year has none
            hours = {day.replace(year=TYPICAL_YEAR): of_day for day, of_day in hours.items()
                     if (day.month, day.day) != (2, 29)}
        span = f"{min(years)}-{max(years)}" if len(years) > 1 else f"{min(years)}"
        key = "weather.form_typical" if typical else "weather.form_years"
        days = tuple(days_of(hours, told.source or self.grid.file, ANEMOMETER_M))
        return StationFile(days, (say(key, form=form, station=facts.name, years=span), why), tuple(self.faults), facts,
                           typical)


def _times(value: float | None, factor: float | None) -> float | None:
    return None if value is None or factor is None else value * factor


def place_of(grid: Grid, name: str, cells: tuple[Cell, ...], latitude_at: int, longitude_at: int,
             elevation_at: int) -> Station:
    """The station as the first line has it; a place that cannot be is refused."""
    found: list[Any] = []
    for at, low, high in ((latitude_at, -90.0, 90.0), (longitude_at, -180.0, 180.0),
                          (elevation_at, LOWEST_GROUND_M, HIGHEST_GROUND_M)):
        text = cells[at].text if at < len(cells) else ""
        try:
            value = float(text)
        except ValueError:
            value = float("nan")
        if not low <= value <= high:
            raise refused(grid, 1, f'"{text}"', say("weather.no_place"), say("weather.right_place"))
        found.append(value)
    return Station(name, *found)
