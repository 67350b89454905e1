"""Today, Week: the calendar with its figures, the file for other calendars, and what is told of the ground."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.fieldbook.people.chance import chance
from tests.services.planned import planned

NOW = datetime(2016, 5, 2, 12, tzinfo=UTC)


@pytest.fixture
def client(tmp_path: Path) -> Iterator[TestClient]:
    path = tmp_path / "own.sqlite"
    with open_fieldbook(path, now=lambda: NOW) as book:
        planned(book, tmp_path, rain=(0.0, 0.0, 0.0, 20.0, 0.0, 0.0, 0.0, 0.0))
        add_person(book.store, "owner1", "Rowan Doe", "owner1", "owner", may_sign=True)
        token = open_session(book.store, ("own", "owner1"), "browser", "", NOW, chance(0))
    desk = Desk(path, lambda: NOW, tmp_path / "results")
    yield TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"},
                     cookies={"rootcase": token})
    desk.close()


def days_of(client: TestClient) -> str:
    page = client.get("/today/week").text
    return page.partition('class="key" href="/properties/')[2].partition('"')[0]


def test_a_week_has_its_picture_its_table_and_its_list_by_days(client: TestClient) -> None:
    assert 'href="/today/week"' in client.get("/").text
    page = client.get("/today/week").text
    assert "2 of 3 pieces of work have a fit day in the next 10 days." in page
    assert "not fit: rain to come" in page
    assert "not known: no locate told" in page
    assert page.count("lawn, compost extract: oak 4") >= 11  # in the table, and of each day in the list
    assert "Soil at 4 in (10 cm): 57 °F (14 °C)" in page


def test_a_locate_is_told_and_opens_its_days(client: TestClient) -> None:
    where = f"/properties/{days_of(client)}"
    typed = {"kind": "locate", "number": "412", "first": "2 May 2016", "last": "5 May 2016", "place": "", "private": ""}
    told = client.post(where, data=typed).text
    assert "Lines located, number 412: 2 May 2016 to 5 May 2016, whole property" in told
    week = client.get("/today/week").text
    assert "3 of 3 pieces of work" in week
    assert "Marks of 412 hold to 5 May 2016" in week
    assert "not fit: no valid locate" in week
    slot = told.partition("/days/")[2].partition("/end")[0]
    assert "Lines located" not in client.post(f"{where}/{slot}/end").text
    assert "nothing of this kind holds here" in client.post(f"{where}/{slot}/end").text


@pytest.mark.parametrize(("typed", "why"), [
    ({"kind": "locate", "number": "", "first": "soon", "last": "5 May 2016"}, "this is needed"),
    ({"kind": "use", "name": "match", "first": "5 May 2016", "last": "2 May 2016"}, "comes before the first"),
    ({"kind": "bloom", "of": "fir 9", "first": "2 May 2016", "last": "5 May 2016"}, "no tree or place"),
    ({"kind": "squeeze", "place": "lawn", "day": "5 May 2016", "state": "fit"}, "still to come"),
    ({"kind": "squeeze", "place": "", "day": "2 May 2016", "state": "fit"}, "this is needed")])
def test_what_is_refused_comes_back_as_it_was_typed(client: TestClient, typed: dict[str, str], why: str) -> None:
    refused = client.post(f"/properties/{days_of(client)}", data=typed)
    assert refused.status_code == 422
    assert why in refused.text
    assert all(f'value="{value}"' in refused.text for value in typed.values() if value)


def test_a_day_that_is_fit_no_more_is_called_off_in_the_next_file_under_its_name(client: TestClient) -> None:
    def events() -> dict[str, tuple[str, str, str]]:
        told = [dict(line.split(":", 1) for line in each.splitlines() if line[:1] != " " and ":" in line)
                for each in client.post("/today/week.ics").text.replace("\r\n ", "").split("BEGIN:VEVENT")[1:]]
        return {each["UID"]: (each["DTSTART;VALUE=DATE"], each["STATUS"], each["SEQUENCE"]) for each in told}

    first = events()
    assert {state for _, state, _ in first.values()} == {"CONFIRMED"}
    assert events() == first  # nothing else to say
    used = {"kind": "use", "name": "match", "first": "3 May 2016", "last": "3 May 2016", "place": "", "weekdays": ""}
    assert client.post(f"/properties/{days_of(client)}", data=used).status_code == 200
    second = events()
    assert {uid for uid, (day, state, _) in second.items() if state == "CANCELLED"} == {
        uid for uid, (day, _, _) in first.items() if day == "20160503"}
    assert second.keys() == first.keys()
    assert {number for *_, number in second.values()} == {"2"}
    slot = client.get(f"/properties/{days_of(client)}").text.partition("/days/")[2].partition("/end")[0]
    client.post(f"/properties/{days_of(client)}/{slot}/end")
    assert {uid: told[:2] for uid, told in events().items()} == {uid: told[:2] for uid, told in first.items()}
    assert {number for *_, number in events().values()} == {"3"}


def test_fit_days_are_taken_as_a_calendar(client: TestClient) -> None:
    file = client.post("/today/week.ics")
    assert file.headers["content-type"].startswith("text/calendar")
    assert file.text.startswith("BEGIN:VCALENDAR\r\n")
    assert "SUMMARY:Alder Bank: compost extract" in file.text
    assert client.get("/today/week.ics").status_code == 405  # a look keeps nothing
    assert "air tillage" not in file.text  # no locate, no fit day
