"""A second sheet is held against what the first one brought."""

from __future__ import annotations

from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from tests.fieldbook.sheets import SHEET, changed, open_book, write_sheet

QUESTION = ("Trunk diameter (DBH) of oak 4: 12.5 cm. On 5 November 2015 it was 12 1/2 in (31.8 cm). "
            "Was it read in inches? 12.5 in would be 31.8 cm.")
WINTER = {**SHEET, "visits": [*SHEET["visits"], ["winter", "2016-01-10", "reader 2"]],
          "trees": [["tree", "place", "visit", "dbh"], ["oak 4", "lawn", "winter", "12.5 cm"]], "pits": [["pit"]]}


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    return open_book(tmp_path / "fieldbook.sqlite")


def test_a_slip_of_the_second_visit_is_asked_about_and_kept_as_typed(book: Fieldbook, tmp_path: Path) -> None:
    first = book.import_sheet(write_sheet(tmp_path / "autumn", dict(SHEET)))
    assert first.told == ()
    result = book.import_sheet(write_sheet(tmp_path / "winter", WINTER))
    assert (result.faults, result.told) == ((), (f"trees.csv, row 2: {QUESTION}",))
    doubts = {r.typed: r.doubts for r in book.record(result.property_id).readings if r.kind == "dbh"}
    assert doubts == {"17 in": (), "12 1/2 in": (), "12.5 cm": (QUESTION,)}
    assert book.import_sheet(tmp_path / "winter").told == ()


def test_what_was_put_right_by_hand_is_what_the_next_sheet_is_held_against(book: Fieldbook, tmp_path: Path) -> None:
    result = book.import_sheet(write_sheet(tmp_path / "autumn", changed("trees", 3, "dbh", "12 1/2 cm")))
    slip = next(r for r in book.record(result.property_id).readings if r.typed == "12 1/2 cm")
    book.correct(slip.id, "12 1/2 in", "read in inches")
    assert book.import_sheet(write_sheet(tmp_path / "winter", WINTER)).told == (f"trees.csv, row 2: {QUESTION}",)


def test_a_sheet_on_another_scale_throughout_is_told_in_ten_lines_and_kept_whole(book: Fieldbook,
                                                                                 tmp_path: Path) -> None:
    head, tens = ["tree", "place", "visit", "dbh"], range(10, 26)
    inches = {**SHEET, "trees": [head, *([f"oak {n}", "lawn", "autumn", f"{n}.5 in"] for n in tens)], "pits": [["pit"]]}
    slips = {**WINTER, "trees": [head, *([f"oak {n}", "lawn", "winter", f"{n}.5 cm"] for n in tens)]}
    book.import_sheet(write_sheet(tmp_path / "autumn", inches))
    result = book.import_sheet(write_sheet(tmp_path / "winter", slips))
    assert len(result.told) == 11
    assert result.told[-1] == ("Trunk diameter (DBH): 6 more are asked about; rootcase observe list shows them all")
    assert sum(bool(r.doubts) for r in book.record(result.property_id).readings) == len(tens)


def test_a_sheet_whose_cell_was_mended_is_not_asked_again(book: Fieldbook, tmp_path: Path) -> None:
    book.import_sheet(write_sheet(tmp_path / "autumn", dict(SHEET)))
    book.import_sheet(write_sheet(tmp_path / "winter", WINTER))
    mended = {**WINTER, "trees": [WINTER["trees"][0], ["oak 4", "lawn", "winter", "12.5 in"]]}
    result = book.import_sheet(write_sheet(tmp_path / "mended", mended))
    assert (result.corrected, result.told) == (1, ())
    assert {r.doubts for r in book.record(result.property_id).readings} == {()}
