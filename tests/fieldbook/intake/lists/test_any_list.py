"""Whatever stands in a list, it is read or refused in one line: lists of nothing but odd cells, seeded."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from rootcase.fieldbook.intake.grid import Cell, Grid
from rootcase.fieldbook.intake.lists import listing
from rootcase.fieldbook.intake.lists.listing import Given
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.ground.errors import FileError
from tests.fieldbook.sheets import open_book

HEADERS = ("Tag", "Species", "DBH", "DBH (in)", "DBH cm", "Girth (cm)", "Ht", "Height (m)", "Spread", "Planted", "Date",
           "Site", "Lat", "Long", "Dieback", "Notes", "Genus", "Caliper", "", "Stems", "Ground", "GPS", "pH", "OM %",
           "No.", "Total", "Summe", "Year")
CELLS = (
    "", "-", "?", "<5", "~12", "<~5", "12", "12,5", "1,250", "1.250", "1,2,3", "10-15", "1/2", "12½", "1/0", "5'6\"",
    "5' 70\"", "30 cm", "14 in", "12 ft 3 in", "14 °C", "100%", "0", "−5", "1e9", "9" * 400, "9" * 5000, "inf", "nan",
    "²", "٣٤", "Ⅻ", "1/2/2024", "13/2/2024", "32 May 2015", "June 15, 2015", "31/12/15", "42157", "Quercus rubra",
    "red maple", "sycamore", "ACRU", "unknown", "dead oak", "Q. rubra?", "'x'", "''", "(", "[a]", "/", "Maple,",
    ",red", "×", "cv. ", "\u200b", "47.5,-122.3", "-122.31", "N47", "47°27'", "lawn", "=1+1", "#REF!", "Total",
    "12, 8, 6", "A-014", "x" * 3000, "units", "in", "(ft)", "…")
ANSWERS = Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn", day="2015-06-14", system="us")


def odd_list(draw: random.Random) -> Grid:
    """A header somewhere near the top of odd cells; now and then it comes again, or the sheet lies on its side."""
    width = draw.randint(1, 9)
    lines = [[draw.choice(CELLS) for _ in range(width)] for _ in range(draw.randint(0, 12))]
    header = draw.sample(HEADERS, width)
    lines.insert(draw.randint(0, min(2, len(lines))), header)
    if draw.random() < 0.2:
        lines.append(header)
    if draw.random() < 0.1:
        lines = [list(line) for line in zip(*lines, strict=True)]
    rows = tuple(tuple(Cell(text, "date" if draw.random() < 0.1 else "text") for text in line) for line in lines)
    return Grid("list", "list.csv", rows, (), ())


@pytest.mark.property
def test_any_list_is_read_or_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, long: bool) -> None:
    draw = random.Random(8)
    read = 0
    for number in range(10_000 if long else 80):
        grid = odd_list(draw)
        monkeypatch.setattr(listing, "read_grids", lambda _, grid=grid: [grid])
        given = Given(draw.choice((ANSWERS, Told())), (), None, draw.random() < 0.7)
        with open_book(tmp_path / f"{number}.sqlite") as book:
            try:
                found = book.import_list(tmp_path / f"{number}.csv", given)
            except FileError:
                continue
        read += 1
        assert found.ready + found.waiting < max(len(grid.rows), len(grid.rows[0]))
        assert not (found.saved and found.needed)
    assert read > 40


def test_a_column_that_stays_open_waits_when_another_has_shown_the_units(tmp_path: Path,
                                                                         monkeypatch: pytest.MonkeyPatch) -> None:
    lines = [("Tag", "DBH", "Height"), ("1", "42157", "60"), ("2", "0", "70"), ("3", "6", "80"), ("4", "12", "75")]
    grid = Grid("list", "list.csv", tuple(tuple(map(Cell, line)) for line in lines), (), ())
    monkeypatch.setattr(listing, "read_grids", lambda _: [grid])
    with open_book(tmp_path / "f.sqlite") as book:
        found = book.import_list(tmp_path / "list.csv", Given(Told(), (), None, False))
    assert [(column.header, column.standing) for column in found.columns] == [
        ("Tag", "said"), ("DBH", "asked"), ("Height", "proposed")]
