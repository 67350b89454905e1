"""What a column is taken for: its header's words, its unit and why, and what is asked instead of guessed."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest

from rootcase.fieldbook.intake.grid import Cell, Grid
from rootcase.fieldbook.intake.lists.columns import Mapped, Theirs, map_columns
from rootcase.fieldbook.intake.lists.table import find_table
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.fieldbook.intake.lists.words import meant
from rootcase.ground.errors import FileError
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.tables.readings import kinds

HEADERS = [
    ("DBH (in)", "dbh", "in"), ("DBH in inches", "dbh", "in"), ("Diameter at breast height, cm", "dbh", "cm"),
    ("Trunk diameter (DBH)", "dbh", ""), ("BHD [cm]", "dbh", "cm"), ("Stammdurchmesser", "dbh", ""),
    ("Diamètre (cm)", "dbh", "cm"), ("DAP cm", "dbh", "cm"), ("stamdiameter", "dbh", ""), ("dbh_mm", "dbh", "mm"),
    ("DBH in", "dbh", "in"), ("TrunkDia", "dbh", ""),
    ("Circumference (in)", "girth", "in"), ("Stammumfang in cm", "girth", "cm"), ("Circonférence", "girth", ""),
    ("Caliper", "caliper", ""), ("Ht ft", "tree_height", "ft"), ("Height-m", "tree_height", "m"),
    ("Baumhöhe (m)", "tree_height", "m"), ("Hauteur", "tree_height", ""), ("Altura (m)", "tree_height", "m"),
    ("Canopy width ft.", "crown_spread", "ft"), ("Kronendurchmesser (m)", "crown_spread", "m"),
    ("Latin name", "species", ""), ("Baumart", "species", ""), ("Essence", "species", ""), ("Boomsoort", "species", ""),
    ("Tree No.", "tag", ""), ("Baum-Nr.", "tag", ""), ("TreeID", "tag", ""), ("Nº árbol", "tag", ""),
    ("Year planted", "planting_year", ""), ("Pflanzjahr", "planting_year", ""), ("Dieback %", "crown_dieback", "%"),
    ("Survey date", "day", ""), ("Aufnahmedatum", "day", ""), ("Street", "place", ""), ("Standort", "place", ""),
    ("Latitude", "latitude", ""), ("Lng", "longitude", ""), ("GPS coordinates", "position", "")]
OTHERS = ["Condition", "Health", "Remarks", "Value", "Height of nearest building", "Inspector", "Owner", "Photo",
          "Girth at 1 m (cm)", "DBH class", "Date of removal", "Risk", "Year"]  # of planting, or of the survey?


@pytest.mark.parametrize(("header", "target", "unit"), HEADERS, ids=lambda text: text or "none")
def test_words_of_the_trade_are_known_with_the_unit_beside_them(header: str, target: str, unit: str) -> None:
    found = meant(header)
    assert found is not None
    assert (found.target, found.unit) == (target, unit)


@pytest.mark.parametrize("header", OTHERS)
def test_what_is_not_ours_is_taken_for_nothing(header: str) -> None:
    assert meant(header) is None


def mapped(header: Sequence[str], *rows: Sequence[str], told: Told = Told(),  # noqa: B008
           system: System | None = None) -> Mapped:
    lines = tuple(tuple(Cell(text) for text in line) for line in (header, *rows))
    return map_columns(find_table(Grid("list", "list.csv", lines)), told, system)


def column(found: Mapped, header: str) -> Theirs:
    return next(each for each in found.columns if each.header == header)


def trunk(*values: str, told: Told = Told(), system: System | None = None) -> Theirs:  # noqa: B008
    return column(mapped(("Tag", "DBH"), *((str(at), value) for at, value in enumerate(values)), told=told,
                         system=system), "DBH")


def test_a_unit_no_word_says_and_values_that_allow_two_are_asked() -> None:
    found = trunk("9", "14", "22", "30")
    assert (found.standing, found.options) == ("asked", ("dbh:in", "dbh:cm", "dbh:mm"))
    assert found.kind is None


@pytest.mark.parametrize(("values", "unit"), [(("356", "410", "965"), "mm"), (("0.8", "1.2", "60", "44"), "")])
def test_values_alone_propose_a_unit_only_where_one_is_left(values: Sequence[str], unit: str) -> None:
    found = trunk(*values)
    assert (found.unit, found.standing) == (unit, "proposed" if unit else "asked")


def test_the_property_and_the_other_columns_say_the_unit_in_this_order() -> None:
    assert (trunk("9", "14", system="metric").unit, trunk("9", "14", system="us").unit) == ("cm", "in")
    found = mapped(("Tag", "DBH", "Ht (ft)"), ("1", "14", "40"), ("2", "12", "44"))
    assert (column(found, "DBH").unit, column(found, "DBH").standing, found.system) == ("in", "said", "us")
    both = mapped(("Tag", "DBH", "Ht (ft)", "Spread (m)"), ("1", "14", "40", "6"))
    assert (column(both, "DBH").standing, both.system) == ("asked", None)


def test_a_sheet_whose_units_are_not_the_property_s_is_asked_about_its_bare_numbers() -> None:
    rows = ("Tag", "DBH", "Ht (m)"), ("1", "24", "12"), ("2", "31", "14"), ("3", "40", "15")
    assert column(mapped(*rows, system="us"), "DBH").standing == "asked"
    assert column(mapped(*rows, system="metric"), "DBH").unit == "cm"


def test_a_unit_of_the_system_that_the_values_do_not_bear_is_not_taken() -> None:
    found = trunk("356", "410", "965", "500", system="metric")
    assert (found.unit, found.standing) == ("mm", "proposed")
    assert trunk("356", "410", "965", "500", system="us").standing == "asked"


@pytest.mark.parametrize(("values", "said"), [
    (("12,5", "1.250"), ("decimal",)), (("12,5", "1,250"), ("decimal",)), (("1,250.5", "1,300"), ("thousands",)),
    (("12,5", "13"), ())])
def test_a_number_that_another_one_decides_is_said(values: Sequence[str], said: Sequence[str]) -> None:
    assert trunk(*values, system="metric").said == tuple(say(f"lists.comma_is.{comma}") for comma in said)


def test_a_unit_somebody_said_wins_and_one_that_is_none_is_refused() -> None:
    assert trunk("9", told=Told(columns={"dbh": "dbh:cm"})).unit == "cm"
    assert trunk("9", told=Told(columns={"DBH": "girth:cm"})).factor == pytest.approx(1 / math.pi)
    assert trunk("9", told=Told(columns={"DBH": "keep"})).standing == "kept"
    with pytest.raises(FileError, match="no meaning of a column"):
        trunk("9", told=Told(columns={"DBH": "dbh:kg"}))
    with pytest.raises(FileError, match="no column of this name"):
        trunk("9", told=Told(columns={"Diametre": "dbh:cm"}))


def test_every_label_of_a_tree_s_reading_is_known() -> None:
    of_trees = [kind for kind in kinds().values() if kind.of == "tree"]
    found = {kind.kind: meant(kind.label) for kind in of_trees if kind.kind != "tree_tag"}
    assert {kind: each.target if each else None for kind, each in found.items()} == {kind: kind for kind in found}


def test_of_two_columns_for_one_fact_the_better_named_stands_and_the_other_is_text() -> None:
    found = mapped(("No", "Common name", "Botanical name", "Girth (cm)", "DBH (cm)"),
                   ("1", "red maple", "Acer rubrum", "60", "19"))
    assert [each.target for each in found.columns] == ["tag", "keep", "species", "keep", "dbh"]


def test_a_half_of_a_position_is_text_and_a_genus_alone_is_the_species() -> None:
    found = mapped(("No", "Genus", "Lat", "GPS"), ("1", "Acer", "47.45", "47.45, -122.31"))
    assert [each.target for each in found.columns] == ["tag", "species", "keep", "position"]
    found = mapped(("No", "Lat", "Long", "GPS"), ("1", "47.45", "-122.31", "47.45, -122.31"))
    assert [each.target for each in found.columns] == ["tag", "latitude", "longitude", "keep"]


def test_the_header_is_found_under_titles_and_a_row_of_units_is_none_of_the_list() -> None:
    lines = (("Trees of an invented park", "", ""), ("", "", ""), ("Tag", "DBH", "Ht"), ("", "(in)", "(ft)"),
             ("1", "14", "40"), ("Tag", "DBH", "Ht"), ("2", "12", "38"), ("Beds", "", ""), ("Average", "13", "39"))
    table = find_table(Grid("list", "list.csv", tuple(tuple(Cell(text) for text in line) for line in lines)))
    assert (table.header_row, table.header, table.units) == (3, ("Tag", "DBH", "Ht"), ("", "in", "ft"))
    assert [row.number for row in table.rows] == [5, 7]
    assert [(left.row, left.why) for left in table.left_out] == [
        (1, "above the header"), (6, "the header again"), (8, "a heading or remark: one cell filled"),
        (9, "a total or a count")]


def test_a_merged_cell_counts_for_all_its_rows_and_that_is_told() -> None:
    lines = (("Tag", "Site"), ("1", "North"), ("2", ""), ("3", "South"))
    table = find_table(Grid("list", "list.csv", tuple(tuple(Cell(text) for text in line) for line in lines),
                            ((1, 1, 2, 1),)))
    assert [row.cells[1].text for row in table.rows] == ["North", "North", "South"]
    assert table.told == ('"North" is merged over rows 2 to 3: taken for each of them.',)


def test_merged_areas_may_lie_beyond_what_is_filled() -> None:
    rows = ((Cell("Tag"), Cell("DBH")), (Cell("1"), Cell("12")))
    merged = ((0, 2, 0, 9), (1, 1, 899_999, 5), (7, 0, 9, 0))
    table = find_table(Grid("list", "list.csv", rows, merged))
    assert [cell.text for cell in table.rows[0].cells] == ["1", "12"]
    assert table.told == ('"12" is merged over rows 2 to 2: taken for each of them.',)


@pytest.mark.parametrize("row", [-1, 0, 3])
def test_a_header_row_that_is_not_there_is_refused(row: int) -> None:
    with pytest.raises(FileError, match="header"):
        find_table(Grid("list", "list.csv", ((Cell("Tag"), Cell("DBH")), (Cell("1"), Cell("12")))), row)
