"""Small field sheets and events for the tests of the fieldbook."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime
from pathlib import Path

from rootcase.fieldbook.events import (
    Body,
    ComparedWith,
    Event,
    PitOpened,
    PlaceOpened,
    PlaceOutlined,
    PropertyOpened,
    ReadingTaken,
    SampleOpened,
    TreeOpened,
    VisitStarted,
    YardstickNamed,
)
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook

NOW = datetime(2016, 1, 15, 12, tzinfo=UTC)
FACTS = PropertyOpened(slot="property", name="Alder Bank", latitude_deg=47.45, longitude_deg=-122.31, elevation_m=131.0,
                       time_zone="America/Los_Angeles", currency="USD", weather_station="Seattle", system="us",
                       invented=True)

PROPERTY = [["key", "value"], ["name", "Alder Bank"], ["latitude", "47.45"], ["longitude", "-122.31"],
            ["elevation", "430 ft"], ["time_zone", "America/Los_Angeles"], ["currency", "USD"],
            ["weather_station", "Seattle"], ["system", "us"], ["invented", "yes"]]
SHEET: Mapping[str, list[list[str]]] = {
    "property": PROPERTY,
    "places": [["place", "place_kind"], ["lawn", "lawn"], ["wood", "woodland"]],
    "visits": [["visit", "date", "observer"], ["autumn", "2015-11-05", "reader 1"]],
    "trees": [["tree", "place", "visit", "yardstick", "compare_with", "east", "north", "dbh", "species"],
              ["units", "", "", "", "", "ft", "ft", "in", ""],
              ["oak 1", "wood", "autumn", "wood oaks", "", "10", "20", "17", "Quercus rubra"],
              ["oak 4", "lawn", "autumn", "", "wood oaks", "100", "50", "12 1/2", "Quercus rubra"]],
    "pits": [["pit", "tree", "visit", "probe_depth", "probe_stop"], ["units", "", "", "in", ""],
             ["pit 4", "oak 4", "autumn", "3", "hard"], ["pit 4", "oak 4", "autumn", "4 1/2", "hard"],
             ["pit 4", "oak 4", "autumn", "2", "stone"]],
}


def write_sheet(folder: Path, pages: Mapping[str, Sequence[Sequence[str]]]) -> Path:
    """A folder with a CSV for each page."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, rows in pages.items():
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(rows)
    return folder


def changed(page: str, row: int, column: str, value: str) -> dict[str, list[list[str]]]:
    """The sheet with one cell changed; row 0 is the header."""
    pages = {name: [list(line) for line in lines] for name, lines in SHEET.items()}
    pages[page][row][pages[page][0].index(column)] = value
    return pages


def open_book(path: Path) -> Fieldbook:
    return open_fieldbook(path, now=lambda: NOW)


def event(an_id: str, body: Body, made_at: str = "2016-01-15T12:00:00.000Z") -> Event:
    return Event(an_id, "own", "p", made_at, "desk", body)


def reading(slot: str, value: float, supersedes: str | None = None, **more: object) -> ReadingTaken:
    return ReadingTaken(slot=slot, supersedes=supersedes, kind="dbh", of="t1", visit="v1", typed=f"{value:g} mm",
                        value=value, **more)  # type: ignore[arg-type]


def whole_property() -> list[Event]:
    """A little of everything, in the order it happened."""
    return [
        event("01", FACTS),
        event("02", PlaceOpened(slot="place", place="l", name="lawn", place_kind="lawn")),
        event("03", PlaceOutlined(slot="outline", place="l", name="lawn", outline_kind="lawn",
                                  outline_m=((0.0, 0.0), (10.0, 0.0), (10.0, 5.5)))),
        event("04", PlaceOutlined(slot="house", place="h", name="house", outline_kind="building",
                                  outline_m=((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)))),
        *(event(f"1{n}", TreeOpened(slot=f"tree {n}", tree=f"t{n}", label=f"oak {n}", place="l", east_m=1.0 * n,
                                    north_m=2.0)) for n in range(12)),
        event("30", PitOpened(slot="pit", pit="pit", label="pit 1", tree="t1")),
        event("31", SampleOpened(slot="sample", sample="s", label="soil", place="l")),
        event("32", VisitStarted(slot="visit", visit="v1", label="autumn", day=date(2015, 11, 5), observer="reader 1")),
        event("33", YardstickNamed(slot="yardstick", yardstick="y", label="wood oaks", tree="t2")),
        event("34", YardstickNamed(slot="yardstick 3", yardstick="y", label="wood oaks", tree="t10")),
        event("35", ComparedWith(slot="compared", tree="t1", yardstick="y", label="wood oaks")),
        event("40", reading("dbh", 300.0)),
        event("41", reading("dbh", 310.0, "40")),
        event("42", reading("other", 250.0, attributes={"note": "at the line"}, doubts=("asked",))),
    ]
