"""One tag at several spots, two names of one tree, several stems, and what has been mended elsewhere; all invented."""

from __future__ import annotations

import io
from dataclasses import replace
from math import hypot
from pathlib import Path

import openpyxl
import pytest

from rootcase.fieldbook.export.newest import newest_columns
from rootcase.fieldbook.export.workbook import workbook_bytes
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.ground.errors import FileError
from rootcase.report.pictures.trunk import trunk_mm
from tests.fieldbook.intake.lists.test_stranger_files import causes, look, record
from tests.fieldbook.sheets import open_book

HERE = Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn")
HEAD = "Tag,Site,Lat,Long,Common name,Latin,DBH (in),Planted,Date"
ROW = ("1", "North", "47.4501", "-122.3101", "red maple", "Acer rubrum", "12", "2001", "2015-06-13")


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    return open_book(tmp_path / "f.sqlite")


def listed(folder: Path, *rows: dict[int, str]) -> Path:
    """A list with a row for each, as ROW but for some of its cells."""
    file = folder / "ours.csv"
    lines = [",".join(f'"{row.get(at, cell)}"' for at, cell in enumerate(ROW)) for row in rows]
    file.write_text("\n".join((HEAD, *lines)), encoding="utf-8")
    return file


def test_a_tag_in_two_places_is_asked_about_with_both_of_them(book: Fieldbook, tmp_path: Path) -> None:
    file = listed(tmp_path, {}, {1: "South", 8: "2015-06-14"}, {0: "2"})
    group, = look(book, file, HERE).groups
    assert (group.cause, group.column, group.rows) == ("twice", "Tag", (2, 3))
    assert "row 2 North; row 3 South" in group.what
    assert [answer.word for answer in group.answers] == ["join", "number"]
    look(book, file, HERE, "1=number", save=True)
    held = record(book)
    assert {tree.label: held.place_of(tree).name for tree in held.trees} == {"1": "North", "1b": "South", "2": "North"}


def test_a_tag_joined_over_two_places_loses_no_text(book: Fieldbook, tmp_path: Path) -> None:
    saved = look(book, listed(tmp_path, {}, {1: "South", 8: "2015-06-14"}), HERE, "1=join", save=True)
    assert (saved.ready, saved.waiting) == (2, 0)
    held = record(book)
    tree, = held.trees
    assert held.place_of(tree).name == "North"
    assert [reading.choice for reading in held.of(tree.id, kind="Site")] == ["South"]
    assert len(held.of(tree.id, kind="dbh")) == 2


def test_a_tag_at_another_spot_of_its_place_is_asked_about_with_how_far(book: Fieldbook, tmp_path: Path) -> None:
    group, = look(book, listed(tmp_path, {}, {2: "47.4511", 8: "2015-06-14"}), HERE).groups
    assert (group.cause, group.rows) == ("twice", (2, 3))
    assert "row 3 North, 110 m from there" in group.what


def test_a_tree_read_on_two_days_at_its_spot_is_not_asked_about(book: Fieldbook, tmp_path: Path) -> None:
    assert look(book, listed(tmp_path, {}, {8: "2015-06-14"}), HERE).groups == ()


def test_an_empty_botanical_cell_is_filled_from_the_common_name_and_said(book: Fieldbook, tmp_path: Path) -> None:
    file = listed(tmp_path, {5: ""}, {0: "2", 5: "-", 4: "pin oak"}, {0: "3"}, {0: "4", 4: "red mapel", 5: ""})
    listing = look(book, file, HERE)
    assert causes(listing) == {5: "species"}
    assert 'Latin: 3 empty cells are taken from Common name, such as row 2, "red maple".' in listing.told
    look(book, file, HERE, "1=yes", save=True)
    held = record(book)
    assert [held.of(tree.id, kind="species")[0].choice for tree in held.trees] == [
        "Acer rubrum", "Quercus palustris", "Acer rubrum", "Acer rubrum"]


def test_two_names_that_are_of_different_kinds_are_asked_about_in_their_row_alone(book: Fieldbook,
                                                                                  tmp_path: Path) -> None:
    file = listed(tmp_path, {4: "maple"}, {0: "2", 4: "Norway maple"}, {0: "3", 4: "the tall one"})
    group, = look(book, file, HERE).groups
    assert (group.cause, group.rows, group.what) == ("species", (3,), "the two columns name different kinds")
    assert [answer.word for answer in group.answers] == ["Acer rubrum", "Acer platanoides", "keep"]
    look(book, file, HERE, "1=Acer platanoides", save=True)
    held = record(book)
    assert [held.of(tree.id, kind="species")[0].choice for tree in held.trees] == [
        "Acer rubrum", "Acer platanoides", "Acer rubrum"]


@pytest.mark.parametrize(("typed", "stems"), [("12, 8, 6", (12, 8, 6)), ("3@6", (6, 6, 6))])
def test_stems_are_told_apart_and_count_as_one_trunk_of_their_basal_area(
        typed: str, stems: tuple[int, ...], book: Fieldbook, tmp_path: Path) -> None:
    saved = look(book, listed(tmp_path, {6: typed}, {0: "2"}), HERE, "1=stems", save=True)
    assert any(told.startswith("DBH (in): 1 with several stems.") for told in saved.told)
    held = record(book)
    trunks = held.of(held.trees[0].id, kind="dbh")
    assert sorted((reading.attributes["stem"], reading.value) for reading in trunks) == [
        (str(number), pytest.approx(25.4 * stem)) for number, stem in enumerate(stems, 1)]
    assert "stem" not in held.of(held.trees[1].id, kind="dbh")[0].attributes
    column, = (each for each in newest_columns([held], "tree") if each.kind.kind == "dbh")
    newest = column.by_thing[held.trees[0].id]
    assert (newest.value, newest.note) == (pytest.approx(25.4 * hypot(*stems)), "one trunk for 3 stems")


def test_a_second_column_of_trunks_is_another_stem_and_is_drawn_as_one_trunk(book: Fieldbook, tmp_path: Path) -> None:
    (tmp_path / "two.csv").write_text("Tag,DBH 1 (in),DBH 2 (in),Date\n1,12,9,2015-06-13\n2,8,,2015-06-13\n",
                                      encoding="utf-8")
    saved = look(book, tmp_path / "two.csv", replace(HERE, system="us"), save=True)
    assert "DBH 2 (in): another stem of a tree, beside DBH 1 (in)." in saved.told
    held = record(book)
    first, second = held.trees
    assert sorted(reading.attributes["stem"] for reading in held.of(first.id, kind="dbh")) == ["1", "2"]
    assert trunk_mm(held, first.id) == pytest.approx(25.4 * 15)
    assert trunk_mm(held, first.id, second.id) == pytest.approx(25.4 * 11.5)


@pytest.mark.parametrize(("column", "typed", "words", "value"), [
    (7, "2005?", ["yes"], 2005), (7, "'98", ["yes"], 1998), (7, "'03", ["2003", "1903"], 2003),
    (6, "girth 18 in", ["yes"], 25.4 * 18 / 3.14159265), (6, "18in girth", ["yes"], 25.4 * 18 / 3.14159265)])
def test_a_text_that_can_only_be_meant_one_way_is_proposed(
        column: int, typed: str, words: list[str], value: float, book: Fieldbook, tmp_path: Path) -> None:
    file = listed(tmp_path, {column: typed})
    group, = look(book, file, HERE).groups
    assert [answer.word for answer in group.answers] == [*words, "leave"]
    look(book, file, HERE, f"1={words[0]}", save=True)
    held = record(book)
    reading, = held.of(held.trees[0].id, kind={6: "dbh", 7: "planting_year"}[column])
    assert reading.value == pytest.approx(value, rel=1e-3)
    assert reading.sign == ("~" if "?" in typed else "=")


@pytest.mark.parametrize("typed", ["unk.", "not measured", "Unknown"])
def test_words_for_no_reading_are_none(typed: str, book: Fieldbook, tmp_path: Path) -> None:
    assert look(book, listed(tmp_path, {6: typed, 7: typed}), HERE, save=True).waiting == 0
    held = record(book)
    assert [held.of(held.trees[0].id, kind=kind)[0].nothing for kind in ("dbh", "planting_year")] == ["not read"] * 2


@pytest.mark.parametrize(("typed", "says"), [("12@", '"@" is no unit'), ("1@6@3", '"@6@3" is no unit')])
def test_a_unit_that_is_none_is_named_as_typed(typed: str, says: str, book: Fieldbook, tmp_path: Path) -> None:
    group, = look(book, listed(tmp_path, {6: typed}), HERE).groups
    assert says in group.what


def test_a_blank_half_of_a_position_is_called_blank(book: Fieldbook, tmp_path: Path) -> None:
    file = listed(tmp_path, {2: ""}, {0: "2", 3: ""}, {0: "3", 2: "", 3: ""}, {0: "4", 2: "", 3: "-122.3102"})
    north, west = look(book, file, HERE).groups
    assert (north.what, north.rows) == ("Lat is empty, and Long is not", (2, 5))
    assert (west.what, west.rows) == ("Long is empty, and Lat is not", (3,))


def test_what_is_doubted_of_a_value_is_told_before_what_is_remarked_of_names(book: Fieldbook, tmp_path: Path) -> None:
    file = listed(tmp_path, *({0: str(at), 4: "", 5: f"Acer rubrum 'Invented {at}'"} for at in range(2, 30)), {6: "90"})
    told = look(book, file, HERE).told
    assert "90 in is unusual" in told[0]
    assert any("cultivar" in remark for remark in told[1:])


@pytest.mark.parametrize("head", ["a;b\n", "Tag;DBH (in)\n"])
def test_a_header_without_a_row_is_said_to_be_one(head: str, book: Fieldbook, tmp_path: Path) -> None:
    (tmp_path / "head.csv").write_text(head, encoding="utf-8")
    with pytest.raises(FileError, match="no row under the header"):
        look(book, tmp_path / "head.csv", HERE)


def test_a_girth_is_called_one_in_the_workbook(book: Fieldbook, tmp_path: Path) -> None:
    (tmp_path / "round.csv").write_text("Tag,Girth (cm),Date\n1,122,2015-06-13\n", encoding="utf-8")
    look(book, tmp_path / "round.csv", Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn",
                                            system="metric"), save=True)
    data, _ = workbook_bytes([record(book)])
    rows = list(openpyxl.load_workbook(io.BytesIO(data))["trees"].iter_rows(values_only=True))
    assert rows[1][rows[0].index("Trunk diameter (DBH) [cm]")] == "38.8338 (from the girth)"
