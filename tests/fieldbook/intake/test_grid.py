"""Files as pages: encodings, separators, units, examples, and what spreadsheets do to dates and numbers."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
import xlsxwriter

from rootcase.fieldbook.intake.grid import Cell, read_pages
from rootcase.fieldbook.intake.layout import columns_of, layout_of
from rootcase.ground.errors import FileError


@pytest.mark.parametrize(("encoding", "separator"),
                         [("utf-8", ","), ("utf-8-sig", ";"), ("cp1252", "\t"), ("cp1252", ",")])
def test_a_csv_reads_the_same_in_each_encoding_and_separator(tmp_path: Path, encoding: str, separator: str) -> None:
    lines = [["tree", "place", "dbh"], ["units", "", "in"], ["chêne 1", "lawn", "3½"], ["", "", ""],
             ["example oak", "lawn", "9"], ["# a note", "", ""]]
    (tmp_path / "trees.csv").write_bytes("\r\n".join(separator.join(line) for line in lines).encode(encoding))
    page, = read_pages(tmp_path / "trees.csv")
    assert (page.header, page.units) == (("tree", "place", "dbh"), ("", "", "in"))
    assert [(row.number, [cell.text for cell in row.cells]) for row in page.rows] == [(3, ["chêne 1", "lawn", "3½"])]


def test_a_workbook_keeps_row_numbers_and_tells_dates_from_numbers(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(str(tmp_path / "book.xlsx")) as book:
        page = book.add_worksheet("visits")
        page.write_row(2, 0, ["visit", "date", "n", "yes"])
        page.write_row(4, 0, ["autumn"])
        page.write_datetime(4, 1, datetime(2015, 11, 5), book.add_format({"num_format": "yyyy-mm-dd"}))  # noqa: DTZ001
        page.write_number(4, 2, 18.0)
        page.write_boolean(4, 3, True)
        page.write_number(5, 2, 0.1)
    page, = read_pages(tmp_path / "book.xlsx")
    first, second = page.rows
    assert (first.number, second.number) == (5, 6)
    assert first.cells == (Cell("autumn"), Cell("2015-11-05", "date"), Cell("18", "number"), Cell("yes"))
    assert second.cells[2] == Cell("0.1", "number")


def test_pages_are_known_by_their_name_or_by_their_header(tmp_path: Path) -> None:
    pages = {"trees": "tree,place", "pits spring": "pit,tree", "from the field": "tree,visit,shoot_position,shoot",
             "survey": "tree,place,dbh", "shopping": "milk,bread"}
    for name, header in pages.items():
        (tmp_path / f"{name}.csv").write_text(header + "\nx,y\n", encoding="utf-8")
    found = {page.name: getattr(layout_of(page), "name", None) for page in read_pages(tmp_path)}
    assert found == {"trees": "trees", "pits spring": "pits", "from the field": "shoots", "survey": "trees",
                     "shopping": None}


def test_header_words_units_and_attributes(tmp_path: Path) -> None:
    header = ("sample,place,visit,pH,soil_ph.method,OM (%),Organic matter method,ece,extract,colour of the lid,"
              "Sampled from depth [cm]")
    (tmp_path / "samples.csv").write_text(f"{header}\nunits,,,,,,,dS/m,,,in\nx\n", encoding="utf-8")
    page, = read_pages(tmp_path / "samples.csv")
    layout = layout_of(page)
    assert layout is not None
    found = [(c.role, c.name, c.kind, c.unit) for c in columns_of(page, layout)[3:]]
    assert found == [("kind", "soil_ph", "", ""), ("attribute", "method", "soil_ph", ""),
                     ("kind", "organic_matter", "", "%"), ("attribute", "method", "organic_matter", ""),
                     ("kind", "ece", "", "dS/m"),
                     ("attribute", "extract", "", ""), ("own", "colour of the lid", "", ""),
                     ("kind", "sample_depth_top", "", "cm")]


@pytest.mark.parametrize(("name", "content", "message"), [
    ("x.csv", b"a,b\n\x81\x8d", "this is not text"), ("x.csv", b"a\x00b", "this is not text"),
    ("x.xlsx", b"PK not really", "this is not a spreadsheet")])
def test_what_is_no_sheet_is_refused_in_one_line(tmp_path: Path, name: str, content: bytes, message: str) -> None:
    (tmp_path / name).write_bytes(content)
    with pytest.raises(FileError, match=message):
        read_pages(tmp_path / name)


def test_a_missing_file_and_an_empty_folder_are_named(tmp_path: Path) -> None:
    with pytest.raises(FileError, match="there is no such file"):
        read_pages(tmp_path / "none.csv")
    with pytest.raises(FileError, match="no CSV in it"):
        read_pages(tmp_path)
