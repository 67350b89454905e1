"""Whose list it is, and at which tree or place a laboratory's samples were taken; all invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.lists.listing import Given, Listing
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.records.observe import PropertyRecord
from tests.fieldbook.sheets import open_book

TREES = """Tag,Species,DBH (in),Area,Date
101,Acer rubrum,9,Pool area,2015-06-13
104,Acer rubrum,8,Pool area,2015-06-13
T-109,Acer rubrum,7,Back lot,2015-06-13
"""
HERE = Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn", system="us")
SAID = Told(property_name="Kiln Lane")
DOWN = """Lab No,Field ID,Sample date,Depth,pH (1:1 water),Soluble salts 1:2,CEC,K (Mehlich 3)
,,,in,,mmhos/cm,meq/100g,ppm
H1,101,5/14/2015,0-6,6.4,0.2,9,120
H2,Tree 104,5/14/2015,6-12,6.1,0.3,9,88
H3,Pool bed,5/14/2015,0-6,6.6,0.3,9,95
,Optimum low,,,6.0,,,90
,Optimum high,,,7.0,,,150
,Method detection limit,,,0.1,,,1
"""
ACROSS = """Soil report;;;;
Analyte;Unit;Tree 101;Tree 104
Depth;inches;0-8;0-8
pH in CaCl2;;5.9;7.1
Olsen P;mg/kg;8;21
Sand;%;52;48
"""
LEAF = "Sample,Tree,Date sampled,N %,P %,K %\nL1,101,7/18/2015,2.05,0.16,0.9\nL2,999,7/18/2015,1.6,0.11,0.5\n"


def look(book: Fieldbook, file: Path, text: str, told: Told, *mends: tuple[str, str], save: bool = False) -> Listing:
    file.write_text(text, encoding="utf-8")
    return book.import_list(file, Given(told, mends, None, save))


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    found = open_book(tmp_path / "f.sqlite")
    assert look(found, tmp_path / "trees.csv", TREES, HERE, save=True).saved
    return found


def held(book: Fieldbook) -> PropertyRecord:
    return book.record(book.properties()[0].id)


def owners(book: Fieldbook) -> dict[str, str]:
    record = held(book)
    named = {each.id: each.label for each in record.trees} | {each.id: each.name for each in record.places}
    return {sample.label: named[sample.tree_id or sample.place_id or ""] for sample in record.samples}


def test_samples_named_after_trees_become_theirs_and_it_is_said(book: Fieldbook, tmp_path: Path) -> None:
    listing = look(book, tmp_path / "down.csv", DOWN, SAID)
    column, = (each for each in listing.columns if each.header == "Field ID")
    assert (column.ours, column.standing) == ("name of the sample, and its tree", "proposed")
    assert "2 of 3 are names of trees of Kiln Lane" in column.why
    assert listing.needed == ()
    group, = listing.groups
    assert (group.cause, group.column, group.rows, [each.word for each in group.answers]) == (
        "owner", "Field ID", (5,), ["Pool area"])
    look(book, tmp_path / "down.csv", DOWN, Told(), ("1", "Back lot"), save=True)
    assert owners(book) == {"101": "101", "Tree 104": "104", "Pool bed": "Back lot"}
    assert {place.name for place in held(book).places} == {"Pool area", "Back lot"}


def test_the_sheets_own_ranges_are_no_samples(book: Fieldbook, tmp_path: Path) -> None:
    listing = look(book, tmp_path / "down.csv", DOWN, SAID)
    assert [each.row for each in listing.left_out] == [6, 7, 8]


def test_a_depth_takes_the_unit_of_the_row_or_the_column_of_units(book: Fieldbook, tmp_path: Path) -> None:
    look(book, tmp_path / "down.csv", DOWN, SAID, save=True)
    look(book, tmp_path / "across.csv", ACROSS, Told(property_name="Kiln Lane", day="2015-05-14"), save=True)
    depths = {(sample.label, reading.depth_from_m, reading.depth_to_m)
              for sample in held(book).samples for reading in held(book).of(sample.id) if reading.kind == "soil_ph"}
    assert depths == {("101", 0.0, 0.1524), ("Tree 104", 0.1524, 0.3048), ("Tree 101", 0.0, 0.2032),
                      ("Tree 104", 0.0, 0.2032)}


def test_names_of_samples_may_be_said_to_be_only_that(book: Fieldbook, tmp_path: Path) -> None:
    told = Told(property_name="Kiln Lane", columns={"Field ID": "sample"}, place="Back lot")
    listing = look(book, tmp_path / "down.csv", DOWN, told, save=True)
    assert next(each.ours for each in listing.columns if each.header == "Field ID") == "name of the sample"
    assert set(owners(book).values()) == {"Back lot"}


def test_a_column_said_to_be_the_tree_is_it(book: Fieldbook, tmp_path: Path) -> None:
    told = Told(property_name="Kiln Lane", columns={"Field ID": "tree"})
    look(book, tmp_path / "down.csv", DOWN, told, save=True)
    assert owners(book) == {"H1": "101", "H2": "104"}


def test_a_sample_of_an_unknown_tree_names_its_column_and_can_be_mended(book: Fieldbook, tmp_path: Path) -> None:
    listing = look(book, tmp_path / "leaf.csv", LEAF, SAID)
    group, = listing.groups
    assert (group.column, group.rows, group.values) == ("Tree", (3,), ("999",))
    assert "one of 3 trees" in group.right
    assert listing.needed == ()
    look(book, tmp_path / "leaf.csv", LEAF, Told(), ("1", "T-109"), save=True)
    assert owners(book) == {"L1": "101", "L2": "T-109"}


def test_whose_list_it_is_is_always_said_and_asked_once(book: Fieldbook, tmp_path: Path) -> None:
    other = TREES.replace("Pool area", "Quay").replace("Back lot", "Quay")
    unsaid = look(book, tmp_path / "other.csv", other, Told(ground="bed"), save=True)
    assert not unsaid.saved
    assert unsaid.belongs == "Property: Kiln Lane (3 trees there)."
    assert [question.answer for question in unsaid.needed] == ['"Kiln Lane"|"..."']
    new = look(book, tmp_path / "other.csv", other, Told(property_name="Quay", at="47.6,-122.3", system="us"))
    assert new.belongs == "Property: Quay, a new one."
    assert look(book, tmp_path / "other.csv", other, Told(), save=True).saved
    assert "Property: not said yet." in look(book, tmp_path / "third.csv", other, Told()).belongs


def test_the_station_of_the_weather_is_said_with_the_list_and_never_changed_by_it(
        book: Fieldbook, tmp_path: Path) -> None:
    assert look(book, tmp_path / "trees.csv", TREES, Told(station="City airport"), save=True).saved
    assert held(book).property.weather_station == "City airport"
    again = look(book, tmp_path / "trees.csv", TREES, Told(station="Harbour"), save=True)
    assert [each for each in again.told if "City airport, not Harbour" in each]
    assert held(book).property.weather_station == "City airport"
    new = Told(property_name="Quay", at="47.6,-122.3", system="us", ground="bed", station="Harbour")
    assert look(book, tmp_path / "quay.csv", TREES, new, save=True).saved
    assert {each.name: each.weather_station for each in book.properties()} == {
        "Kiln Lane": "City airport", "Quay": "Harbour"}


def test_a_lone_day_above_the_header_is_offered_and_not_taken(book: Fieldbook, tmp_path: Path) -> None:
    letter = f"Reported 05/22/2015\n{LEAF.replace('Date sampled', 'Remark').replace('7/18/2015', 'x')}"
    listing = look(book, tmp_path / "leaf.csv", letter, SAID, save=True)
    assert [question.answer for question in listing.needed] == ["2015-05-22"]
    of_leaves = Told(property_name="Kiln Lane", matrix="leaf")
    two = look(book, tmp_path / "two.csv", f"Received 05/20/2015\n{letter}", of_leaves)
    assert [question.answer for question in two.needed] == ["2024-05-03"]


def test_every_column_says_by_which_method_it_was_read(book: Fieldbook, tmp_path: Path) -> None:
    listing = look(book, tmp_path / "down.csv", DOWN, SAID)
    assert {each.header: each.ours for each in listing.columns if each.kind and each.kind.required} == {
        "pH (1:1 water)": "Soil pH (water 1:1)", "K (Mehlich 3)": "Potassium, extractable (Mehlich 3), ppm",
        "Soluble salts 1:2": "Salinity of the saturation extract (ECe) (1:2)",
        "CEC": "Cation exchange capacity (method not said), meq/100 g"}


@pytest.mark.parametrize(("word", "written_si"), [("3.5", 3.5), ("uS/cm", 0.35), ("mS/m", 3.5), ("ppm", 350 / 640)])
def test_a_salinity_no_soil_has_offers_every_unit_it_may_be_in(
        word: str, written_si: float, book: Fieldbook, tmp_path: Path) -> None:
    text = DOWN.replace("6.4,0.2", "6.4,350").replace("Pool bed", "T-109")
    group, = look(book, tmp_path / "down.csv", text, SAID).groups
    assert [answer.word for answer in group.answers] == ["3.5", "uS/cm", "mS/m", "ppm", "leave"]
    assert look(book, tmp_path / "down.csv", text, Told(), ("1", word), save=True).waiting == 0
    sample = next(each for each in held(book).samples if each.label == "101")
    value, = (reading.value for reading in held(book).of(sample.id) if reading.kind == "ece")
    assert value == pytest.approx(written_si, rel=1e-6)


@pytest.mark.parametrize(("title", "why"), [
    ("walked in spring; DBH in centimetres unless said", "a line above says so"),
    ("DBH in inches, later DBH in cm", "US units, as the property has"),
    ("walked in 2014", "US units, as the property has")])
def test_a_title_may_say_the_unit_of_a_column(title: str, why: str, book: Fieldbook, tmp_path: Path) -> None:
    text = f'"{title}",,,,\n{TREES.replace("DBH (in)", "DBH")}'
    listing = look(book, tmp_path / "titled.csv", text, SAID)
    assert [each.why for each in listing.columns if each.header == "DBH"] == [why]
