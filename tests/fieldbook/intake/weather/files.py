"""Files of weather in the forms that stations write, made of the public data in tests/data."""

from __future__ import annotations

import csv
import gzip
from collections.abc import Iterable, Sequence
from functools import cache
from pathlib import Path

from rootcase.fieldbook.intake.grid import Cell, Grid
from rootcase.fieldbook.intake.weather.recognise import read_grid
from rootcase.fieldbook.intake.weather.station_file import StationFile, Told

DATA = Path(__file__).parents[3] / "data"
STATION = "USW00024233"


def tmy3_lines() -> list[list[str]]:
    """The typical year of Greensboro NC, cell by cell."""
    with gzip.open(DATA / "tmy3_greensboro.csv.gz", "rt", encoding="utf-8", newline="") as lines:
        return list(csv.reader(lines))


def table(name: str) -> list[dict[str, str]]:
    """The rows of a file of tests/data."""
    with (DATA / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def ghcn_long(days: Iterable[dict[str, str]]) -> list[list[str]]:
    """Seattle's days as GHCN-Daily writes a station's file, a line for each element."""
    lines = []
    for day in days:
        for element, column in (("PRCP", "rain"), ("TMAX", "tmax"), ("TMIN", "tmin"), ("AWND", "wind")):
            lines.append([STATION, day["date"].replace("-", ""), element, f"{float(day[column]) * 10:.0f}", "", "", "W",
                          "2400"])
    return lines


def ghcn_wide(days: Iterable[dict[str, str]]) -> list[list[str]]:
    """The same as its access files have it, a line for each day."""
    header = ["STATION", "DATE", "LATITUDE", "LONGITUDE", "ELEVATION", "NAME"]
    lines = [header + [name for each in ("PRCP", "TMAX", "TMIN") for name in (each, f"{each}_ATTRIBUTES")]]
    for day in days:
        values = [f"{float(day[column]) * 10:5.0f}" for column in ("rain", "tmax", "tmin")]
        lines.append([STATION, day["date"], "47.4444", "-122.3138", "112.5", "SEATTLE TACOMA AIRPORT, WA US",
                      *(cell for value in values for cell in (value, ",,W"))])
    return lines


def epw(lines: Sequence[Sequence[str]], rain: bool = True, collection: str = "TMY3") -> list[list[str]]:
    """A typical year of the one form in the other, by the places that the published data dictionary gives."""
    station, headings, *hours = lines
    at = {name: headings.index(name) for name in ("Dry-bulb (C)", "Dew-point (C)", "RHum (%)", "GHI (W/m^2)",
                                                  "Wspd (m/s)", "Lprecip depth (mm)", "Pressure (mbar)")}
    made = [["LOCATION", station[1], station[2], "USA", collection, station[0], station[4], station[5], station[3],
             station[6]], ["DESIGN CONDITIONS", "0"], ["TYPICAL/EXTREME PERIODS", "0"], ["GROUND TEMPERATURES", "0"],
            ["HOLIDAYS/DAYLIGHT SAVINGS", "No", "0", "0", "0"], ["COMMENTS 1", "made for a test"], ["COMMENTS 2", ""],
            ["DATA PERIODS", "1", "1", "Data", "Sunday", " 1/ 1", "12/31"]]
    for hour in hours:
        month, day, year = hour[0].split("/")
        cells = ["9999"] * 35
        cells[:6] = [year, str(int(month)), str(int(day)), str(int(hour[1][:2])), "0", "?9?9?9?9E0?9?9*_*9"]
        for place, name in ((6, "Dry-bulb (C)"), (7, "Dew-point (C)"), (8, "RHum (%)"), (13, "GHI (W/m^2)"),
                            (21, "Wspd (m/s)")):
            cells[place] = hour[at[name]]
        cells[33:] = [hour[at["Lprecip depth (mm)"]], "1"] if rain else ["999.000", "99.0"]
        made.append(cells)
    return made


def grid_of(lines: Sequence[Sequence[str]], name: str = "w") -> Grid:
    """Cells as the fence hands them on: equally wide, white space drawn together."""
    width = max((len(line) for line in lines), default=0)
    return Grid(name, f"{name}.csv", tuple(tuple(_cell(text) for text in line) + (_cell(""),) * (width - len(line))
                                           for line in lines))


@cache
def _cell(text: str) -> Cell:
    return Cell(" ".join(text.split()))


def read(lines: Sequence[Sequence[str]], **said: str) -> StationFile:
    """What a file of these lines holds."""
    return read_grid(grid_of(lines), Told(**said))  # type: ignore[arg-type]


def write(path: Path, lines: Iterable[Sequence[str]]) -> Path:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(lines)
    return path
