"""A field sheet and weather are brought at the desk: looked at, mended in place, kept, taken back."""

from __future__ import annotations

import io
import re
import tomllib
import zipfile
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.layout import COVERS, RINGS
from rootcase.report.text.flags import without_flags
from rootcase.services.weather import take_weather
from rootcase.web.desk import OWN
from tests.fieldbook.sheets import SHEET, changed, write_sheet
from tests.web.bringing import ABOUT, NOW, SMALL, Person, at_the_desk


@pytest.fixture
def person(tmp_path: Path) -> Iterator[Person]:
    with at_the_desk(tmp_path) as found:
        yield found


def zipped(folder: Path) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as made:
        for each in folder.iterdir():
            made.write(each, f"sheet/{each.name}")
    return data.getvalue()


def test_a_zipped_field_sheet_is_looked_at_its_cells_mended_and_saved(person: Person, tmp_path: Path) -> None:
    pages = changed("trees", 3, "dbh", "thick")
    pages["pits"][3][3] = "deep"
    person.bring("sheet.zip", zipped(write_sheet(tmp_path / "sheet", pages)))
    assert person.finding == ("Alder Bank: 19 new, 0 changed, 0 known already; 2 need you. Nothing is saved yet.")
    assert person.desk.grounds(OWN) == {}
    person.send("cells", cell__0="12 1/2")
    assert "1 needs you" in person.page
    person.send("save")
    assert "Alder Bank: 20 new, 0 corrected, 0 known already." in person.page
    with zipfile.ZipFile(io.BytesIO(person.client.get(f"{person.address}/set-aside").content)) as aside:
        assert sorted(aside.namelist()) == ["sheet-rejects/pits.csv", "sheet-rejects/property.csv"]
    person.send("cells", cell__0="3 3/4")
    person.send("save")
    assert person.finding == "Alder Bank: 1 new, 0 corrected, 3 known already."


SEATTLE = Path("tests/data/weather_seattle.csv")


def test_covers_that_do_not_sum_are_mended_in_place(person: Person, tmp_path: Path) -> None:
    covers = [["tree", "visit", "ring", *COVERS], ["oak 1", "autumn", RINGS[0], *["60"] * 2, *[""] * (len(COVERS) - 2)]]
    person.bring("sheet.zip", zipped(write_sheet(tmp_path / "sheet", {**SHEET, "covers": covers})))
    assert "1 needs you" in person.page
    assert "Mend it in the file" not in person.page
    assert f'<label for="cell.0.1">{COVERS[1]}</label><input id="cell.0.1" name="cell.0.1" value="60"' in person.page
    person.send("cells", cell__0__0="60", cell__0__1="70")
    assert "covers, row 2</b>: 130 %" in person.page
    person.send("cells", cell__0__0="60", cell__0__1="40")
    assert "1 needs you" not in person.page
    person.send("save")
    ground, = person.desk.grounds(OWN)
    readings = person.desk.book(OWN).record(ground).readings
    assert sorted(each.value or 0 for each in readings if each.kind == "cover_share_by_ring") == [0.4, 0.6]


def test_a_sheet_shows_what_changes_of_the_property_itself(person: Person, tmp_path: Path) -> None:
    person.bring("sheet.zip", zipped(write_sheet(tmp_path / "one", dict(SHEET))))
    person.send("save")
    person.bring("sheet.zip", zipped(write_sheet(tmp_path / "two", changed("property", 7, "value", "Mill airport"))))
    assert "1 changed" in person.finding
    assert "Show what changes: 1" in person.page
    assert "Alder Bank: weather station, <del>Seattle</del> Mill airport" in person.page


def test_no_word_of_lists_and_weather_brings_a_flag_to_the_browser() -> None:
    found: list[str] = []

    def look(words: dict[str, Any]) -> None:
        for each in words.values():
            if isinstance(each, dict):
                look(each)
            elif "--" in without_flags(each) or "rootcase observe" in without_flags(each):
                found.append(each)

    catalogue = tomllib.loads(Path("src/rootcase/ground/words/en/common.toml").read_text(encoding="utf-8"))
    for of_terminal in ("shown", "file_head", "file_about"):
        del catalogue["lists"][of_terminal]
    for room in ("lists", "weather", "services", "intake", "doubts"):
        look(catalogue[room])
    assert found == []


def held(person: Person, station: str) -> int:
    with person.desk.book(OWN).store.reading() as look:
        return len(look.weather(station))


def test_weather_is_looked_at_before_it_is_kept(person: Person) -> None:
    person.bring("days.csv", SEATTLE.read_bytes(), "weather")
    assert person.finding == "Whose weather is it?"
    person.send("weather", of="station", whose="")
    assert person.status == 422
    person.send("weather", of="station", whose="Seattle", fill="31", units="furlongs")
    assert person.status == 422
    assert 'value="31"' in person.page
    person.send("weather", of="station", whose="Seattle", fill="ten")
    assert 'Gaps to fill: this is no whole number (got "ten"); a number of days from 0 to 30' in person.page
    person.send("weather", of="station", whose="🌧" * 100)
    assert person.finding.startswith("🌧")
    assert "No property names this station" in person.page
    assert "Nothing of it is kept yet." in person.page
    assert held(person, "🌧" * 100) == 0
    person.send("weather", of="station", whose="Seattle")
    assert person.finding.startswith("Seattle: 1 January 2012 to 31 December 2015. 1,461 days new")
    assert held(person, "Seattle") == 0
    seen = re.search(r'<ul id="glance">(.*?)</ul>', person.page)[1]  # type: ignore[index]
    told = re.findall("<li>(.*?)</li>", seen)
    assert told[:2] == ["First row, 1 January 2012: 41 °F (5 °C) to 55 °F (12.8 °C), rain 0 in (0 mm).",
                        "Warmest day, 11 August 2014: 96.1 °F (35.6 °C)."]
    assert [line[:14] for line in told[2:]] == ["Coldest night,", "Rain in a year"]
    assert told[3].endswith("in (1100 mm).")
    person.send("save")
    assert held(person, "Seattle") == 1461


def test_weather_names_who_uses_it_and_is_taken_back_while_nothing_newer_came(person: Person) -> None:
    person.bring("small.csv", SMALL)
    person.send("about", **ABOUT, station="Seattle")
    person.send("save")
    header, *lines = SEATTLE.read_text().splitlines()
    for hour, part in enumerate((lines[:100], lines[50:200])):
        person.desk.now = lambda hour=hour: NOW + timedelta(hours=hour)
        person.bring("days.csv", "\n".join([header, *part]), "weather")
        assert "Stations known: Seattle." in person.page
        person.send("weather", of="station", whose="Seattle")
        assert "It is used by Kiln Lane." in person.page
        person.send("save")
    assert held(person, "Seattle") == 200
    newest, older = (address for address in re.findall(r'href="(/import/\w{32})">days', person.see("/import")))
    person.see(older)
    person.send("weather/back")
    assert (person.status, "Something newer came for this station since" in person.page) == (422, True)
    assert held(person, "Seattle") == 200
    person.see(newest)
    assert person.client.post(f"{newest}/weather/back").url.path == "/import"
    assert held(person, "Seattle") == 100
    person.see(older)
    person.send("weather/back")
    assert held(person, "Seattle") == 0


def test_what_came_just_behind_a_file_of_weather_is_not_thrown_away_with_it(person: Person, tmp_path: Path,
                                                                            monkeypatch: pytest.MonkeyPatch) -> None:
    header, *lines = SEATTLE.read_text().splitlines()
    (tmp_path / "behind.csv").write_text("\n".join([header, *lines[100:150]]))

    def and_another(fieldbook: Fieldbook, *more: Any) -> Any:
        result = take_weather(fieldbook, *more)
        fieldbook.import_weather(tmp_path / "behind.csv", "Seattle")
        return result

    monkeypatch.setattr("rootcase.services.bring_weather.take_weather", and_another)
    person.bring("days.csv", "\n".join([header, *lines[:100]]), "weather")
    person.send("weather", of="station", whose="Seattle")
    person.send("save")
    assert held(person, "Seattle") == 150
    person.send("weather/back")
    assert (person.status, held(person, "Seattle")) == (422, 150)
