"""TMY3: a line about the station, a line of headings, then 8,760 hours of months from different years.

Wilcox and Marion 2008, Users Manual for TMY3 Data Sets, NREL/TP-581-43156, Table 1-1 and 1-2: hours end at 01:00 to
24:00 of local standard time, radiation is Wh/m2 of the hour that ends, missing is -9900 (memory; headings seen).
"""

from __future__ import annotations

import re

from rootcase.fieldbook.intake.grid import Grid, folded
from rootcase.fieldbook.intake.weather.station_file import StationFile, Told, refused
from rootcase.fieldbook.intake.weather.typical import MJ_PER_WH, Column, Missing, Year, place_of
from rootcase.ground.words import say

_DATE = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")
_TIME = re.compile(r"(\d{1,2}):00")


def _missing(value: float) -> bool:
    return value in (-9900.0, -9999.0)


_UNKNOWN: Missing = _missing
_HEADINGS: dict[str, tuple[str, float, float, float]] = {
    "temperature_c": ("dry bulb c", -60.0, 60.0, 1.0), "t_dew_c": ("dew point c", -60.0, 40.0, 1.0),
    "humidity_pct": ("rhum", 0.0, 100.0, 1.0), "wind_m_s": ("wspd m s", 0.0, 60.0, 1.0),
    "solar_mj_m2": ("ghi w m 2", 0.0, 1500.0, MJ_PER_WH), "rain_mm": ("lprecip depth mm", 0.0, 5000.0, 1.0)}
_HOURS = "lprecip quantity hr"


def is_tmy3(grid: Grid) -> bool:
    """Whether the second line has the headings of a typical year."""
    headings = {folded(cell.text) for cell in grid.rows[1]} if len(grid.rows) > 1 else set()
    return {"date mm dd yyyy", "time hh mm"} <= headings and "dry bulb c" in headings


def read_tmy3(grid: Grid, told: Told) -> StationFile:
    """The typical year, days summed from hours that end within them."""
    headings = [folded(cell.text) for cell in grid.rows[1]]
    columns = {name: Column(headings.index(heading), _UNKNOWN, low, high, factor)
               for name, (heading, low, high, factor) in _HEADINGS.items() if heading in headings}
    lasted = Column(headings.index(_HOURS), lambda value: not 1 <= value <= 24, 1, 24) if _HOURS in headings else None
    first = grid.rows[0]
    facts = place_of(grid, first[1].text or first[0].text, first, 4, 5, 6)
    year = Year(grid)
    day_at, time_at = headings.index("date mm dd yyyy"), headings.index("time hh mm")
    for number, cells in enumerate(grid.rows[2:], 3):
        if not any(cell.text for cell in cells):
            continue
        day, time = _DATE.fullmatch(cells[day_at].text), _TIME.fullmatch(cells[time_at].text)
        if day is None or time is None:
            raise refused(grid, number, f"{cells[day_at].text} {cells[time_at].text}", say("weather.no_hour"),
                          say("weather.right_hours"))
        year.take(number, (int(day[3]), int(day[1]), int(day[2])), int(time[1]), columns, lasted)
    return year.file("TMY3", facts, told, named_typical=True)
