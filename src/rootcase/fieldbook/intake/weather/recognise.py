"""Which form a file of weather is of, by what is in it and never by its name."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from rootcase.fieldbook.intake.faults import Fault, PageRefused
from rootcase.fieldbook.intake.grid import Grid, Page, page_of, read_grids
from rootcase.fieldbook.intake.weather.columns import column_of
from rootcase.fieldbook.intake.weather.daily import read_daily
from rootcase.fieldbook.intake.weather.epw import is_epw, read_epw
from rootcase.fieldbook.intake.weather.ghcn import is_ghcn, read_ghcn
from rootcase.fieldbook.intake.weather.hourly import is_hourly, read_hourly
from rootcase.fieldbook.intake.weather.station_file import StationFile, Told, refused, shown
from rootcase.fieldbook.intake.weather.tmy3 import is_tmy3, read_tmy3
from rootcase.ground.errors import FileError
from rootcase.ground.words import say

_FORMS: tuple[tuple[Callable[[Grid], bool], Callable[[Grid, Told], StationFile]], ...] = (
    (is_epw, read_epw), (is_tmy3, read_tmy3), (is_ghcn, read_ghcn))


def read_station_file(path: Path, told: Told) -> StationFile:
    """The weather of a file, and what was decided on reading it."""
    if path.is_dir():
        raise FileError(say("weather.folder"), where=str(path), right=say("weather.right_folder"))
    grids = [grid for grid in read_grids(path) if grid.rows]
    if not grids:
        raise FileError(say("intake.empty_file"), where=str(path), right=say("weather.right_file"))
    return read_grid(grids[0], told)


def read_grid(grid: Grid, told: Told) -> StationFile:
    """The weather of cells that have been read."""
    read = next((reads for fits, reads in _FORMS if fits(grid)), None)
    option, value = ("units", told.units) if read in (read_epw, read_tmy3) else ("rain-unit", told.rain_unit)
    if value:
        raise refused(grid, 1, f"--{option} {value}", say("weather.idle_option"), say("weather.right_idle_option"))
    return read(grid, told) if read else _plain(page_of(grid), told)


def issued_in(path: Path) -> str:
    """When a file of a forecast says it was issued; empty where it does not."""
    page = page_of(read_grids(path)[0])
    at = next((n for n, header in enumerate(page.header) if column_of(header).name == "issued"), None)
    return "" if at is None else next((row.cells[at].text for row in page.rows if row.cells[at].text), "")


def _plain(page: Page, told: Told) -> StationFile:
    columns = [column_of(header) for header in page.header]
    at = next((n for n, column in enumerate(columns) if column.name == "station"), None)
    if at is not None:
        page = _of_one_station(page, at, told.station)
    return read_hourly(page, told) if is_hourly(page, columns) else read_daily(page, told)


def _of_one_station(page: Page, at: int, wanted: str) -> Page:
    stations = list(dict.fromkeys(row.cells[at].text for row in page.rows))
    if len(stations) == 1:
        return page
    if wanted not in stations:
        raise PageRefused(Fault(page.name, 1, page.header[at], shown(stations), say(
            "weather.several_stations", count=f"{len(stations):,}"), say("weather.right_station")))
    return replace(page, rows=tuple(row for row in page.rows if row.cells[at].text == wanted))
