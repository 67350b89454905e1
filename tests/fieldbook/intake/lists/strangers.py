"""Invented lists as strangers make them, with faults planted where the test knows of them; nobody's real trees."""

from __future__ import annotations

import csv
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path

import xlsxwriter

TODAY = date(2016, 1, 15)
SPECIES = ("Quercus rubra", "Acer rubrum", "Tilia cordata", "Quercus palustris", "Ulmus americana",
           "Gleditsia triacanthos", "Platanus occidentalis")
MISSPELT = ("Quercus pallustris", "Ulmus amercana", "Acer rubrun")
ORIGIN = (47.45, -122.31)
HEADER = ("Tag", "Botanical Name", "Trunk", "Ht", "Spread", "Dieback", "Planted", "Surveyed", "Site", "Lat", "Long",
          "Condition", "Remarks")
TAG, NAME, TRUNK, HEIGHT, SPREAD, DIEBACK, PLANTED, SURVEYED, SITE, LAT, LONG, CONDITION, REMARKS = range(13)


@dataclass
class Stranger:
    """A list with its faults: the cause of each row that must be named."""

    rows: list[list[object]]
    us: bool
    faults: dict[int, str] = field(default_factory=dict)
    """By index in `rows`."""


def stranger(seed: int, *, us: bool = True, trees: int = 200) -> Stranger:
    """200 trees, 30 of them with faults of 15 kinds and more."""
    draw = random.Random(seed)
    made = Stranger([_tree(draw, number, us=us) for number in range(1, trees + 1)], us)
    free = draw.sample(range(trees), trees)
    for cause, plant, count in FAULTS:
        for _ in range(count):
            at = free.pop()
            plant(made, at, draw)
            made.faults[at] = cause
        if cause == "twice":
            first, second = (at for at, found in made.faults.items() if found == "twice")
            made.rows[second][TAG], made.rows[second][SURVEYED] = made.rows[first][TAG], made.rows[first][SURVEYED]
    return made


def _tree(draw: random.Random, number: int, *, us: bool) -> list[object]:
    inches = draw.uniform(6, 38)
    feet = inches * draw.uniform(1.4, 2.2) + 8
    day = date(2015, 6, 1) + timedelta(days=draw.randrange(12, 15))
    scale = (1, 1) if us else (2.54, 0.3048)
    return [f"A-{number:03}", draw.choice(SPECIES), round(inches * scale[0], 1), round(feet * scale[1], 1),
            round(feet * scale[1] * draw.uniform(0.4, 0.8), 1), draw.randrange(0, 12) * 5, draw.randrange(1950, 2010),
            day, draw.choice(("North lawn", "South lawn")), round(ORIGIN[0] + draw.uniform(-1, 1) * 2e-3, 6),
            round(ORIGIN[1] + draw.uniform(-1, 1) * 2e-3, 6), draw.choice(("good", "fair", "poor")),
            draw.choice(("", "", "near the gate", "total crown seen"))]


def _set(column: int, *texts: object) -> Callable[[Stranger, int, random.Random], None]:
    def plant(made: Stranger, at: int, draw: random.Random) -> None:
        made.rows[at][column] = draw.choice(texts)
    return plant


def _in_millimetres(made: Stranger, at: int, draw: random.Random) -> None:
    made.rows[at][TRUNK] = round(draw.uniform(17, 36) * 25.4) if made.us else round(draw.uniform(95, 140) * 10)


def _misspelt(made: Stranger, at: int, draw: random.Random) -> None:
    made.rows[at][NAME] = draw.choice(MISSPELT)


def _swapped(made: Stranger, at: int, draw: random.Random) -> None:
    row = made.rows[at]
    row[LAT], row[LONG] = row[LONG], row[LAT]


def _minus_lost(made: Stranger, at: int, draw: random.Random) -> None:
    made.rows[at][LONG] = -float(str(made.rows[at][LONG]))


FAULTS: tuple[tuple[str, Callable[[Stranger, int, random.Random], None], int], ...] = (
    ("unit_slip", _in_millimetres, 3), ("species", _misspelt, 3), ("year_ahead", _set(PLANTED, 2062, 2071), 2),
    ("twice", _set(REMARKS, "same tag"), 2), ("range", _set(DIEBACK, "10-15", "20 to 30"), 2),
    ("unreadable", _set(HEIGHT, "tall", "see photo"), 2), ("number_as_date", _set(DIEBACK, "3-Apr", "5 May"), 1),
    ("day_serial", _set(SURVEYED, "42157"), 1), ("day_ahead", _set(SURVEYED, "3 Jun 2051"), 1),
    ("no_tag", _set(TAG, "", "?"), 2), ("far", _swapped, 2), ("far", _minus_lost, 1),
    ("nothing", _set(TRUNK, 0, -4), 2), ("stems", _set(TRUNK, "12, 8, 6", "9; 7", "14 + 11"), 2),
    ("unit", _set(SPREAD, "30 fot", "28 kg"), 1), ("impossible", _set(DIEBACK, 350, 450), 1),
    ("no_position", _set(LAT, "by the gate"), 1), ("day", _set(SURVEYED, "spring 2015"), 1))
"""What is wrong, how it is planted, and in how many rows; two of "far" are one cause in two forms."""


def as_workbook(made: Stranger, path: Path) -> Path:
    """Titles above the header, units behind the words, a site merged over rows of its own, a total, a legend sheet."""
    with xlsxwriter.Workbook(path, {"strings_to_numbers": False}) as book:
        page, legend = book.add_worksheet("Inventory 2015"), book.add_worksheet("Legend")
        days = book.add_format({"num_format": "yyyy-mm-dd"})
        page.merge_range(0, 0, 0, 6, "Grounds of an invented property")
        page.write(1, 0, "Taken by two people, summer 2015")
        units = {TRUNK: "in", HEIGHT: "ft", SPREAD: "ft"} if made.us else {TRUNK: "cm", HEIGHT: "m", SPREAD: "m"}
        for at, word in enumerate(HEADER):
            page.write(3, at, f"{word} ({units[at]})" if at in units else word)
        for number, row in enumerate(made.rows, 4):
            for at, value in enumerate(row):
                if isinstance(value, date):
                    page.write_datetime(number, at, value, days)
                elif value != "":
                    page.write(number, at, value)
        end = 4 + len(made.rows)
        page.write_row(end, 0, ["Total", "", len(made.rows)])
        page.write_row(end + 1, 0, ["Average", "", 19.2])
        legend.write_column(0, 0, ["Condition", "good", "fair", "poor"])
        legend.write_column(0, 1, ["means", "no defect", "some", "many"])
    return path


def as_csv(made: Stranger, path: Path) -> Path:
    """Semicolons, decimal commas, days in figures, an older encoding, units in a row of their own."""
    def text(value: object) -> str:
        if isinstance(value, date):
            return f"{value:%d.%m.%Y}"
        return str(value).replace(".", ",") if isinstance(value, float) else str(value)

    units = ["", "", "in", "ft", "ft", "%"] if made.us else ["", "", "cm", "m", "m", "%"]
    with path.open("w", encoding="cp1252", newline="") as file:
        lines = csv.writer(file, delimiter=";")
        lines.writerow(["Baumliste (erfunden), Größen gemessen"])
        lines.writerow(HEADER)
        lines.writerow(units + [""] * (len(HEADER) - len(units)))
        lines.writerows([text(value) for value in row] for row in made.rows)
        lines.writerow(["Summe", "", str(len(made.rows))])
    return path


def first_row(of: str) -> int:
    """The number of the first tree's row in the stranger's sheet."""
    return {"xlsx": 5, "csv": 4}[of]
