"""Contacts of a property: told on their page, the client's one address with them."""

from __future__ import annotations

from pathlib import Path

from fastapi.testclient import TestClient

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.services.log import ADDRESS
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.fieldbook.sheets import SHEET, write_sheet
from tests.web.conftest import NOW


def test_a_contact_and_the_clients_one_address_are_told(tmp_path: Path) -> None:
    with open_fieldbook(tmp_path / "demo.sqlite", now=lambda: NOW) as told:
        told.import_sheet(write_sheet(tmp_path / "sheet", SHEET))
    desk = Desk(tmp_path / "demo.sqlite", lambda: NOW, tmp_path / "results", demo=True,
                own_path=tmp_path / "own.sqlite")
    client = TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"},
                        follow_redirects=False)
    book = desk.book("own")
    ground = book.properties()[0]
    at = f"/properties/{ground.id}/contacts"
    assert "client address" in client.get(at).text
    assert client.post(at, data={"role": "owner", "name": " An  Owner ", "phone": "555 0100"}).status_code == 303
    for street in ("1 Old Lane", "2 New Lane"):
        assert client.post(at, data={"role": ADDRESS, "name": street}).status_code == 303
    assert [(each.role, each.name) for each in book.contacts(ground.id)] == [
        (ADDRESS, "2 New Lane"), ("owner", "An Owner")]
    long = client.post(at, data={"role": "payer", "name": "", "phone": "5" * 300, "email": "kept@invented"})
    assert long.status_code == 422
    assert long.text.count('class="fault"') == 2
    assert 'value="kept@invented"' in long.text
    assert client.post(at, data={"role": "friend", "name": "x"}).status_code == 422
    assert len(book.contacts(ground.id)) == 2
    desk.close()
