"""The demonstration: an invented property on a fixed day, through the same import as anyone's."""

from __future__ import annotations

from datetime import date
from importlib.resources import as_file, files
from pathlib import Path

from rootcase.fieldbook.fieldbook import Fieldbook, ImportResult
from rootcase.ground.words import say

DAY = date(2016, 1, 15)
SEED = 2016
STATION = "Seattle"


def import_demo(fieldbook: Fieldbook, rejects: Path) -> ImportResult:
    """Take the packaged field sheet, price book and weather into an empty fieldbook."""
    with as_file(files("rootcase.services").joinpath("demo")) as folder:
        result = fieldbook.import_sheet(Path(folder), rejects=rejects)
        fieldbook.import_weather(Path(folder) / "weather.csv", STATION, source=say("services.demo_weather_source"))
    return result
