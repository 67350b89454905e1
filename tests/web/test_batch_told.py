"""What was just told of a batch is undone by one key; what a tank's first and last gallon say."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.report.pdf.batch import batch_sheet_pdf
from rootcase.report.text.batch import batch_lines
from rootcase.services.batch_seen import batch_seen
from rootcase.services.batch_sheet import batch_paper
from rootcase.services.make_batch import batch_named
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.fieldbook.people.chance import chance
from tests.report.test_pdf import pages
from tests.web.batches import FIT, OPEN, Clock, yard
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
