"""What a batch's page tells: told once, undone by one key, asked about where it is early; a tank's two gallons."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from rootcase.casework.make.laboratory import over_the_limit
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.report.pdf.batch import batch_sheet_pdf
from rootcase.report.text.batch import batch_lines
from rootcase.services.batch_seen import batch_seen
from rootcase.services.batch_sheet import batch_paper
from rootcase.services.make_batch import batch_named
from rootcase.services.recall import recall
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.fieldbook.people.chance import chance
from tests.fieldbook.sheets import FACTS, event
from tests.report.test_pdf import pages
from tests.web.batches import BACK, FIT, OPEN, REFUSED, Clock, yard
from tests.web.conftest import NOW
from tests.web.test_batches import BASE, begun_batch, tell

DOSE = {"chemical": "ascorbic_acid", "rule": "field_guide", "strip": "total", "total_chlorine_mg_l": "0"}
YardApp = tuple[TestClient, Path, Clock]


@pytest.fixture
def yard_app(tmp_path: Path) -> Iterator[YardApp]:
    path, clock = tmp_path / "own.sqlite", Clock(NOW)
    yard(path, NOW)
    with open_fieldbook(path, now=clock) as book:
        add_person(book.store, "rs", "Rowan Doe", "rowan", "owner", may_sign=True)
        token = open_session(book.store, ("own", "rs"), "browser", "", NOW, chance(1))
    with TestClient(create_app(Desk(path, clock, tmp_path / "results")), base_url="http://127.0.0.1",
                    headers={"origin": "http://127.0.0.1"}, cookies={"rootcase": token}) as client:
        yield client, path, clock


def test_the_first_and_the_last_gallon_say_whether_a_tank_stays_mixed(yard_app: YardApp) -> None:
    client, path, clock = yard_app
    two = {"tank": "truck 1", "first_per_ml": "4e7", "last_per_ml": "3e7"}
    assert "no tank was loaded of it" in tell(client, OPEN, "gallons", **two)
    assert 'id="last_per_ml-fault"' in tell(client, FIT, "gallons", first_per_ml="4e7")
    page = tell(client, FIT, "gallons", **two)
    assert "cells in the first gallon 40 million per mL; cells in the last gallon 30 million per mL" in page
    assert "Tank truck 1 does not stay mixed: its last gallon has 75 % of the cells of its first." in page
    with open_fieldbook(path) as book:
        assert "75 % of the cells" in " ".join(batch_lines(batch_seen(book, FIT), clock.at, "us"))
        assert "75 % of the cells" in "".join(pages(batch_sheet_pdf(batch_paper(book, FIT, "us")))).replace("\n", " ")


def test_a_low_figure_of_a_tank_is_kept_and_the_page_shows_the_batch_called_back(yard_app: YardApp) -> None:
    client, path, _ = yard_app
    low = {"volume": "300", "gap": "6 in", "oxygen": "5.9", "tank": "truck 1"}
    page = client.post(f"{BASE}/{FIT}/loads", data=low)
    assert page.status_code == 422
    assert "the reading is kept, and the batch is called back" in page.text
    assert "Oxygen 5.9 mg/L; floor 6.0" in page.text
    assert f'action="{BASE}/{FIT}/loads"' not in page.text
    with open_fieldbook(path) as book:
        assert batch_named(book, FIT).told("oxygen")[-1].figure("oxygen_mg_l") == 5.9
        assert "oxygen 5.9 mg/L" in " ".join(batch_lines(batch_seen(book, FIT), NOW, "us"))


def test_what_was_just_told_of_a_batch_is_undone_by_one_key_once_and_soon(yard_app: YardApp) -> None:
    client, path, clock = yard_app

    def undone(number: str, page: str) -> Response:
        slot = re.search(r'name="told" value="([^"]+)"', page)
        return client.post(f"{BASE}/{number}/undo", data={"told": slot[1] if slot else "x"})

    number = begun_batch(client)
    page = tell(client, number, "neutraliser", **DOSE, mass_g="11")
    assert "next is compost by scale" in page
    page = undone(number, page).text
    assert "next is neutralizer" in page
    assert 'name="told"' not in page
    page = tell(client, number, "neutraliser", **DOSE, mass_g="1.1")
    with open_fieldbook(path, now=clock) as book:
        assert [each.figure("mass_g") for each in batch_named(book, number).told("neutraliser")] == [1.1]
    clock.on(1.02)
    assert undone(number, page).status_code == 422
    tell(client, number, "compost", mass_kg="250 lb")
    tell(client, number, "start")
    page = tell(client, number, "oxygen", oxygen_mg_l="8.8", temperature_c="65", air="on")
    assert 'name="told"' in page
    page = tell(client, number, "oxygen", oxygen_mg_l="4.1", temperature_c="65", air="on")
    assert 'name="told"' not in page, "what refuses it is not undone"
    assert 'name="told"' not in tell(client, number, "end", volume_l="290 gal")
    page = tell(client, number, "end", volume_l="291 gal")
    assert undone(number, page).status_code == 422


def test_a_laboratory_that_says_above_is_taken_with_its_sign_and_held_against_the_limit(
        yard_app: YardApp) -> None:
    app, path, clock = yard_app
    number = begun_batch(app)
    told = tell(app, number, "lab", e_coli_per_100_ml=">2419.6", sampled="3 May 2016")
    assert "E. coli per 100 mL &gt;2420" in told or "E. coli per 100 mL &gt;2,420" in told
    with open_fieldbook(path, now=clock) as book:
        lab = batch_named(book, number).newest("lab")
    assert lab is not None
    assert (lab.figure("e_coli_per_100_ml"), lab.words["e_coli_sign"]) == (2419.6, ">")
    assert over_the_limit(lab).startswith("E. coli >2,419.6 per 100 mL; limit")


def test_a_key_pressed_twice_tells_once_and_another_figure_is_told_too(yard_app: YardApp) -> None:
    app, path, clock = yard_app
    page = app.get(f"{BASE}/{FIT}?step=oxygen").text
    mark = re.search(r'/steps/.*?name="mark" value="([0-9a-f-]+)"', page, re.DOTALL)
    assert mark is not None
    read = {"oxygen_mg_l": "8.1", "temperature_c": "68", "mark": mark[1]}
    filled = {"volume": "100", "tank": "truck 9", "gap": "6 in", "mark": mark[1]}

    def told() -> tuple[int, int]:
        with open_fieldbook(path, now=clock) as book:
            batch = batch_named(book, FIT)
            return len(batch.told("oxygen")), len(batch.loads)

    readings, tanks = told()
    for _ in range(2):
        tell(app, FIT, "oxygen", **read)
        app.post(f"{BASE}/{FIT}/loads", data=filled)
    assert told() == (readings + 1, tanks + 1)
    tell(app, FIT, "oxygen", **{**read, "oxygen_mg_l": "8.2"})
    app.post(f"{BASE}/{FIT}/loads", data={**filled, "tank": "truck 10"})
    assert told() == (readings + 2, tanks + 2)
    clock.on(15)
    tell(app, FIT, "oxygen", **read)
    assert told() == (readings + 3, tanks + 2), "a quarter of an hour later it was read again"


def test_the_form_sent_again_for_another_heap_or_hour_starts_another_batch(yard_app: YardApp) -> None:
    app, _, _ = yard_app
    typed = {"heap": "h4", "mark": "0123456789abcdef"}
    first = app.post(BASE, data=typed).url.path
    assert app.post(BASE, data=typed).url.path == first
    other = app.post(BASE, data={**typed, "at": "3:30"}).url.path
    assert other != first
    assert app.post(BASE, data={**typed, "at": "3:30"}).url.path == other


def test_a_batch_with_open_steps_is_judged_when_it_is_asked_once_more(yard_app: YardApp) -> None:
    app, path, clock = yard_app
    number = begun_batch(app)
    asked = app.post(f"{BASE}/{number}/judge")
    assert asked.status_code == 422
    assert "Not told yet: neutralizer, compost by scale, start of extraction, oxygen, end and screen." in asked.text
    with open_fieldbook(path, now=clock) as book:
        assert batch_named(book, number).judgement is None
    assert "is refused." in app.post(f"{BASE}/{number}/judge", data={"sure": "1"}).text


def test_enter_alone_neither_pours_nor_composts(yard_app: YardApp) -> None:
    app, _, _ = yard_app
    page = app.get(f"{BASE}/{REFUSED}").text
    assert re.search(r'<button[^>]*name="how"', page) is None
    unsaid = app.post(f"{BASE}/{REFUSED}/end", data={"where": "bed by the gate", "how": ""})
    assert unsaid.status_code == 422
    assert 'id="how-fault"' in unsaid.text
    assert 'value="bed by the gate"' in unsaid.text


def test_a_load_that_nobody_logged_is_said_afterwards_to_have_gone_to_a_tree(yard_app: YardApp) -> None:
    app, path, clock = yard_app
    with open_fieldbook(path, now=clock) as book:
        load = batch_named(book, FIT).loads[0].id
    typed = {"load": load, "tree": "oak <9>", "amount": "55 gal", "mark": "0123456789"}
    refused = app.post(f"{BASE}/{FIT}/went-to", data=typed)
    assert refused.status_code == 422
    assert 'value="oak &lt;9&gt;"' in refused.text
    assert 'id="tree-fault"' in refused.text
    for _ in range(2):
        page = app.post(f"{BASE}/{FIT}/went-to", data={**typed, "tree": "oak 1"}).text
    with open_fieldbook(path, now=clock) as book:
        found = recall(book, batch_named(book, FIT))
    assert found.loads_not_put_on == ()
    assert [(one.tree_label, one.amount_typed, one.day) for each in found.properties for one in each.applied] == [
        ("oak 1", "55 gal", "2016-01-15")]
    assert "oak 1" in page


def test_a_call_to_a_property_that_is_not_on_the_list_is_kept(yard_app: YardApp) -> None:
    app, path, clock = yard_app
    with open_fieldbook(path, now=clock) as book, book.store.writing() as turn:
        turn.add([replace(event("p8-facts", replace(FACTS, slot="facts", name="Elm Row")), property_id="p8")])
    assert 'value="p8"' in app.get(f"{BASE}/{BACK}/recall").text
    page = app.post(f"{BASE}/{BACK}/rings", data={"property_id": "p8", "note": "told the <b>owner</b>"})
    assert page.status_code == 200
    assert "Elm Row: rung 15 January 2016 by rs: told the &lt;b&gt;owner&lt;/b&gt;" in page.text
