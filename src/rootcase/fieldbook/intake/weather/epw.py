"""EPW: eight lines of headings, then the hours of a year, by the place of a figure in its line.

US Department of Energy, EnergyPlus documentation, Auxiliary Programs, weather file data dictionary: fields N1 to N35
and their missing values; hour 1 is the hour that ends at 01:00 of local standard time (places seen in a file of the
form, meanings and missing values memory).
"""

from __future__ import annotations

import re

from rootcase.fieldbook.intake.grid import Grid, folded
from rootcase.fieldbook.intake.weather.station_file import StationFile, Told, refused
from rootcase.fieldbook.intake.weather.typical import MJ_PER_WH, Column, Missing, Year, place_of
from rootcase.ground.words import say

_HEADINGS = 8
_TYPICAL = re.compile(r"(?:tmy|iwec|cwec|ctz|swec|ishrae)\w*|try\d*")
"""What the collections of typical years are called (memory); places are called Tryon."""


def _from(missing: float) -> Missing:
    return lambda value: value >= missing or value in (-9999.0, -999.0)


_COLUMNS = {
    "temperature_c": Column(6, _from(99.9), -60.0, 60.0), "t_dew_c": Column(7, _from(99.9), -60.0, 40.0),
    "humidity_pct": Column(8, _from(999.0), 0.0, 100.0),
    "solar_mj_m2": Column(13, _from(9999.0), 0.0, 1500.0, MJ_PER_WH), "wind_m_s": Column(21, _from(999.0), 0.0, 40.0),
    "rain_mm": Column(33, _from(999.0), 0.0, 998.0)}
_RAIN_HOURS = Column(34, lambda value: not 1 <= value <= 24, 1, 24)


def is_epw(grid: Grid) -> bool:
    """Whether the first lines are those of a weather file of this form."""
    starts = [folded(line[0].text) for line in grid.rows[:_HEADINGS]]
    return len(starts) == _HEADINGS and starts[0] == "location" and starts[-1] == "data periods"


def read_epw(grid: Grid, told: Told) -> StationFile:
    """The days, summed from hours that end within them."""
    first = grid.rows[0]
    facts = place_of(grid, first[1].text if len(first) > 1 else "", first, 6, 7, 9)
    year = Year(grid)
    for number, cells in enumerate(grid.rows[_HEADINGS:], _HEADINGS + 1):
        if not any(cell.text for cell in cells):
            continue
        try:
            of_year, month, day, hour = (int(cell.text) for cell in cells[:4])
        except ValueError:
            raise refused(grid, number, ", ".join(cell.text for cell in cells[:4]), say("weather.no_hour"),
                          say("weather.right_hours")) from None
        year.take(number, (of_year, month, day), hour, _COLUMNS, _RAIN_HOURS)
    headings = folded(" ".join(cell.text for line in grid.rows[:_HEADINGS] for cell in line)).split()
    return year.file("EPW", facts, told, any(map(_TYPICAL.fullmatch, headings)))
