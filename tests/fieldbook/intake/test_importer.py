"""The field sheet in: good rows kept, bad ones named and mended, the same sheet twice changing nothing."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.grid import read_pages
from rootcase.fieldbook.intake.importer import ImportResult
from rootcase.ground.errors import FileError
from rootcase.records.observe import PropertyRecord
from tests.fieldbook.sheets import PROPERTY, SHEET, changed, open_book, write_sheet

DEMO = Path(__file__).parents[3] / "src" / "rootcase" / "services" / "demo" / "alder-bank"


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    return open_book(tmp_path / "book" / "fieldbook.sqlite")


def taken(book: Fieldbook, folder: Path, pages: dict[str, list[list[str]]]) -> tuple[ImportResult, PropertyRecord]:
    result = book.import_sheet(write_sheet(folder, pages))
    return result, book.record(result.property_id)


def bare(record: PropertyRecord) -> list[str]:
    """What a record says, whatever row it came from."""
    return sorted(str((r.kind, r.of, r.value, r.choice, r.series, r.visit_id)) for r in record.readings)


def test_the_sheet_becomes_the_record(book: Fieldbook, tmp_path: Path) -> None:
    result, record = taken(book, tmp_path / "in", dict(SHEET))
    assert result.faults == ()
    assert record.property.elevation_m == pytest.approx(131.064)
    assert {t.label: t.east_m for t in record.trees} == {"oak 1": pytest.approx(3.048), "oak 4": pytest.approx(30.48)}
    oak_1, oak_4 = record.trees
    assert record.yardsticks[0].tree_ids == (oak_1.id,)
    assert record.compared_with == {oak_4.id: record.yardsticks[0].id}
    pit, = record.pits_of(oak_4.id)
    assert [(r.series, r.typed, r.value) for r in record.of(pit.id, kind="probe_depth")] == [
        ("1", "3 in", pytest.approx(76.2)), ("2", "4 1/2 in", pytest.approx(114.3)), ("3", "2 in", pytest.approx(50.8))]
    dbh, = record.of(oak_4.id, kind="dbh")
    assert (dbh.observer, dbh.source) == ("reader 1", "trees.csv, row 4")


def test_the_same_sheet_twice_changes_nothing(book: Fieldbook, tmp_path: Path) -> None:
    first, record = taken(book, tmp_path / "in", dict(SHEET))
    second, again = taken(book, tmp_path / "elsewhere", dict(SHEET))
    assert (second.new, second.corrected, second.same) == (0, 0, first.new)
    assert again == record


def test_two_fieldbooks_give_the_same_ids(tmp_path: Path) -> None:
    records = [taken(open_book(tmp_path / name / "f.sqlite"), tmp_path / name, dict(SHEET))[1] for name in ("a", "b")]
    assert records[0] == records[1]


def test_a_changed_cell_corrects_and_changing_it_back_corrects_again(book: Fieldbook, tmp_path: Path) -> None:
    _, before = taken(book, tmp_path / "in", dict(SHEET))
    result, after = taken(book, tmp_path / "in", changed("trees", 2, "dbh", "18"))
    assert (result.new, result.corrected) == (0, 1)
    old, = before.of(before.trees[0].id, kind="dbh")
    new, = after.of(after.trees[0].id, kind="dbh")
    assert (new.typed, new.supersedes, new.doubts) == ("18 in", old.id, ())
    result, back = taken(book, tmp_path / "in", dict(SHEET))
    assert (result.new, result.corrected) == (0, 1)
    assert back.of(back.trees[0].id, kind="dbh")[0].value == old.value


def test_a_moved_tree_and_a_later_visit_are_corrected_too(book: Fieldbook, tmp_path: Path) -> None:
    taken(book, tmp_path / "in", dict(SHEET))
    result, record = taken(book, tmp_path / "in", changed("trees", 2, "east", "11"))
    assert (result.corrected, record.trees[0].east_m) == (1, pytest.approx(3.3528))
    result, record = taken(book, tmp_path / "in", changed("visits", 1, "date", "6 Nov 2015"))
    assert {reading.day.day for reading in record.readings} == {6}


def test_what_somebody_put_right_by_hand_is_not_turned_back_by_the_old_sheet(book: Fieldbook, tmp_path: Path) -> None:
    _, record = taken(book, tmp_path / "in", dict(SHEET))
    dbh, = record.of(record.trees[0].id, kind="dbh")
    newer = book.correct(dbh.id, "19", "girth face of the tape")
    result, after = taken(book, tmp_path / "in", dict(SHEET))
    assert (result.new, result.corrected) == (0, 0)
    one, = after.of(after.trees[0].id, kind="dbh")
    assert (one.id, one.typed) == (newer, "19 in")
    result, after = taken(book, tmp_path / "in", changed("trees", 2, "dbh", "21"))
    assert after.of(after.trees[0].id, kind="dbh")[0].supersedes == newer


BAD = [  # page, row, column, what is typed, what is said
    ("trees", 2, "dbh", "450", "450 in is not possible"),
    ("trees", 3, "dbh", "10-15", "a range is not taken"),
    ("trees", 2, "place", "meadow", "there is no place of this name"),
    ("trees", 2, "visit", "spring", "there is no visit of this name"),
    ("trees", 2, "tree", "", "the tree has no name"),
    ("trees", 2, "east", "far", "this is not a value"),
    ("trees", 3, "yardstick", "Wood oaks", "cannot be compared with the group it belongs to"),
    ("pits", 3, "probe_stop", "rubber", "one of: hard, stone, root"),
    ("pits", 3, "probe_depth", "-5", "not possible"),
    ("pits", 2, "tree", "oak 9", "there is no tree of this name"),
    ("places", 1, "place_kind", "meadow", "none of its choices"),
    ("visits", 1, "date", "11/4/2015", "this date can be 4 November 2015|can be"),
    ("visits", 1, "date", "2016-02-01", "lies in the future"),
]


@pytest.mark.parametrize(("page", "row", "column", "typed", "said"), BAD, ids=str)
def test_a_bad_cell_is_named_set_aside_mended_and_taken_in(book: Fieldbook, tmp_path: Path, page: str, row: int,
                                                           column: str, typed: str, said: str) -> None:
    result, partly = taken(book, tmp_path / "in", changed(page, row, column, typed))
    first = result.faults[0]
    assert (first.sheet, first.row) == (page, row + 1)
    assert first.line.startswith(f"{page}, row {row + 1}")
    assert "\n" not in first.line
    assert re.search(said, first.line)
    assert result.rejects_path == tmp_path / "in-rejects"
    good = SHEET[page][row][SHEET[page][0].index(column)]
    with (result.rejects_path / f"{page}.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    fault = next(line for line in rows if line[rows[0].index(column)] == typed and line[0] != "units")
    assert said.split("|")[0] in fault[1]
    fault[rows[0].index(column)] = good
    with (result.rejects_path / f"{page}.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    mended = book.import_sheet(result.rejects_path)
    assert mended.faults == ()
    assert mended.corrected == 0
    assert mended.rejects_path is None
    whole = open_book(tmp_path / "whole.sqlite")
    _, expected = taken(whole, tmp_path / "whole", dict(SHEET))
    assert bare(book.record(mended.property_id)) == bare(expected)
    assert len(partly.readings) < len(expected.readings)


def test_a_bad_cell_leaves_the_rest_of_its_row(book: Fieldbook, tmp_path: Path) -> None:
    result, record = taken(book, tmp_path / "in", changed("trees", 2, "dbh", "450"))
    assert [r.kind for r in record.of(record.trees[0].id)] == ["species"]
    assert len(result.faults) == 1


def test_a_workbook_goes_the_same_way_and_its_rejects_are_a_workbook(book: Fieldbook, tmp_path: Path) -> None:
    pages = changed("pits", 3, "probe_depth", "900")
    with xlsxwriter.Workbook(str(tmp_path / "field.xlsx")) as workbook:
        for name, rows in pages.items():
            sheet = workbook.add_worksheet(name.capitalize())
            for at, row in enumerate(rows):
                sheet.write_row(at, 0, row)
    result = book.import_sheet(tmp_path / "field.xlsx")
    assert [(f.sheet, f.row, f.column) for f in result.faults] == [("Pits", 4, "probe_depth")]
    assert result.rejects_path == tmp_path / "field-rejects.xlsx"
    rejected = {page.name: page for page in read_pages(result.rejects_path)}
    assert set(rejected) == {"property", "Pits"}
    row, = rejected["Pits"].rows
    assert dict(zip(rejected["Pits"].header, (c.text for c in row.cells), strict=True))["repeat"] == "2"
    again = book.import_sheet(result.rejects_path)
    assert (again.new, again.corrected, len(again.faults)) == (0, 0, 1)
    assert again.rejects_path == tmp_path / "field-rejects-rejects.xlsx"


def test_a_column_of_ones_own_is_kept_as_text_and_listed(book: Fieldbook, tmp_path: Path) -> None:
    pages = {**SHEET, "trees": [[*line, extra] for line, extra in
                                zip(SHEET["trees"], ("nest box", "", "owl", ""), strict=True)]}
    result, record = taken(book, tmp_path / "in", pages)
    assert result.unknown_columns == ("trees: nest box",)
    assert [(r.choice, r.of) for r in record.readings if r.kind == "nest box"] == [("owl", record.trees[0].id)]


def test_a_page_that_is_none_of_ours_is_named(book: Fieldbook, tmp_path: Path) -> None:
    result, _ = taken(book, tmp_path / "in", {**SHEET, "shopping": [["milk"], ["2"]]})
    assert result.unknown_pages == ("shopping",)


def test_shoots_covers_samples_outlines_and_the_general_page(book: Fieldbook, tmp_path: Path) -> None:
    more = {
        "shoots": [["tree", "visit", "shoot_position", "shoot", "2015", "2014"], ["units", "", "", "", "in", "in"],
                   ["oak 4", "autumn", "lower", "1", "2 1/2", "not read"], ["oak 4", "autumn", "", "2", "3", ""]],
        "covers": [["tree", "visit", "ring", "turf", "mulch"], ["units", "", "", "%", "%"],
                   ["oak 4", "autumn", "half crown", "78", "20"], ["oak 4", "autumn", "dripline", "50", "20"]],
        "samples": [["sample", "place", "visit", "sample_depth_top", "sample_depth_bottom", "ece", "extract",
                     "organic_matter"],
                    ["soil", "lawn", "autumn", "0", "6", "0.6", "paste", "2.3"]],
        "outlines": [["place", "kind", "corner", "east", "north"], ["units", "", "", "m", "m"],
                     ["lawn", "lawn", "2", "10", "0"], ["lawn", "lawn", "1", "0", "0"],
                     ["lawn", "lawn", "3", "10", "9"],
                     ["school", "building", "1", "0", "0"], ["school", "building", "2", "1", "0"]],
        "readings": [["visit", "of", "name", "kind", "value", "unit", "note"],
                     ["autumn", "tree", "oak 4", "Leaf blade length", "4 1/2", "in", "mean of 20"],
                     ["autumn", "place", "lawn", "dbh", "4", "in", ""]],
        "contacts": [["role", "name", "phone"], ["Owner", "A. Person", "555 0100"], ["aunt", "B. Person", ""]],
    }
    result, record = taken(book, tmp_path / "in", {**SHEET, **more})
    oak = record.trees[1].id
    shoots = record.of(oak, kind="shoot_length_by_year")
    assert [(r.series, r.growth_year, r.value, r.nothing, dict(r.attributes)) for r in shoots] == [
        ("1", 2015, 63.5, None, {"position": "lower"}), ("1", 2014, None, "not read", {"position": "lower"}),
        ("2", 2015, pytest.approx(76.2), None, {})]
    covers = {r.attributes["cover"]: r.value for r in record.of(oak, kind="cover_share_by_ring")}
    assert covers == {"turf": pytest.approx(78 / 98), "mulch": pytest.approx(20 / 98)}
    ece, = record.of(record.samples[0].id, kind="ece")
    assert (ece.attributes, ece.depth_from_m, ece.depth_to_m) == ({"extract": "paste"}, 0.0, pytest.approx(0.1524))
    organic, = record.of(record.samples[0].id, kind="organic_matter")
    assert organic.doubts == ("method not said, so it is not compared",)
    assert record.places[0].outline_m == ((0.0, 0.0), (10.0, 0.0), (10.0, 9.0))
    assert dict(record.of(oak, kind="leaf_length")[0].attributes) == {"note": "mean of 20"}
    assert [(f.sheet, f.row) for f in result.faults] == [
        ("outlines", 7), ("covers", 4), ("readings", 3), ("contacts", 3)]
    assert "70 %" in result.faults[1].line
    with (tmp_path / "in-rejects" / "outlines.csv").open(encoding="utf-8-sig", newline="") as file:
        assert [line[1] for line in csv.reader(file)][2:] == ["waits for the other corners",
                                                              result.faults[0].note]  # both corners, with what is wrong
    assert [(c.role, c.name) for c in book.contacts(record.property.id)] == [("owner", "A. Person")]


def test_readings_that_do_not_go_together_are_taken_and_doubted(book: Fieldbook, tmp_path: Path) -> None:
    pages = {
        **SHEET,
        "visits": [["visit", "date", "observer", "rod_length"], ["units", "", "", "in"],
                   ["autumn", "2015-11-05", "reader 1", "40"]],
        "trees": [["tree", "place", "visit", "dbh", "tree_height"], ["units", "", "", "in", "ft"],
                  ["oak 1", "wood", "autumn", "44", "18"], ["oak 4", "lawn", "autumn", "14", "40"]],
        "pits": [["pit", "tree", "visit", "probe_depth"], ["p", "oak 4", "autumn", "41 in"],
                 ["p", "oak 4", "autumn", "40 in"]],
        "samples": [["sample", "place", "visit", "sand", "silt", "clay"], ["a", "lawn", "autumn", "40", "40", "30"],
                    ["b", "lawn", "autumn", "40", "39", "20"]]}
    result, record = taken(book, tmp_path / "in", pages)
    assert result.faults == ()
    doubted = {(r.kind, r.typed): r.doubts for r in record.readings if any("go together" in d for d in r.doubts)}
    assert set(doubted) == {("dbh", "44 in"), ("tree_height", "18 ft"), ("probe_depth", "41 in"),
                            ("rod_length", "40 in"), ("sand", "40 %"), ("silt", "40 %"), ("clay", "30 %")}
    assert doubted["dbh", "44 in"][-1] == (
        "these do not go together: Height 18 ft, Trunk diameter (DBH) 44 in; height over diameter is 4.91, usual is "
        "15 to 120")


def test_a_bottom_above_its_top_is_refused_wherever_depths_are_typed(book: Fieldbook, tmp_path: Path) -> None:
    pages = {
        **SHEET,
        "pits": [["pit", "tree", "visit", "depth_from", "depth_to", "bulk_density"],
                 ["p", "oak 4", "autumn", "6", "3", "1.5"], ["p", "oak 4", "autumn", "3", "15 cm", "1.5"]],
        "samples": [["sample", "tree", "visit", "sample_depth_top", "sample_depth_bottom", "clay"],
                    ["a", "oak 4", "autumn", "6", "6", "20"]],
        "readings": [["visit", "of", "name", "kind", "value", "depth_from", "depth_to"],
                     ["autumn", "pit", "p", "soil_temperature", "50", "6", "0"]]}
    result, record = taken(book, tmp_path / "in", pages)
    assert [(f.sheet, f.row, f.what) for f in result.faults] == [
        (page, 2, "the bottom is not deeper than the top") for page in ("pits", "samples", "readings")]
    density, = record.of(record.pits[0].id, kind="bulk_density")
    assert (density.depth_from_m, density.depth_to_m, density.series) == (pytest.approx(0.0762), 0.15, "2")


def test_a_sheet_without_a_property_goes_to_the_only_one_or_asks(book: Fieldbook, tmp_path: Path) -> None:
    pits = {name: rows for name, rows in SHEET.items() if name == "pits"}
    with pytest.raises(FileError, match="does not say which property"):
        book.import_sheet(write_sheet(tmp_path / "pits", pits))
    first, _ = taken(book, tmp_path / "in", dict(SHEET))
    assert book.import_sheet(tmp_path / "pits" / "pits.csv").same > 0
    other = [["name", "Elm Row"] if row[0] == "name" else row for row in PROPERTY]
    second, _ = taken(book, tmp_path / "other", {"property": other})
    with pytest.raises(FileError, match="does not say which property"):
        book.import_sheet(tmp_path / "pits")
    assert book.import_sheet(tmp_path / "pits", property_id=first.property_id).faults == ()
    assert [p.name for p in book.properties()] == ["Alder Bank", "Elm Row"]
    assert second.property_id != first.property_id


@pytest.mark.parametrize(("key", "typed", "said"), [
    ("latitude", "95", "not possible"), ("longitude", "", "lacks longitude"),
    ("elevation", "high", "not a value"), ("time_zone", "Moon/Base", "not a time zone"),
    ("currency", "$", "not a currency"), ("system", "imperial", "one of: us, metric"),
    ("invented", "maybe", "one of: yes, no")])
def test_a_property_without_its_facts_is_refused_whole(book: Fieldbook, tmp_path: Path, key: str, typed: str,
                                                       said: str) -> None:
    rows = [[key, typed] if row[0] == key else row for row in PROPERTY]
    with pytest.raises(FileError, match=said):
        book.import_sheet(write_sheet(tmp_path / "in", {**SHEET, "property": rows}))
    assert book.properties() == ()


def test_a_bare_visit_is_the_only_one_and_two_are_asked_about(book: Fieldbook, tmp_path: Path) -> None:
    result, record = taken(book, tmp_path / "in", changed("trees", 2, "visit", ""))
    assert (result.faults, record.of(record.trees[0].id)[0].day.day) == ((), 5)
    pages = {**changed("trees", 2, "visit", ""), "visits": [*SHEET["visits"], ["spring", "2015-05-01", "reader 1"]]}
    result, _ = taken(book, tmp_path / "two", pages)
    assert "it is not said at which visit" in result.faults[0].line


def test_the_demonstration_goes_in_without_a_fault(book: Fieldbook, tmp_path: Path) -> None:
    result = book.import_sheet(DEMO, rejects=tmp_path / "rejects")
    assert (result.faults, result.rejects_path, result.unknown_columns, result.unknown_pages) == ((), None, (), ())
    record = book.record(result.property_id)
    assert record.property.invented
    assert len(record.trees) == 8
    assert {len(record.place_of(tree).outline_m) >= 3 for tree in record.trees} == {True}
    assert book.price_book("USD").minimum_charge == 250
    again = book.import_sheet(DEMO, rejects=tmp_path / "rejects")
    assert (again.new, again.corrected, again.same) == (0, 0, result.new)


CELLS = st.sampled_from(["", "-", "17", "3 1/2", "10-15", "1,250", "abc", "<1", "not read", "9999", "-3", "5'6\"",
                         "12 cm", "oak 4", "2015-01-01", "=A1", "½", "1e40", "nan", "\u200b", "lawn", "NaN", "0", "٣"])


@pytest.mark.property
@settings(max_examples=25)
@given(st.lists(st.lists(CELLS, min_size=9, max_size=9), min_size=1, max_size=4), st.sampled_from(["trees", "pits"]))
def test_whatever_is_typed_is_taken_or_named_and_never_stops_the_rest(tmp_path_factory: pytest.TempPathFactory,
                                                                      rows: list[list[str]], page: str) -> None:
    folder = tmp_path_factory.mktemp("any")
    width = len(SHEET[page][0])
    pages = {**SHEET, page: [*SHEET[page], *(row[:width] for row in rows)]}
    with open_book(folder / "f.sqlite") as book:
        result, record = taken(book, folder / "in", pages)
        assert len(record.trees) >= 2
        assert all(fault.line for fault in result.faults)
        again = book.import_sheet(folder / "in")
        assert (again.new, again.corrected, again.faults) == (0, 0, result.faults)
