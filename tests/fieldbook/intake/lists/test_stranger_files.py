"""Six invented lists, each unlike the others: what a careful person would take from them, and what would be asked."""

from __future__ import annotations

import csv
import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import pytest
import xlsxwriter

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.lists.listing import Given, Listing
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.records.observe import PropertyRecord, Reading
from tests.fieldbook.sheets import open_book

IN_M, FT_M = 0.0254, 0.3048
HERE = Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn")


def look(book: Fieldbook, file: Path, told: Told, *mends: str, save: bool = False) -> Listing:
    return book.import_list(file, Given(told, tuple((one, word) for one, _, word in (m.partition("=") for m in mends)),
                                        None, save))


def kept(book: Fieldbook) -> dict[str, dict[str, Reading]]:
    """Readings by tree and kind."""
    held = record(book)
    return {tree.label: {reading.kind: reading for reading in held.of(tree.id)} for tree in held.trees}


def record(book: Fieldbook) -> PropertyRecord:
    return book.record(book.properties()[0].id)


def meant(listing: Listing) -> dict[str, str]:
    return {each.header: each.target for each in listing.columns if each.standing in ("said", "proposed")}


def causes(listing: Listing) -> dict[int, str]:
    return {row: group.cause for group in listing.groups for row in group.rows}


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    return open_book(tmp_path / "f.sqlite")


def workbook(path: Path, pages: Mapping[str, Sequence[Sequence[object]]], merged: Sequence[tuple[str, str]] = (),
             on: str = "") -> Path:
    """Sheets of cells; a text stays a text."""
    with xlsxwriter.Workbook(path, {"strings_to_numbers": False}) as file:
        for name, rows in pages.items():
            page = file.add_worksheet(name)
            for number, row in enumerate(rows):
                for at, value in enumerate(row):
                    if value is not None:
                        page.write(number, at, value)
            for place, text in merged if name == on else ():
                page.merge_range(place, text)
    return path


def grouped(path: Path) -> Path:
    """Group headings merged over two header rows, an empty column, totals between groups, sheets before and after."""
    return workbook(path, {
        "Legend": [["Code", "Meaning"], ["G", "good"], ["F", "fair"], ["P", "poor"]],
        "Survey 2015": [
            [], [], [],
            ["No.", "Species", "Area", None, "Trunk dia.", "Height", "Crown spread", "Cond.", "Notes"],
            [None, None, None, None, "(in)", "(ft)", "(ft)"],
            ["1", "Quercus palustris", "North lawn", None, 14.5, 42, 30, "G", "by gate"],
            ["2", "Maple, Red 'October Glory'", "North lawn", None, 9, 28, 20, "F"],
            ["3", "linden", "North lawn", None, 11, 35, 24, "G", "stake still on"],
            ["Subtotal North lawn", None, None, None, 3],
            ["4", "Ulmus amercana", "Car park", None, 22, 60, 50, "P", "split"],
            ["5", "sycamore", "Car park", None, 19, 55, 41, "G"],
            ["Subtotal Car park", None, None, None, 2],
            ["Total trees", None, None, None, 5]],
        "Photos": [["Photo", "By"], ["1.jpg", "reader 2"]],
    }, [("A1:I1", "Trees of an invented park"), ("A3:C3", "Tree"), ("E3:G3", "Size"), ("H3:I3", "Other")],
        "Survey 2015")


GROUPED = Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn", grounds={"Car park": "tree_pit"},
               day="2015-06-14")


def test_groups_and_their_totals_are_told_from_trees(book: Fieldbook, tmp_path: Path) -> None:
    listing = look(book, grouped(tmp_path / "park.xlsx"), GROUPED)
    assert (listing.sheet, listing.header_row, listing.other_sheets) == ("Survey 2015", 4, ("Legend", "Photos"))
    assert {left.row for left in listing.left_out} == {1, 3, 9, 12, 13}
    assert causes(listing) == {10: "species", 11: "species"}
    assert (listing.ready, listing.waiting, listing.needed) == (3, 2, ())


def test_a_kind_that_was_asked_about_is_taken_as_answered(book: Fieldbook, tmp_path: Path) -> None:
    file = grouped(tmp_path / "park.xlsx")
    groups = {group.rows: group.number for group in look(book, file, GROUPED).groups}
    answers = (f"{groups[10,]}=yes", f"{groups[11,]}=Platanus occidentalis")
    saved = look(book, file, GROUPED, *answers, save=True)
    assert (saved.saved, saved.ready, saved.waiting) == (True, 5, 0)
    trees = kept(book)
    assert [trees[label]["species"].choice for label in "12345"] == [
        "Quercus palustris", "Acer rubrum", "Tilia sp.", "Ulmus americana", "Platanus occidentalis"]
    assert trees["2"]["species"].attributes["cultivar"] == "October Glory"
    assert trees["1"]["dbh"].value == pytest.approx(14.5 * IN_M * 1000)
    assert trees["4"]["tree_height"].value == pytest.approx(60 * FT_M)
    assert (trees["1"]["Cond."].choice, trees["3"]["Notes"].choice) == ("G", "stake still on")
    held = record(book)
    assert [held.place_of(tree).name for tree in held.trees if tree.label in ("3", "4")] == ["North lawn", "Car park"]


def courtyard(path: Path) -> Path:
    """German words and umlauts in an older encoding, semicolons, decimal commas, girths, a sum."""
    path.write_text("""Baumbestand Hof 3 (erfunden)

Baum-Nr.;Baumart;Stammumfang [cm];Höhe (m);Kronendurchmesser (m);Pflanzjahr;Aufnahme;Bemerkung
B-001;Tilia cordata;125,7;14,5;9,0;1978;14.06.2015;Größe geschätzt
B-002;Acer platanoides 'Crimson King';94,2;11,0;8,5;1985;14.06.2015;
B-003;Straßenbaum unbekannt;62,8;8,0;5,5;;15.06.2015;prüfen
B-004;Aesculus hippocastanum;188,5;17,5;12,0;1952;15.06.2015;Äste über Weg
Summe;;471,2;;;;;
""", encoding="latin-1", newline="\r\n")
    return path


def test_umlauts_commas_and_girths_arrive(book: Fieldbook, tmp_path: Path) -> None:
    saved = look(book, courtyard(tmp_path / "hof.csv"), HERE, save=True)
    assert meant(saved)["Stammumfang [cm]"] == "dbh"
    assert (saved.saved, saved.ready, saved.waiting) == (True, 4, 0)
    assert [left.row for left in saved.left_out] == [1, 8]
    trees = kept(book)
    assert trees["B-001"]["dbh"].value == pytest.approx(1257 / math.pi)
    assert trees["B-004"]["tree_height"].value == pytest.approx(17.5)
    assert [trees[label]["Bemerkung"].choice for label in ("B-001", "B-003", "B-004")] == [
        "Größe geschätzt", "prüfen", "Äste über Weg"]
    assert trees["B-003"]["species"].choice == "Straßenbaum unbekannt"
    assert "planting_year" not in trees["B-003"]
    assert {reading.day.day for reading in (trees["B-001"]["dbh"], trees["B-004"]["dbh"])} == {14, 15}


def all_texts(path: Path) -> Path:
    """Every cell a text, units in the cells, days written four ways, a header without a word, lines inside a cell."""
    return workbook(path, {"Sheet1": [
        ["Date", "Tree Tag", None, "Common name", "DBH", "Height", "Planted", "Comments"],
        ["2015-06-14", "101", None, "red maple", '12.5"', "45 ft", "1990", "ok"],
        ["14 Jun 2015", "102", None, "Oak, Pin", "31 cm", "12 m", "1988", None],
        ["Sunday, 14 June 2015", "103", None, "Kentucky coffee tree", "8 1/2 in", "32'", "c. 1995", "line one\nmore"],
        ["6/15/2015", "104", None, "stump", "14 in", "3 ft", None, "ground out"],
        ["June 16, 2015", "106", None, "oak", "9 in", "8 m", "before my time", None],
        ["6/7/2015", "105", None, "silver mapel", "20 in", "61'6\"", "1975", "lovely"]]})


def test_units_in_cells_and_days_of_four_forms_are_read(book: Fieldbook, tmp_path: Path) -> None:
    saved = look(book, all_texts(tmp_path / "texts.xlsx"), replace(HERE, system="us"), save=True)
    assert causes(saved) == {6: "unreadable", 7: "species"}
    assert (saved.saved, saved.ready, saved.waiting) == (True, 4, 2)
    trees = kept(book)
    assert {label: trees[label]["dbh"].value for label in trees} == pytest.approx(
        {"101": 12.5 * 25.4, "102": 310, "103": 8.5 * 25.4, "104": 14 * 25.4})
    assert {label: trees[label]["tree_height"].value for label in trees} == pytest.approx(
        {"101": 45 * FT_M, "102": 12, "103": 32 * FT_M, "104": 3 * FT_M})
    assert [trees[label]["dbh"].day.day for label in ("101", "102", "103", "104")] == [14, 14, 14, 15]
    assert [trees[label]["species"].choice for label in ("101", "102", "103")] == [
        "Acer rubrum", "Quercus palustris", "Gymnocladus dioicus"]
    assert (trees["103"]["planting_year"].sign, trees["103"]["planting_year"].value) == ("~", 1995)
    stump = trees["104"]["species"]
    assert (stump.typed, stump.choice, stump.nothing) == ("stump", None, "not read")


def marked(path: Path) -> Path:
    """A mark before the first letter, commas in quotes, every way to write nothing.

    The line that names the separator is no row, to a spreadsheet neither.
    """
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        csv.writer(file).writerows([
            ["sep=,"], ["Grounds inventory, invented", "", "", ""], [],
            ["Tree ID", "Species", "DBH (in)", "Ht (ft)", "Dieback %", "Location", "", "Remarks", ""],
            ["A-014", "Quercus rubra L.", "18.2", "55", "<5", "Front, by road", "", "old", ""],
            ["A-015", "ACRU", "~12", "40", "10", "Front, by road", "", "n/a", ""],
            ["A-016", "Platanus × acerifolia", "n/a", "-", "?", "Back lot", "", "see A-014", ""],
            ["A-017", "Red oak", "24", "48", "0", "Back lot", "", "=1+1", ""],
            ["A-018", "Vacant site", "", "", "", "Back lot", "", "to plant", ""],
            ["A-019", "English oak", "30", "1,250", "5", "Back lot", "", "", ""],
            ["", "", "", "", "", "", "", "", ""],
            ["Average", "", "18.1", "47", "", "", "", "", ""]])
    return path


def test_signs_blanks_and_codes_are_what_they_say(book: Fieldbook, tmp_path: Path) -> None:
    told = replace(HERE, day="2015-06-14")
    saved = look(book, marked(tmp_path / "grounds.csv"), told, save=True)
    assert causes(saved) == {5: "species", 7: "species", 9: "comma"}
    assert (saved.saved, saved.ready) == (True, 3)
    trees = kept(book)
    first, plane, vacant = trees["A-014"], trees["A-016"], trees["A-018"]
    assert (first["species"].choice, first["crown_dieback"].sign) == ("Quercus rubra", "<")
    assert first["crown_dieback"].value == pytest.approx(0.05)
    assert plane["species"].choice == "Platanus x acerifolia"
    assert not {"dbh", "tree_height", "crown_dieback"} & plane.keys()
    assert vacant["species"].nothing == "not read"
    assert (vacant["Remarks"].choice, plane["Remarks"].choice) == ("to plant", "see A-014")
    assert {place.name for place in record(book).places} == {"Front, by road", "Back lot"}


def test_answers_bring_the_rows_in_that_waited(book: Fieldbook, tmp_path: Path) -> None:
    told, file = replace(HERE, day="2015-06-14"), marked(tmp_path / "grounds.csv")
    groups = {group.rows: group.number for group in look(book, file, told).groups}
    answers = (f"{groups[5,]}=yes", f"{groups[7,]}=Quercus rubra", f"{groups[9,]}=leave")
    saved = look(book, file, told, *answers, save=True)
    assert (saved.ready, saved.waiting) == (6, 0)
    trees = kept(book)
    assert [trees[label]["species"].choice for label in ("A-015", "A-017")] == ["Acer rubrum", "Quercus rubra"]
    assert trees["A-015"]["dbh"].sign == "~"
    assert trees["A-015"]["dbh"].value == pytest.approx(12 * 25.4)
    assert trees["A-017"]["Remarks"].choice == "=1+1"


def backwards(path: Path) -> Path:
    """The list on the third sheet, its columns from the last to the first, genus and kind apart, places in degrees."""
    return workbook(path, {
        "Read me": [["An invented list. Sizes are in metric units."]],
        "Codes": [["Code", "Tree"], ["QURO", "Quercus robur"], ["TICO", "Tilia cordata"]],
        "List": [["Remarks", "Long", "Lat", "Girth at 1.3 m (cm)", "Height (m)", "Species", "Genus", "Surveyed", "Tag"],
                 ["", -122.3101, 47.4501, 188.5, 19, "sylvatica", "Fagus", "2015-06-14", "T7"],
                 ["by wall", -122.3098, 47.4502, 94.2, 12.5, "pendula", "Betula", "2015-06-14", "T8"],
                 ["", -122.3095, 47.4503, 62.8, 8.2, "avium", "Prunus", "2015-06-14", "T9"]]})


def test_a_list_may_stand_backwards_on_a_later_sheet(book: Fieldbook, tmp_path: Path) -> None:
    saved = look(book, backwards(tmp_path / "list.xlsx"), HERE, save=True)
    assert (saved.sheet, saved.saved, saved.ready, saved.waiting) == ("List", True, 3, 0)
    trees = kept(book)
    assert [trees[label]["species"].choice for label in ("T7", "T8", "T9")] == [
        "Fagus sylvatica", "Betula pendula", "Prunus avium"]
    assert trees["T7"]["dbh"].value == pytest.approx(1885 / math.pi)
    east, north = {tree.label: (tree.east_m, tree.north_m) for tree in record(book).trees}["T8"]
    assert east is not None
    assert north is not None
    assert (east, north) == pytest.approx((15.1, 22.2), abs=0.1)


def sideways(path: Path) -> Path:
    """A column for each tree, the headers down the first one."""
    trees = [["Tree number", "Botanical name", "Girth (cm)", "Height (m)", "Year planted", "Survey date", "Bed"],
             ["T1", "Betula pendula", 94.2, 12.5, 1992, "2015-06-14", "West"],
             ["T2", "Fagus sylvatica", 188.5, 19, 1960, "2015-06-14", "West"],
             ["T3", "Prunus avum", 62.8, 8.2, 2001, "2015-06-14", "East"]]
    return workbook(path, {"Plan": list(zip(*trees, strict=True))})


def test_a_list_that_lies_on_its_side_is_set_upright_and_that_is_said(book: Fieldbook, tmp_path: Path) -> None:
    saved = look(book, sideways(tmp_path / "plan.xlsx"), HERE, save=True)
    assert any("turned" in told for told in saved.told)
    assert causes(saved) == {4: "species"}
    assert (saved.saved, saved.ready, saved.waiting) == (True, 2, 1)
    trees = kept(book)
    assert [(label, trees[label]["species"].choice, trees[label]["Bed"].choice) for label in trees] == [
        ("T1", "Betula pendula", "West"), ("T2", "Fagus sylvatica", "West")]
    again = look(book, saved.rejects_path or tmp_path, Told(), "1=yes", save=True)
    assert (again.saved, again.ready, kept(book)["T3"]["species"].choice) == (True, 1, "Prunus avium")


def test_a_day_that_nobody_has_said_is_asked_once_and_faults_no_row(book: Fieldbook, tmp_path: Path) -> None:
    listing = look(book, grouped(tmp_path / "park.xlsx"), HERE, save=True)
    assert [question.asks for question in listing.needed] == ["day"]
    assert (listing.saved, listing.ready, causes(listing)) == (False, 3, {10: "species", 11: "species"})


@pytest.mark.parametrize("make", [grouped, courtyard, all_texts, marked, backwards, sideways])
def test_nothing_is_kept_unasked_and_the_second_time_nothing_is_new(
        make: object, book: Fieldbook, tmp_path: Path) -> None:
    assert callable(make)
    file = make(tmp_path / f"list.{'csv' if make in (courtyard, marked) else 'xlsx'}")
    told = replace(HERE, day="2015-06-14", system="us", grounds={"Car park": "lawn"})
    look(book, file, told)
    assert book.properties() == ()
    first = look(book, file, told, save=True)
    assert first.saved
    before = len(record(book).readings)
    again = look(book, file, told, save=True)
    assert (again.counts.new, again.counts.changed, again.counts.known) == (0, 0, first.ready)
    assert len(record(book).readings) == before
