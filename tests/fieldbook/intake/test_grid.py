"""Files as pages: encodings, separators, units, examples, and what spreadsheets do to dates and numbers."""

from __future__ import annotations

import csv
import io
import os
import sys
from datetime import datetime
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.intake.foreign.text import decoded, separator_of, table
from rootcase.fieldbook.intake.grid import Cell, Grid, page_of, read_grids, read_pages
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


TABLE = [["arbre", "lieu", "état"], ["chêne 1", "pré", "été"], ["érable 2", "forêt", "à 20°"], ["aîné", "allée", "né"]]


@pytest.mark.parametrize(("codec", "mark", "name"), [
    ("utf-8", b"", "UTF-8"), ("utf-8", b"\xef\xbb\xbf", "UTF-8"), ("utf-16-le", b"\xff\xfe", "UTF-16"),
    ("utf-16-be", b"\xfe\xff", "UTF-16"), ("utf-16-le", b"", "UTF-16"), ("utf-16-be", b"", "UTF-16"),
    ("cp1252", b"", "Windows-1252"), ("latin-1", b"", "Windows-1252"), ("mac_roman", b"", "Mac Roman")])
def test_encodings_are_told_apart_and_told(tmp_path: Path, codec: str, mark: bytes, name: str) -> None:
    text = "\r".join(";".join(row) for row in TABLE)
    (tmp_path / "x.csv").write_bytes(mark + text.encode(codec))
    grid, = read_grids(tmp_path / "x.csv")
    assert [[cell.text for cell in row] for row in grid.rows] == TABLE
    assert grid.told == (f"read as {name}, columns parted by semicolons",)


@pytest.mark.parametrize(("text", "codec", "name"), [
    ("\u201cOak\u201d \u2013 the client\u2019s", "cp1252", "Windows-1252"),
    ("3½ in × 2, µm, ±5 °C", "cp1252", "Windows-1252"),
    ("the client\u2019s tree", "mac_roman", "Mac Roman"), ("\u201cOak\u201d", "mac_roman", "Mac Roman"),
    ("Müller, Straße, Größe", "mac_roman", "Mac Roman"), ("Müller, Straße, Größe", "latin-1", "Windows-1252"),
    ("ÉTÉ, CHÊNE", "latin-1", "Windows-1252"), ("père, mère, frêne", "mac_roman", "Mac Roman")])
def test_one_sign_may_tell_the_encoding(text: str, codec: str, name: str) -> None:
    assert decoded(text.encode(codec)) == (text, name)


@pytest.mark.parametrize(("text", "separator"), [
    ("tree,dbh\noak,14\n", ","), ("tree;dbh;height\noak;3,5;4,2\nelm;4,5;4,2\n", ";"), ("3,5;4,2\n7,5;8,1\n", ";"),
    ("Trees, lawns, beds of 2015\nseen by nobody, in May\n\ntree\tdbh\noak\t1,5\nelm\t2,5\nash\t3,5\n", "\t"),
    ("tree|note\noak|low, wide\nelm|tall, thin\n", "|"), ('tree,note,dbh\noak,"a; b",3\nelm,"c; d",4\n', ","),
    ('1,"a; b",3\n2,"c; d",4\n', ","), ("oak; rear,1,2,3\nelm; rear,1,2,3\n", ","),
    ("tree;dbh\noak;18\"\nelm;5'6\"\n", ";"),
    ("one\ntwo\n", ","), ("", ",")])
def test_the_separator_is_judged_by_many_rows(text: str, separator: str) -> None:
    assert separator_of(text) == separator


def test_blank_rows_and_columns_behind_the_last_cell_are_left_away(tmp_path: Path) -> None:
    (tmp_path / "x.csv").write_text(",,,\ntree,dbh,,\n,,,\noak,,,\n,,,\n,,,\n", encoding="utf-8")
    assert [[cell.text for cell in row] for row in read_grids(tmp_path / "x.csv")[0].rows] == [
        ["", ""], ["tree", "dbh"], ["", ""], ["oak", ""]]


def test_a_line_that_names_the_separator_is_obeyed_and_is_no_row() -> None:
    assert table(b"sep=|\r\ntree,x|dbh\r\n")[0] == [["tree,x", "dbh"]]


@pytest.mark.property
@given(st.lists(st.lists(st.text("ab1,.;'\"|½é \t\n", max_size=6), min_size=3, max_size=3), min_size=4, max_size=12),
       st.sampled_from(",;\t|"), st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]))
def test_what_a_spreadsheet_writes_comes_back(rows: list[list[str]], separator: str, codec: str) -> None:
    """The line that names the separator stands first, as chance rows may look parted by another."""
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=separator).writerows(rows)
    found, _ = table(f"sep={separator}\r\n{out.getvalue()}".encode(codec))
    assert found == [[" ".join(cell.split()) for cell in row] for row in rows]


def test_a_quotation_mark_left_open_swallows_no_rows(tmp_path: Path) -> None:
    (tmp_path / "x.csv").write_text('tree,note\noak,"tall"\nelm,"wide\nash,\nfir,18\n', encoding="utf-8")
    grid, = read_grids(tmp_path / "x.csv")
    assert [row[0].text for row in grid.rows] == ["tree", "oak", "elm", "ash", "fir"]
    assert grid.rows[2][1].text == '"wide'
    assert "opened in row 3 is never closed" in grid.told[1]


def test_cells_are_as_a_person_saw_them(tmp_path: Path) -> None:
    seen = {"30%": (0.3, "0%"), "30.5%": (0.305, "0%"), "7%": (0.07, "0.0%;[Red]-0.0%"), "14 cm": (14, '0 "cm"'),
            "14.25 cm": (14.25, '0\\ \\c\\m'), "30 %": (30, '0" %"'), '18"': (18, '0\\"'), "6 ft": (6, 'General" ft"'),
            "1234.5": (1234.5, "#,##0.00"), "5": (5, "0.00E+00"), "-3": (-3, "0;(0)"), "12": (12, "0_)"),
            "9": (9, "[>5]0;0"), "2": (2, "#,##0.00\\ ")}
    with xlsxwriter.Workbook(str(tmp_path / "x.xlsx")) as book:
        page = book.add_worksheet()
        for row, (value, form) in enumerate(seen.values()):
            page.write_number(row, 0, value, book.add_format({"num_format": form}))
    grid, = read_grids(tmp_path / "x.xlsx")
    assert [row[0] for row in grid.rows] == [Cell(text, "number") for text in seen]


def test_formulas_are_not_worked_out_and_errors_keep_their_names(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(str(tmp_path / "x.xlsx")) as book:
        page = book.add_worksheet()
        page.write_formula(0, 0, "=1+1", None, 2)
        page.write_formula(1, 0, '="a"&"b"', None, "ab")
        page.write_formula(2, 0, "=1/0", None, "#DIV/0!")
        page.write_formula(3, 0, '=""', None, "")
        page.write_string(3, 0, "=1+1")
        page.write_string(4, 0, "two\nlines \t of  it")
    assert [row[0].text for row in read_grids(tmp_path / "x.xlsx")[0].rows] == [
        "2", "ab", "#DIV/0!", "=1+1", "two lines of it"]
    book = openpyxl.Workbook()
    book.active.append(["oak", "=A1&B9", "x"])  # type: ignore[union-attr]
    book.save(tmp_path / "y.xlsx")
    assert [cell.text for cell in read_grids(tmp_path / "y.xlsx")[0].rows[0]] == ["oak", "=A1&B9", "x"]


def test_a_grid_keeps_where_cells_stand(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(str(tmp_path / "x.xlsx")) as book:
        page, blank = book.add_worksheet("a"), book.add_format({"bold": True})
        page.merge_range(1, 1, 2, 3, "Invented trees")
        page.write_row(4, 0, ["tree", "dbh"])
        page.write_blank(9, 9, None, blank)
        book.add_worksheet("b").hide()
        book.add_chartsheet("c")
    first, second = read_grids(tmp_path / "x.xlsx")
    assert [[cell.text for cell in row] for row in first.rows] == [
        ["", ""], ["", "Invented trees"], ["", ""], ["", ""], ["tree", "dbh"]]
    assert first.merged == ((1, 1, 2, 3),)
    assert (second.rows, second.told) == ((), ("this sheet is hidden in the workbook",))


def test_an_old_workbook_is_read_and_what_it_does_not_say_is_told() -> None:
    """old.xls: made by xlwt 1.3.0, with a percent, a unit, a day, and a merged title over invented trees."""
    grid, = read_grids(Path(__file__).parent / "old.xls")
    assert [cell.text for cell in grid.rows[2]][:4] == ["chêne 1", "14", "0.3", "2015-11-05"]
    assert grid.merged == ((0, 0, 0, 3),)
    assert "30 % may come as 0.3" in grid.told[0]


def test_a_file_is_known_by_what_it_is_not_by_what_it_is_called(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(str(tmp_path / "x.csv"), {}) as book:
        book.add_worksheet().write_string(0, 0, "tree")
    (tmp_path / "y.xls").write_text("tree\tdbh\noak\t3\n", encoding="utf-8")
    (tmp_path / "z.xls").write_text("<html><table>", encoding="utf-8")
    assert read_grids(tmp_path / "x.csv")[0].rows == ((Cell("tree"),),)
    assert len(read_grids(tmp_path / "y.xls")[0].rows[0]) == 2
    with pytest.raises(FileError, match="not a spreadsheet"):
        read_grids(tmp_path / "z.xls")


def test_a_grid_is_turned_into_a_page_of_the_field_sheet() -> None:
    rows = tuple(tuple(Cell(text) for text in row) for row in (
        ("", ""), ("tree", "dbh"), ("units", "in"), ("example", "1"), ("# remark", ""), ("#12", "3")))
    page = page_of(Grid("a", "a.csv", rows))
    assert (page.header, page.units, [row.number for row in page.rows]) == (("tree", "dbh"), ("", "in"), [6])


@pytest.mark.skipif(sys.platform != "linux", reason="other systems keep no such names")
def test_a_name_that_is_no_text_is_written_down_all_the_same(tmp_path: Path) -> None:
    path = Path(os.fsdecode(os.fsencode(tmp_path / "l") + b"\xff.csv"))
    path.write_text("tree,dbh\n1,2\n", encoding="utf-8")
    (grid,) = read_grids(path)
    assert (grid.name, grid.file) == ("l?", "l?.csv")
