"""A laboratory's sheet as it comes, through the same door as a list of trees; nobody's real samples."""

from __future__ import annotations

from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.lists.listing import Given, Listing
from rootcase.fieldbook.intake.lists.told import Told
from rootcase.records.observe import Reading
from tests.fieldbook.sheets import open_book

HERE = Told(property_name="Kiln Lane", at="47.45,-122.31", ground="lawn", system="us", day="2015-11-04")

SOIL = """Soil report 88 of an invented laboratory
Sample ID;Date sampled;Depth (in);pH (1:1 water);P (Mehlich 3) ppm;K (Mehlich 3) ppm;OM % (LOI);NO3 ppm;Remark
North lawn;11/14/2015;0-6;6,2;12 L;140 (H);3,4;22;wet
South lawn;11/14/2015;0-6;7,1;<5;96;ND;8;
North lawn;11/14/2015;6-12;6,0;7;100;2,1;5;
"""
STANDING = """Leaf tissue report of an invented laboratory
Sample ID:;Oak 14
Date sampled:;14 Nov 2015

Analyte;Result;Unit;Rating
N;2.1;%;Sufficient
Fe;88;ppm;
P;0.15;%;Low
"""
MIXED = """Sample;Sample type;pH (1:1 water);N %
A;soil;6.1;0.2
B;soil;6.4;0.15
C;leaf;;2.2
"""


def look(book: Fieldbook, file: Path, text: str, told: Told, *mends: str, save: bool = False) -> Listing:
    file.write_text(text, encoding="utf-8")
    pairs = tuple((one, word) for one, _, word in (mend.partition("=") for mend in mends))
    return book.import_list(file, Given(told, pairs, None, save))


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    return open_book(tmp_path / "f.sqlite")


def kept(book: Fieldbook) -> dict[str, list[Reading]]:
    record = book.record(book.properties()[0].id)
    return {sample.label: list(record.of(sample.id)) for sample in record.samples}


def one(readings: list[Reading], kind: str, top_m: float) -> Reading:
    found, = (reading for reading in readings if reading.kind == kind and reading.depth_from_m == top_m)
    return found


def test_samples_down_the_rows_arrive_with_method_depth_and_rating(book: Fieldbook, tmp_path: Path) -> None:
    listing = look(book, tmp_path / "soil.csv", SOIL, HERE)
    assert listing.thing == "sample"
    asked, = (each for each in listing.columns if each.standing == "asked")
    assert asked.options == ("NO3 ppm (as N)", "NO3 ppm (as NO3)")
    assert [(group.cause, group.rows) for group in listing.groups] == [("not_detected", (4,))]
    told = Told(columns={"NO3 ppm": "NO3 ppm (as NO3)"})
    saved = look(book, tmp_path / "soil.csv", SOIL, told, "1=<0.5 %", save=True)
    assert (saved.saved, saved.ready, saved.waiting) == (True, 3, 0)
    north, south = kept(book)["North lawn"], kept(book)["South lawn"]
    assert one(north, "phosphorus", 0.0).value == pytest.approx(12)
    assert dict(one(north, "phosphorus", 0.0).attributes) == {"extractant": "mehlich_3"}
    assert {reading.choice for reading in north if reading.kind == "P (Mehlich 3) ppm (rating)"} == {"L"}
    assert one(north, "soil_ph", 0.1524).value == pytest.approx(6.0)
    assert {reading.typed for reading in north if reading.kind == "sample_depth_bottom"} == {"6 in", "12 in"}
    assert (one(south, "phosphorus", 0.0).sign, one(south, "organic_matter", 0.0).sign) == ("<", "<")
    assert one(north, "nitrate_n", 0.0).value == pytest.approx(22 * 14.007 / 62.004, rel=1e-4)


def test_a_report_whose_analytes_stand_down_the_rows_is_of_leaves_as_its_title_says(
        book: Fieldbook, tmp_path: Path) -> None:
    saved = look(book, tmp_path / "report.csv", STANDING, HERE, save=True)
    assert saved.saved
    found = {reading.kind: reading.value for reading in kept(book)["Oak 14"]}
    assert found["leaf_n"] == pytest.approx(0.021)
    assert found["leaf_fe"] == pytest.approx(88)
    assert found["leaf_p"] == pytest.approx(0.0015)


def test_leaves_among_soil_wait_and_come_in_by_themselves(book: Fieldbook, tmp_path: Path) -> None:
    saved = look(book, tmp_path / "mixed.csv", MIXED, HERE, save=True)
    assert [(group.cause, group.rows) for group in saved.groups] == [("matrix", (4,))]
    assert saved.rejects_path is not None
    again = book.import_list(saved.rejects_path, Given(Told(), save=True))
    assert (again.saved, again.ready, again.waiting) == (True, 1, 0)
    found = {reading.kind: reading.value for reading in kept(book)["C"]}
    assert found["leaf_n"] == pytest.approx(0.022)
    assert {reading.kind for reading in kept(book)["A"]} >= {"soil_ph", "total_nitrogen"}


def test_soil_or_leaf_is_asked_where_no_word_says_it(book: Fieldbook, tmp_path: Path) -> None:
    text = "Sample;Fe ppm;Mn ppm\nA;80;40\n"
    asked = look(book, tmp_path / "one.csv", text, HERE, save=True)
    assert [question.asks for question in asked.needed] == ["matrix"]
    assert look(book, tmp_path / "one.csv", text, Told(matrix="leaf"), save=True).saved
    assert {reading.kind for reading in kept(book)["A"]} == {"leaf_fe", "leaf_mn"}
