"""Lists drawn cell by cell, and mapping files: never a traceback, never a row lost, and what was told comes back."""

from __future__ import annotations

import csv
import tempfile
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from rootcase.fieldbook.intake.lists.listing import Given, is_list
from rootcase.fieldbook.intake.lists.told import DEEDS, Mend, Told, read_told, write_told
from rootcase.ground.errors import RootcaseError
from rootcase.report.terminal import listing_text
from tests.fieldbook.sheets import open_book

HEADERS = st.sampled_from("""
Tag|ID|Tree|Species|Botanical name|Genus|DBH|DBH (in)|Girth cm|Caliper|Ht|Height (m)|Crown NS|Crown EW|Dieback %
Planted|Year|Date|Site|Street|Ground type|Lat|Long|GPS|Condition|Notes||pH (1:1 water)|P ppm|NO3|OM %|Sample ID
Depth|Sample type|dbh|species|what is wrong|repeat|place|visit|stem 1|Stock kind|Höhe
""".strip().replace("\n", "|").split("|"))
CELLS = st.one_of(
    st.sampled_from("""
||1|12|12,5|1,250|1.250,5|10-15|<5|~12|?|n/a|-|12, 8, 6|35 cm|14 in|5'6"|red oak|Quercus rubra|Quercus pallustris|oak
3-Apr|42157|1/2/2015|13.2.2015|2015-06-01|June 2015|2062|Total|Average|lawn|grass|47.45|-122.31|47.45, -122.31|47°|99999
-5|0|ND|6.2 H|0-6 in|soil|leaf|not read|none seen|1e30|½|=1+1|\u00a0|12 \u2013 15
""".strip("\n").replace("\n", "|").split("|")),
    st.text(max_size=12), st.integers(-10**6, 10**6).map(str), st.floats(allow_nan=True).map(str))
ROWS = st.integers(1, 9).flatmap(lambda width: st.tuples(
    st.lists(HEADERS, min_size=width, max_size=width),
    st.lists(st.lists(CELLS, min_size=width, max_size=width), max_size=8)))
ANSWERED = Told(property_name="Kiln Lane", at="47.45,-122.31", system="us", ground="lawn", day="2015-06-14",
                matrix="soil")


@pytest.mark.property
@given(ROWS)
@example((["Tag", "what is wrong"], [["", "1"]]))
def test_any_list_is_read_and_known_again_or_refused_in_one_line(made: tuple[list[str], list[list[str]]]) -> None:
    header, rows = made
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "list.csv"
        with file.open("w", encoding="utf-8", errors="replace", newline="") as target:
            csv.writer(target, delimiter=";").writerows([header, *rows])
        refused = ""
        try:
            with open_book(Path(folder) / "f.sqlite") as book:
                if not is_list(file):
                    return
                listing = book.import_list(file, Given(ANSWERED, save=True))
                again = book.import_list(file, Given(Told(), save=True))
        except RootcaseError as error:
            refused = str(error)
        assert "\n" not in refused
        if refused:
            return
        assert listing.saved == (listing.ready > 0)
        assert listing_text(listing, file)
        left = {each.row for each in listing.left_out}
        waiting = {row for group in listing.groups for row in group.rows}
        assert len(waiting) == listing.waiting
        assert not waiting & left
        assert (again.ready, again.waiting) == (listing.ready, listing.waiting)
        assert (again.counts.new, again.counts.changed) == (0, 0)


TEXTS = st.text(max_size=20)
NAMED = st.dictionaries(TEXTS, TEXTS, max_size=3)
MENDS = st.builds(Mend, TEXTS, st.lists(TEXTS, min_size=1, max_size=3).map(tuple), st.sampled_from(DEEDS), TEXTS)


@pytest.mark.property
@settings(max_examples=200)
@given(st.builds(
    Told, sheet=TEXTS, header_row=st.one_of(st.none(), st.integers(1, 99)), matrix=TEXTS, property_name=TEXTS, at=TEXTS,
    system=TEXTS, place=TEXTS, ground=TEXTS, grounds=NAMED, day=TEXTS, columns=NAMED,
    days=st.dictionaries(TEXTS, st.sampled_from(["day-first", "month-first"]), max_size=2),
    commas=st.dictionaries(TEXTS, st.sampled_from(["decimal", "thousands"]), max_size=2),
    mends=st.lists(MENDS, max_size=3).map(tuple)))
def test_what_was_told_comes_back_from_its_file(told: Told) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "list-mapping.toml"
        write_told(path, told, [], "list.csv")
        assert read_told(path) == told


@pytest.mark.parametrize(("text", "where"), [
    ("[columns]\nDia = 4", 'columns."Dia"'), ("[list]\nheader_row = \"four\"", "list.header_row"),
    ("[propety]\nname = \"x\"", "propety"), ("[property]\nnmae = \"x\"", "property.nmae"),
    ("columns = 3", "columns"), ("[days]\nDate = \"european\"", 'days."Date"'), ("[[mends]]\ncolumn = \"x\"", "mend 1"),
    ("[[mends]]\ncolumn = \"x\"\nvalues = [\"1\"]\ndo = \"mend\"", "mend 1, do"),
    ("[[mends]]\ncolumn = \"x\"\nvalues = [1]\ndo = \"keep\"", "mend 1, values"), ("mends = 3", "mends"),
    ("[columns]\n\"Dia = 3", "list-mapping.toml"), ("a = " + "[" * 5000, "list-mapping.toml"),
    ("[list]\nheader_row = " + "9" * 5000, "list-mapping.toml")])
def test_a_slip_in_the_mapping_file_is_one_line_that_names_the_key(text: str, where: str, tmp_path: Path) -> None:
    path = tmp_path / "list-mapping.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(RootcaseError, match=r"^list-mapping\.toml") as refused:
        read_told(path)
    assert where in str(refused.value)
    assert "\n" not in str(refused.value)
