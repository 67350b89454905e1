"""The demonstration: two invented properties on a fixed day, through the same doors as anyone's files."""

from __future__ import annotations

import os
import shutil
from datetime import date
from importlib.resources import as_file, files
from pathlib import Path
from tempfile import TemporaryDirectory

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.intake.importer import ImportResult
from rootcase.fieldbook.intake.lists.listing import Given, Listing
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.fieldbook.intake.weather import WeatherResult
from rootcase.ground.words import say

DAY = date(2016, 1, 15)
SEED = 2016
STATION = "Seattle"
_OTHER_STATION = "New York"


Arrived = ImportResult | Listing | WeatherResult


def import_demo(fieldbook: Fieldbook, folder: Path) -> tuple[Arrived, ...]:
    """Take the packaged files into an empty fieldbook, and say of each in turn what it brought.

    folder: an empty one, for copies of the files; how a list is read is kept beside it.
    """
    with as_file(files("rootcase.services").joinpath("demo")) as packaged:
        shutil.copytree(packaged, folder, dirs_exist_ok=True)
    own = folder / "files"
    alder_bank = fieldbook.import_sheet(folder / "alder-bank")
    trees = fieldbook.import_list(own / "cedar-lane-trees.csv", Given(Told(), save=True))
    cedar_lane = fieldbook.import_sheet(folder / "cedar-lane")
    soil = fieldbook.import_list(own / "cedar-lane-soil.csv", Given(Told(property_name=trees.property_name), save=True))
    weather = tuple(
        fieldbook.import_weather(own / name, station, source=say("services.demo_weather_source", station=station))
        for name, station in (("seattle.csv", STATION), ("new-york.csv", _OTHER_STATION)))
    return (alder_bank, trees, cedar_lane, soil, *weather)


def demo_fieldbook(path: Path) -> None:
    """Make the invented fieldbook in this file, whole, with its yard and its trials, if it is not there."""
    if path.exists():
        return
    from rootcase.services.demo_trials import make_trials  # slow to load, and of no use to the terminal's demonstration
    from rootcase.services.demo_yard import make_yard

    path.parent.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=path.parent, prefix="demo-") as temporary:
        made = Path(temporary) / path.name
        with open_fieldbook(made) as fieldbook:
            import_demo(fieldbook, Path(temporary) / "demo")
        make_yard(made)
        make_trials(made)
        os.replace(made, path)
