"""Whatever a person typed is taken, named or set aside; nothing of it vanishes without a word."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from tests.fieldbook.sheets import SHEET, open_book, write_sheet

SHOOTS = [["tree", "visit", "shoot_position", "2015", "2014", "remark"], ["units", "", "", "in", "in", ""],
          ["oak 4", "autumn", "lower", "10", "11", "aphids"], ["oak 4", "autumn", "lower", "3-4", "12", ""],
          ["oak 4", "autumn", "lower", "13", "14", ""]]


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    return open_book(tmp_path / "book" / "fieldbook.sqlite")


def sheet(folder: Path, **pages: list[list[str]]) -> Path:
    return write_sheet(folder, {**SHEET, **pages})


def mend(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8-sig")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.mark.parametrize(("page", "rows", "kind", "bad", "good", "kept"), [
    ("shoots", [row[:5] for row in SHOOTS], "shoot_length_by_year", "3-4", "3 1/2",
     ["10 in", "3 1/2 in", "13 in"]),
    ("readings", [["visit", "of", "name", "kind", "value", "unit"]] + [
        ["autumn", "tree", "oak 4", "leaf_length", value, "in"] for value in ("4", "5-6", "7")],
     "leaf_length", "5-6", "5 1/2", ["4 in", "5 1/2 in", "7 in"])])
def test_a_mended_row_without_a_number_of_its_own_stands_beside_the_others(
        book: Fieldbook, tmp_path: Path, page: str, rows: list[list[str]], kind: str, bad: str, good: str,
        kept: list[str]) -> None:
    result = book.import_sheet(sheet(tmp_path / "in", **{page: rows}))
    assert result.rejects_path is not None
    mend(result.rejects_path / f"{page}.csv", f"{bad},", f"{good},")
    mended = book.import_sheet(result.rejects_path)
    assert (mended.corrected, mended.unknown_columns) == (0, ())
    record = book.record(result.property_id)
    found = [r.typed for r in record.of(record.trees[1].id, kind=kind) if r.growth_year in (None, 2015)]
    assert sorted(found) == sorted(kept)


def test_a_tree_called_by_a_number_sign_is_a_tree(book: Fieldbook, tmp_path: Path) -> None:
    trees = [*SHEET["trees"], ["#12", "lawn", "autumn", "", "", "", "", "9", ""], ["# looked again in May"]]
    result = book.import_sheet(sheet(tmp_path / "in", trees=trees))
    assert [tree.label for tree in book.record(result.property_id).trees] == ["#12", "oak 1", "oak 4"]
    assert result.faults == ()


def test_a_row_whose_cells_slipped_aside_waits_whole(book: Fieldbook, tmp_path: Path) -> None:
    pits = [*SHEET["pits"][:3], ["pit 4", "oak 4", "autumn", "4", "5 in", "hard"], SHEET["pits"][4]]
    result = book.import_sheet(sheet(tmp_path / "in", pits=pits))
    fault, = result.faults
    assert fault.line == ('pits, row 4: a value stands under no header (got "hard"); give the column a header; in a '
                          "CSV, put quotes around a value that has a comma in it")
    record = book.record(result.property_id)
    assert [r.typed for r in record.readings if r.kind == "probe_depth"] == ["3 in", "2 in"]
    assert result.rejects_path is not None
    with (result.rejects_path / "pits.csv").open(encoding="utf-8-sig", newline="") as file:
        assert list(csv.reader(file))[2][:6] == pits[3]


def test_a_value_under_an_empty_header_is_named(book: Fieldbook, tmp_path: Path) -> None:
    trees = [[*row, typed] for row, typed in zip(SHEET["trees"], ("", "", "look here", ""), strict=True)]
    result = book.import_sheet(sheet(tmp_path / "in", trees=trees))
    assert [(fault.row, fault.value) for fault in result.faults if fault.sheet == "trees"] == [(3, '"look here"')]


def test_an_outline_waits_whole_where_a_corner_slipped_aside(book: Fieldbook, tmp_path: Path) -> None:
    outlines = [["place", "kind", "corner", "east", "north"],
                *(["lawn", "lawn", str(n), str(n * 9), str(n * n)] for n in range(1, 5)),
                ["lawn", "lawn", "5", "1", "5 ft", "9"]]
    result = book.import_sheet(sheet(tmp_path / "in", outlines=outlines))
    assert book.record(result.property_id).outlines == ()
    assert result.rejects_path is not None
    assert len((result.rejects_path / "outlines.csv").read_text().splitlines()) == 6


@pytest.mark.parametrize(("page", "rows"), [
    ("shoots", SHOOTS[:3]),
    ("covers", [["tree", "visit", "ring", "turf", "remark"], ["oak 4", "autumn", "dripline", "100 %", "aphids"]]),
    ("readings", [["visit", "of", "name", "kind", "value", "unit", "remark"],
                  ["autumn", "tree", "oak 4", "leaf_length", "4", "in", "aphids"]])])
def test_a_column_of_ones_own_is_kept_as_it_is_said(book: Fieldbook, tmp_path: Path, page: str,
                                                    rows: list[list[str]]) -> None:
    result = book.import_sheet(sheet(tmp_path / "in", **{page: rows}))
    assert result.unknown_columns == (f"{page}: remark",)
    record = book.record(result.property_id)
    assert [r.typed for r in record.of(record.trees[1].id, kind="remark")] == ["aphids"]


def test_a_column_that_cannot_be_kept_is_said_to_be_left_out(book: Fieldbook, tmp_path: Path) -> None:
    prices = [["item", "unit", "amount", "since"], ["mulch", "per m2", "9", "May"]]
    result = book.import_sheet(sheet(tmp_path / "in", prices=prices))
    assert result.unknown_columns == ()
    assert "prices: since is none of our columns and is not kept" in result.told
