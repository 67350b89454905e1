"""Whatever a person typed is taken, named or set aside; nothing of it vanishes without a word."""

from __future__ import annotations

import csv
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.grid import Cell, Page, Row, read_pages
from rootcase.fieldbook.intake.rejects import write_rejects
from rootcase.ground.errors import FileError
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
        assert list(csv.reader(file))[2][2:6] == pits[3][1:5]


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


BAD_PITS = [*SHEET["pits"][:3], ["pit 4", "oak 4", "autumn", "900", "hard"], SHEET["pits"][4]]


def test_rejects_somebody_is_mending_are_not_written_over(book: Fieldbook, tmp_path: Path) -> None:
    folder = sheet(tmp_path / "in", pits=BAD_PITS)
    first = book.import_sheet(folder).rejects_path
    assert first == tmp_path / "in-rejects"
    assert book.import_sheet(folder).rejects_path == first, "the same rows need no second file"
    mend(first / "pits.csv", "900,", "9,")
    assert book.import_sheet(folder).rejects_path == tmp_path / "in-rejects-2"
    assert "9,hard" in (first / "pits.csv").read_text(encoding="utf-8")


def workbook(path: Path) -> Path:
    with xlsxwriter.Workbook(str(path)) as written:
        for name, rows in {**SHEET, "pits": BAD_PITS}.items():
            page = written.add_worksheet(name)
            for at, row in enumerate(rows):
                page.write_row(at, 0, row)
    return path


@pytest.mark.parametrize(("wanted", "written"), [
    ("field.xlsx", "field-2.xlsx"), ("mend.csv", "mend.xlsx"), ("folder", "folder/field-rejects.xlsx"),
    ("new/mend.xlsx", "new/mend.xlsx")])
def test_rejects_never_take_the_place_of_another_file(book: Fieldbook, tmp_path: Path, wanted: str,
                                                      written: str) -> None:
    source = workbook(tmp_path / "field.xlsx")
    before = source.read_bytes()
    (tmp_path / "folder").mkdir()
    result = book.import_sheet(source, rejects=tmp_path / wanted)
    assert result.rejects_path == tmp_path / written
    assert source.read_bytes() == before
    assert {page.name for page in read_pages(tmp_path / written)} == {"property", "pits"}


@pytest.mark.parametrize("ending", [".xlsm", ".ods", ".txt"])
def test_rejects_are_called_what_they_are(book: Fieldbook, tmp_path: Path, ending: str) -> None:
    workbook(tmp_path / "field.xlsx").rename(tmp_path / f"field{ending}")
    result = book.import_sheet(tmp_path / f"field{ending}")
    assert result.rejects_path == tmp_path / "field-rejects.xlsx"


def test_rejects_have_a_sheet_of_any_name(tmp_path: Path) -> None:
    long = "A long name of a list, as files have "
    names = [f"{long}them", f"{long}it", "a/b: [c]*?\\", "'", "two\nlines", "PROPERTY"]
    pages = [Page(name, "list.txt", ("tag", "dbh"), ("", ""), (Row(2, (Cell(name), Cell("abc"))),)) for name in names]
    faults = [Fault(name, 2, "dbh", "abc", "unreadable", "") for name in names]
    path = write_rejects(tmp_path / "list.txt", pages, {name: {2: ""} for name in names}, faults, "Kiln Lane", None)
    assert path is not None
    assert [page.rows[0].cells[0].text for page in read_pages(path)[1:]] == [
        " ".join(name.split()) for name in names]


def test_rejects_that_cannot_be_written_are_told_and_the_good_rows_stay(book: Fieldbook, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    result = book.import_sheet(workbook(tmp_path / "field.xlsx"), rejects=tmp_path / "file" / "mend.xlsx")
    assert (result.rejects_path, len(result.faults)) == (None, 1)
    assert any("stand only in your own sheet" in told for told in result.told)
    assert book.record(result.property_id).trees


def test_rejects_of_a_workbook_are_text_with_what_is_wrong_beside_the_name(book: Fieldbook, tmp_path: Path) -> None:
    path = book.import_sheet(workbook(tmp_path / "field.xlsx")).rejects_path
    assert path is not None
    page = openpyxl.load_workbook(path)["pits"]
    assert [cell.value for cell in page[1]][:3] == ["pit", "what is wrong", "tree"]
    assert {cell.number_format for row in page for cell in row} == {"@"}


def test_doubts_are_told_once_with_their_first_row(book: Fieldbook, tmp_path: Path) -> None:
    samples = [["sample", "place", "visit", "soil_ph"],
               *([f"soil {n}", "lawn", "autumn", ph] for n, ph in enumerate(("11.2", "6.4", "6.5")))]
    folder = sheet(tmp_path / "in", samples=samples)
    told = book.import_sheet(folder).told
    assert len(told) == 2
    assert told[0].startswith("samples.csv, row 2: Soil pH: 11.2")
    assert told[1] == "samples.csv, row 2: Soil pH: method not said, so it is not compared (and 2 more)"
    assert book.import_sheet(folder).told == ()


def test_a_label_is_not_said_twice_in_one_fault(book: Fieldbook, tmp_path: Path) -> None:
    pits = [["pit", "tree", "visit", "What stopped the probe"], ["pit 4", "oak 4", "autumn", "stones"]]
    fault, = book.import_sheet(sheet(tmp_path / "in", pits=pits)).faults
    assert fault.line.startswith("pits, row 2, What stopped the probe: this is none of its choices")


def test_a_page_without_the_column_that_names_its_rows_is_one_fault_and_all_its_rows_wait(
        book: Fieldbook, tmp_path: Path) -> None:
    pits = [["Pits", *SHEET["pits"][0][1:]], *SHEET["pits"][1:]]
    result = book.import_sheet(sheet(tmp_path / "in", pits=pits))
    fault, = result.faults
    assert fault.line == ("pits, row 1: the page has no column called pit, so none of its rows is taken; write the "
                          "header as the template has it")
    assert result.rejects_path is not None
    mend(result.rejects_path / "pits.csv", "Pits,", "pit,")
    assert book.import_sheet(result.rejects_path).faults == ()
    assert len([r for r in book.record(result.property_id).readings if r.kind == "probe_depth"]) == 3


@pytest.mark.parametrize("name", ["empty.csv", "empty.xlsx"])
def test_a_file_with_nothing_in_it_says_so(book: Fieldbook, tmp_path: Path, name: str) -> None:
    if name.endswith("csv"):
        (tmp_path / name).write_text("\n\n")
    else:
        openpyxl.Workbook().save(tmp_path / name)
    with pytest.raises(FileError, match="there is nothing in it"):
        book.import_sheet(tmp_path / name)


def test_two_readings_that_do_not_agree_are_told_as_one_doubt(book: Fieldbook, tmp_path: Path) -> None:
    trees = [[*row, height] for row, height in zip(SHEET["trees"], ("tree_height", "ft", "", "4"), strict=True)]
    told = book.import_sheet(sheet(tmp_path / "in", trees=trees)).told
    assert told == (("trees.csv, row 4: these do not go together: Height 4 ft, Trunk diameter (DBH) 12 1/2 in; height "
                     "over diameter is 3.84, usual is 15 to 120"),)
