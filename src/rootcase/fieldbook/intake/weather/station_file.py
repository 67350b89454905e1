"""What a file of weather holds, whatever its form, and what the person said of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from rootcase.fieldbook.intake.faults import Fault, PageRefused
from rootcase.fieldbook.intake.grid import Grid
from rootcase.fieldbook.store.weather import WeatherDay
from rootcase.records.observe import Station

Units = Literal["", "metric", "us", "tenths"]
RainUnit = Literal["", "mm", "tenths"]
_SHOWN_STATIONS = 5


@dataclass(frozen=True, slots=True)
class Told:
    """What the person said of a file; empty where nothing was."""

    station: str = ""
    """Under which the weather is kept; of a file with several, the one that is wanted."""
    units: Units = ""
    """Of what stands without a unit."""
    rain_unit: RainUnit = ""
    """Of the rain of a typical year."""
    source: str = ""
    """Where the weather came from; the file's name where it is not said."""


@dataclass(frozen=True, slots=True)
class StationFile:
    """One station's weather as a file has it."""

    days: tuple[WeatherDay, ...]
    """In order, each once; those of a typical year are days of TYPICAL_YEAR."""
    told: tuple[str, ...]
    """Which form it is, which units, and what was left out."""
    faults: tuple[Fault, ...] = ()
    """Values that could not be taken; they stay unknown."""
    facts: Station | None = None
    typical: bool = False


def refused(grid: Grid, row: int, value: str, what: str, right: str, column: str = "") -> PageRefused:
    """Nothing of the file can be taken because of this."""
    return PageRefused(Fault(grid.name, row, column, value, what, right))


def shown(stations: Sequence[str]) -> str:
    """The first few names of many."""
    return ", ".join(stations[:_SHOWN_STATIONS]) + (" …" if len(stations) > _SHOWN_STATIONS else "")
