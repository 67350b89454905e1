"""A file is brought, looked at, mended in place, saved, brought again and taken back: all by plain forms."""

from __future__ import annotations

import csv
import html
import io
import re
import stat
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import openpyxl
import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.intake.foreign.limits import FILE_BYTES
from rootcase.ground.dates import show_date
from rootcase.services.bring import waiting_folder
from rootcase.services.told import tell_price
from rootcase.web.desk import OWN
from tests.fieldbook.intake.lists.strangers import HEADER, stranger
from tests.web.bringing import ABOUT, NOW, SMALL, Person, at_the_desk


@pytest.fixture
def person(tmp_path: Path) -> Iterator[Person]:
    with at_the_desk(tmp_path) as found:
        yield found


def as_csv(rows: list[list[object]]) -> bytes:
    text = io.StringIO(newline="")
    csv.writer(text).writerows([HEADER, *rows])
    return text.getvalue().encode()


def test_a_list_with_thirty_faults_from_the_file_to_the_trees(person: Person, long: bool) -> None:
    made = stranger(1, trees=200 if long else 60)
    good = len(made.rows) - 30
    person.bring("trees.csv", as_csv(made.rows))
    assert person.finding == f"{good} rows are ready, 30 need you. Nothing is saved yet."
    assert "Which property is it?" in person.page
    assert f"Save {good}" not in person.page
    assert person.desk.grounds(OWN) == {}
    person.send("about", **ABOUT)
    assert f"Save {good}, keep 30 for later" in person.page
    number, told = person.group("Trunk")
    assert told.endswith("Not usual in inches; in millimetres they are like the others. 871 mm is 34.3 in.")
    assert "All 3 are mm" in person.page
    person.send("mend", group=number, answer="mm")
    assert person.finding == f"{good + 3} rows are ready, 27 need you. Nothing is saved yet."
    assert "Kiln Lane" not in [each.name for each in person.desk.grounds(OWN).values()]
    person.send("save")
    assert f"Kiln Lane: {good + 3} rows are saved, 27 need you." in person.page
    ground, = person.desk.grounds(OWN).values()
    assert len(person.desk.book(OWN).record(ground.id).trees) == good + 3
    rows = list(csv.reader(io.StringIO(person.client.get(f"{person.address}/set-aside").content.decode("utf-8-sig"))))
    assert len(rows) == 28
    assert rows[0][:2] == ["Tag", "what is wrong"]
    assert all(row[1] for row in rows[1:])


def test_a_new_property_takes_the_only_currency_there_is_and_says_so(person: Person) -> None:
    person.bring("small.csv", SMALL)
    assert "What is the property reckoned in? Without a currency nothing there can be priced." in person.page
    person.send("about", **ABOUT)
    assert "Not said yet" in person.page
    assert "Save 1, keep 1 for later" in person.page
    person.send("about", currency="Dollar")
    assert (person.status, 'value="Dollar"' in person.page) == (422, True)
    person.send("about", currency="usd")
    assert "What is the property reckoned in?" not in person.page
    assert "It is reckoned in USD." in person.page
    person.send("save")
    assert [each.currency for each in person.desk.grounds(OWN).values()] == ["USD"]
    person.bring("other.csv", SMALL.replace("47.45", "47.46"))
    person.send("about", **{**ABOUT, "property_name": "Mill Lane"})
    assert 'name="currency" value="USD"' in person.page
    assert "The one that your prices and other properties use; another may be written." in person.page
    person.send("about", currency="CAD")
    person.send("save")
    assert sorted(each.currency for each in person.desk.grounds(OWN).values()) == ["CAD", "USD"]


def test_a_property_far_from_the_others_is_asked_about_and_who_brought_it_is_told(person: Person) -> None:
    person.bring("small.csv", SMALL)
    person.send("about", **ABOUT)
    person.send("save")
    with person.desk.book(OWN).store.reading() as look:
        assert {event.device for event in look.events()} == {"desk demo"}
    person.bring("other.csv", SMALL.replace("47.45", "-47.45"))
    person.send("about", **{**ABOUT, "property_name": "Mill Lane"})
    assert "from the nearest of your other properties; is it right?" in person.page
    person.send("save")
    assert len(person.desk.grounds(OWN)) == 2


def test_the_currency_of_the_price_book_is_taken_and_two_are_asked_about(person: Person) -> None:
    for currency in ("USD", "EUR"):
        assert not tell_price(person.desk.book(OWN), {"item": "visit", "amount": "100", "unit": "visit",
                                                      "currency": currency, "source": "our own reckoning"})
        person.bring(f"{currency}.csv", SMALL)
        person.send("about", **ABOUT)
        assert ("It is reckoned in USD." in person.page) == (currency == "USD")


def test_what_still_has_to_be_said_is_named_where_it_is_kept(person: Person) -> None:
    person.bring("small.csv", SMALL)
    person.send("about", **{**ABOUT, "ground": ""})
    save = person.page.partition('id="save"')[2]
    assert "Before anything can be kept, say:" in save
    assert '<a class="target" href="#ground">What is the ground of whole property?</a>' in save
    assert "On which day" not in save


@pytest.mark.parametrize(("system", "typed", "taken"), [
    ("us", "05/03/2015", "3 May 2015"), ("us", "May 3, 2015", "3 May 2015"), ("metric", "2015-05-03", "3 May 2015"),
    ("metric", "05/03/2015", "")])
def test_a_day_is_read_as_the_practice_writes_it_or_asked_about(person: Person, system: str, typed: str,
                                                                 taken: str) -> None:
    person.bring("small.csv", SMALL)
    person.send("about", **{**ABOUT, "system": system, "day": typed})
    assert person.status == (200 if taken else 422)
    assert ("this date can be 3 May 2015 or 5 March 2015" in person.page.lower().replace("may", "May").replace(
        "march", "March")) == (not taken)
    if taken:
        person.send("save")
        ground, = person.desk.grounds(OWN)
        assert [show_date(each.day) for each in person.desk.book(OWN).record(ground).visits] == [taken]


def test_trees_whose_kind_diameter_or_place_nobody_knows_are_counted_in_sight(person: Person) -> None:
    rows = ["Tag,Species,DBH (in),Area,Lat,Long", "T1,Linden littleleaf,10,Lawn,47.45,-122.31",
            "T2,???,11,Lawn,47.45,-122.311", "T3,🌳,,Lawn,47.45,-122.312", "T4,Quercus rubra,9,,47.45,-122.313",
            "T5,Foo barensis,9,Lawn,47.45,-122.314"]
    person.bring("odd.csv", "\n".join(rows))
    person.send("about", **ABOUT)
    assert person.group("Species")[1] == ('Row 2 (T1), Species: "Linden littleleaf". "Linden littleleaf" is not in our '
                                          "table of names. Tilia cordata?")
    assert ('Kind not known to our tables at 3 of the ready trees: T2 ("???"), T3 ("🌳"), T5 ("Foo barensis").'
            in person.page)
    assert "Trunk diameter not known at 1 of the ready trees: T3." in person.page
    assert 'Place not written at 1 of the ready trees, which go to "whole property": T4.' in person.page


def test_columns_are_offered_in_groups_and_a_count_that_is_none_is_refused(person: Person) -> None:
    person.bring("small.csv", SMALL)
    assert person.page.count('<optgroup label="Read at the tree">') == person.page.count('<select name="word.')
    person.send("about", **ABOUT, header_row="four")
    assert person.status == 422
    assert 'Row of the header: this is no whole number (got "four"); the number that the row has' in person.page
    assert 'value="four"' in person.page


def test_the_same_list_again_adds_nothing_and_shows_what_changed(person: Person) -> None:
    person.bring("small.csv", SMALL)
    person.send("about", **ABOUT)
    person.send("save")
    person.bring("Small.csv", SMALL.replace("rubra,40", "rubra,44"))
    assert "read the same way, with what was said then" in person.page
    assert person.finding == ("1 row is ready, 1 needs you. Nothing is saved yet. Of the ready ones 0 known, 0 new, "
                              "1 changed.")
    assert "Show what changes: 1" in person.page
    assert "<del>40 ft</del>" in person.page
    person.send("forget")
    assert "Is it a list of Kiln Lane?" in person.page


def test_rows_are_mended_one_by_one_and_what_is_refused_stands_beside_its_row(person: Person) -> None:
    person.bring("small.csv", SMALL.replace("1,Quercus rubra,40", "1,Quercus rubra,-4").replace("tall", "0"))
    person.send("about", **ABOUT)
    number, _ = person.group(r"Height \(ft\)")
    assert "Row by row" in person.page
    person.send("mend", group=number, each="each", value__1="forty", value__2="44")
    number, told = person.group(r"Height \(ft\)")
    assert told.startswith('Row 2 (1), Height (ft): "forty". The file says "-4". This is not a value.')
    person.send("mend", group=number, typed="40")
    number, told = person.group("Species")
    assert told == 'Row 3 (2), Species: "Acer rubrun". "Acer rubrun" is not in our table of names. Acer rubrum?'
    assert person.send("mend", group=number, answer="yes")
    assert "Save all 2" in person.page
    assert 'Species, "Acer rubrun": Acer rubrum' in person.page
    person.send("back", of="mends", which="2")
    assert "Save 1, keep 1 for later" in person.page
    person.send("mend", group=person.group("Species")[0], answer="yes")
    person.send("save")
    assert person.finding == "Kiln Lane: 2 rows are saved, 0 need you."


def test_an_answer_that_is_none_comes_back_as_typed(person: Person) -> None:
    person.bring("small.csv", SMALL)
    person.send("about", **ABOUT)
    number, _ = person.group(r"Height \(ft\)")
    person.send("mend", group=number, typed="")
    assert person.status == 422
    assert f'id="group-{number}-fault"' in person.page
    person.send("about", **{**ABOUT, "day": "yesterday"})
    assert person.status == 422
    assert 'value="yesterday"' in person.page
    assert 'This is not a date (got "yesterday"); a day that has been, such as 2024-05-03' in person.page
    person.send("about", **ABOUT)
    assert person.status == 200


def test_columns_can_be_told_and_what_no_unit_is_comes_back(person: Person) -> None:
    person.bring("small.csv", SMALL.replace("Height (ft)", "Size"))
    person.send("about", **ABOUT)
    at = SMALL.splitlines()[0].split(",").index("Height (ft)")
    assert "None of ours." in person.page
    person.send("columns", **{f"word__{at}": "tree_height", f"unit__{at}": "quarts"})
    assert person.status == 422
    assert "tree_height:quarts" in person.page
    person.send("columns", **{f"word__{at}": "tree_height", f"unit__{at}": "ft"})
    assert person.status == 200
    assert person.page.count("You said so.") == 1
    person.send("columns", **{f"word__{at}": ""})
    assert "You said so." not in person.page


def test_an_answer_to_what_has_changed_since_does_nothing(person: Person) -> None:
    person.bring("small.csv", SMALL)
    person.send("about", **ABOUT)
    old = person.page
    person.send("mend", group=person.group("Species")[0], answer="yes")
    person.page = old
    person.send("mend", group="1", answer="yes")
    assert person.status == 422
    assert "The list was changed in another window, and nothing was done" in person.page
    person.page = old
    person.send("save")
    assert person.status == 422
    assert person.desk.grounds(OWN) == {}


def test_a_waiting_file_is_nobody_elses_and_goes(person: Person) -> None:
    person.bring("small.csv", SMALL)
    folder = waiting_folder(person.desk.path, OWN)
    own = folder / person.address.rpartition("/")[2]
    assert len(own.name) == 32
    assert [stat.S_IMODE(each.stat().st_mode) for each in (folder, own, own / "file" / "small.csv")] == [
        0o700, 0o700, 0o600]
    other = waiting_folder(person.desk.path, "other")
    assert other != folder
    person.see(f"/import/{'0' * 32}")
    assert (person.status, "This file no longer waits here" in person.page or "this file" in person.page) == (404, True)
    person.see(f"/import/{own.name}")
    person.send("leave")
    assert not own.exists()
    person.bring("small.csv", SMALL)
    person.desk.now = lambda: NOW + timedelta(hours=23)
    assert "small.csv" in person.see("/import")
    person.desk.now = lambda: NOW + timedelta(hours=25)
    assert "small.csv" not in person.see("/import")
    assert [each.name for each in folder.iterdir() if each.name != "said"] == []


def test_what_was_set_aside_is_mended_here_and_comes_in_with_the_same_mapping(person: Person) -> None:
    person.bring("small.csv", SMALL)
    person.send("about", **ABOUT)
    person.send("save")
    assert person.finding == "Kiln Lane: 1 needs you; ready: 0."
    person.desk.now = lambda: NOW + timedelta(days=40)
    assert "set aside: rows of Kiln Lane" in person.see("/import")
    person.see(re.search(r'href="(/import/\w{32})"', person.page)[1])  # type: ignore[index]
    person.send("mend", group=person.group("Species")[0], answer="yes")
    person.send("mend", group=person.group(r"Height \(ft\)")[0], typed="41")
    person.send("save")
    assert person.finding.startswith("Kiln Lane: 1 row is saved, 0 need you.")
    assert "set aside: rows" not in person.see("/import")


def test_an_import_is_taken_back_with_a_reason(person: Person) -> None:
    person.bring("small.csv", SMALL)
    person.send("about", **ABOUT)
    person.send("save")
    ground, = person.desk.grounds(OWN)
    person.see(f"/properties/{ground}/undo")
    assert person.finding == "The newest import of Kiln Lane is small.csv"
    answer = person.client.post(f"/properties/{ground}/undo", data={"reason": " "})
    assert (answer.status_code, "say why" in answer.text) == (422, True)
    answer = person.client.post(f"/properties/{ground}/undo", data={"reason": "the wrong list"})
    assert answer.url.path == "/import"
    assert person.desk.grounds(OWN) == {}


def test_the_field_sheet_can_be_taken(person: Person) -> None:
    for system in ("us", "metric"):
        answer = person.client.get(f"/import/field-sheet/{system}")
        assert f"field-sheet-{system}.xlsx" in answer.headers["content-disposition"]
        assert "trees" in openpyxl.load_workbook(io.BytesIO(answer.content)).sheetnames


@pytest.mark.parametrize(("name", "content", "why"), [
    ("trees.csv", b"", "there is nothing in it"), ("trees.xlsx", b"no workbook", "this is not a spreadsheet"),
    ("trees.zip", b"no zip", "not a zip that can be read"),
    ("trees.csv", b"a" * (FILE_BYTES + 1), "the file is too large to be read")])
def test_what_is_no_list_is_refused_beside_the_field_and_nothing_stays(person: Person, name: str, content: bytes,
                                                                         why: str) -> None:
    person.bring(name, content)
    assert person.status == 422
    fault = re.search(r'id="file-fault" role="alert">(.*?)</p>', person.page)[1]  # type: ignore[index]
    assert why in fault.lower()
    assert str(person.desk.path.parent) not in person.page
    assert [each for each in waiting_folder(person.desk.path, OWN).iterdir() if each.name != "said"] == []


def test_what_is_no_list_of_trees_can_be_told_or_left(person: Person) -> None:
    person.bring("odd.csv", "foo,bar\n1,2\n3,4\n")
    assert person.finding == "odd.csv cannot be read yet"
    assert "--" not in re.sub(r"<!--.*?-->", "", person.page)
    person.send("about", their="foo", ours="tag")
    assert person.finding.startswith("2 rows are ready")


def test_odd_names_and_cells_are_shown_as_typed(person: Person) -> None:
    sign = '<script>alert("x")</script>'
    answer = person.client.post("/import", files={"file": (f"../../{sign}.csv", SMALL.replace("tall", sign).encode())},
                                data={"what": "list"})
    assert answer.status_code == 200
    assert "<script>alert" not in answer.text
    assert "&lt;script&gt;alert" in answer.text
    own = waiting_folder(person.desk.path, OWN)
    assert all(each.parent.name == "file" for each in own.rglob("*.csv"))


def test_the_work_is_done_in_another_process(desk_app: TestClient) -> None:
    answer = desk_app.post("/import", files={"file": ("small.csv", SMALL.encode())}, data={"what": "list"})
    assert "1 row is ready, 1 needs you. Nothing is saved yet." in html.unescape(answer.text)
    desk_app.post(f"{answer.url.path}/leave")
    answer = desk_app.post("/import", files={"file": ("trees.xlsx", b"no workbook")}, data={"what": "list"})
    assert answer.status_code == 422


@pytest.mark.parametrize(("answer", "planted"), [({"answer": "2004"}, "2004"), ({"typed": "1999"}, "1999"),
                                                 ({"answer": "leave"}, "")])
def test_a_planting_day_that_lies_ahead_is_settled_by_any_of_its_keys(person: Person, answer: dict[str, str],
                                                                      planted: str) -> None:
    person.bring("small.csv", "Tag,Species,Planted\n1,Quercus rubra,03/05/2044\n2,Acer rubrum,2001\n")
    person.send("about", **ABOUT, at="47.45,-122.31")
    number, told = person.group("Planted")
    assert told.startswith('Row 2 (1), Planted: "03/05/2044". Year planted here: 2044 lies ahead.'), told
    person.send("mend", group=number, **answer)
    assert "Save all 2" in person.page
    person.send("save")
    (ground,) = person.desk.grounds(OWN)
    years = {reading.typed for reading in person.desk.book(OWN).record(ground).readings
             if reading.kind == "planting_year"}
    assert years == {planted, "2001"} - {""}


def test_what_was_mended_is_in_the_file_of_the_rows_that_wait(person: Person) -> None:
    person.bring("small.csv", "Tag,Species,DBH (in),Height (ft)\n1,Quercus rubra,9999,tall\n2,Acer rubrum,9,30\n")
    person.send("about", **ABOUT, at="47.45,-122.31")
    person.send("mend", group=person.group(r"DBH \(in\)")[0], typed="19")
    person.send("save")
    taken = person.client.get(f"{person.address}/set-aside").text
    assert "Quercus rubra,19,tall" in taken


@pytest.mark.parametrize(("at", "says", "comes"), [
    ("-83.05, 42.33", "no tree grows at this latitude", False), ("42°20'N 83°3'W", "", True),
    ("42.33 N 83.05 W", "", True),
    ("42.33, 83.05", "US units are seldom used where this lies; is it right? the minus of the longitude may be missing",
     True)])
def test_the_position_of_a_new_property_is_read_as_its_particulars_are(person: Person, at: str, says: str, *,
                                                                       comes: bool) -> None:
    person.bring("small.csv", "Tag,Species\n1,Quercus rubra\n")
    person.send("about", **ABOUT, at=at)
    assert says in person.page.replace("No tree", "no tree")
    assert (person.status == 200) == comes
    assert "seldom used" not in person.page or says
    if comes:
        person.send("save")
        (ground,) = person.desk.grounds(OWN).values()
        assert round(ground.latitude_deg, 2) == 42.33
