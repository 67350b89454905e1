"""A phone gets the jobs of its person and no more; lost it gets nothing; what was sealed on it comes in."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from hashlib import sha256
from pathlib import Path
from typing import Any

import httpx2 as httpx
import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.events import Event, PropertyOpened, ReadingTaken, body_text
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.people.assigned import assign, unassign
from rootcase.fieldbook.people.phones import mark_lost
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sealing_keys import newest_pair
from rootcase.fieldbook.people.sessions import open_session
from rootcase.ground.ids import IdMaker
from rootcase.records.observe import Property
from rootcase.records.people import UNBOUND, Assignment
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.fieldbook.people.chance import chance
from tests.services.packs import sealed
from tests.web.conftest import NOW, at_once

new_id = IdMaker(lambda: 1452859200000, chance(3))
TODAY, TOMORROW = NOW.date(), NOW.date() + timedelta(days=1)
ROLES = {"owner1": "owner", "helper1": "practitioner", "crew1": "crew", "crew2": "crew"}


@dataclass
class House:
    client: TestClient
    book: Fieldbook
    tokens: dict[str, str]
    grounds: tuple[Property, ...]

    def ask(self, who: str, address: str, phone: str = "", waiting: str = "", **more: Any) -> httpx.Response:
        heads = {"rootcase-phone": phone, "rootcase-waiting": waiting}
        return self.client.get(address, headers=heads | {"cookie": f"rootcase={self.tokens[who]}"}, **more)

    def send(self, who: str, address: str, **more: Any) -> httpx.Response:
        return self.client.post(address, headers={"cookie": f"rootcase={self.tokens[who]}"}, **more)


@pytest.fixture
def house(tmp_path: Path, desk_folder: Path) -> Iterator[House]:
    path = tmp_path / "own.sqlite"
    shutil.copy(desk_folder / "demo.sqlite", path)
    desk = Desk(path, lambda: NOW, tmp_path / "results")
    desk.jobs.call = at_once  # type: ignore[method-assign]
    with open_fieldbook(path) as book:
        tokens = {}
        for code, role in ROLES.items():
            add_person(book.store, code, "Rowan Doe", code, role)  # type: ignore[arg-type]
            tokens[code] = open_session(book.store, ("own", code), "browser", "", NOW, chance(sum(code.encode())))
        client = TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"},
                            follow_redirects=False)
        yield House(client, book, tokens, book.properties())
        desk.close()


def started(house: House, who: str, phone: str) -> dict[str, Any]:
    answer = house.ask(who, "/api/field/start", phone)
    assert answer.status_code == 200, answer.text
    told: dict[str, Any] = answer.json()
    assert answer.headers["fieldbook-generation"] == told["generation"] == house.book.store.generation
    return told


def test_only_assigned_jobs_go_to_a_phone(house: House) -> None:
    one, other, *_ = house.grounds
    phone = new_id()
    assert started(house, "crew1", phone)["properties"] == []
    assert house.ask("crew1", f"/api/field/properties/{one.id}", phone).status_code == 404
    for day in ("", str(TOMORROW)):
        answer = house.send("helper1", f"/properties/{one.id}/jobs", data={"code": "crew1", "day": day})
        assert answer.status_code == 303
    told = started(house, "crew1", phone)["properties"]
    assert [(each["id"], each["days"], each["today"]) for each in told] == [(one.id, [str(TOMORROW)], False)]
    ground = house.ask("crew1", f"/api/field/properties/{one.id}", phone).json()
    assert ground["property"]["name"] == one.name
    assert ground["readings"][0]["slot"]
    assert house.ask("crew1", f"/api/field/properties/{other.id}", phone).status_code == 404
    assign(house.book.store, other.id, "crew2", TODAY - timedelta(days=1), by="owner1", now=NOW)
    assert started(house, "crew2", new_id())["properties"] == [], "that day is over"
    house.send("helper1", f"/properties/{one.id}/jobs/away", data={"code": "crew1", "day": ""})
    house.send("helper1", f"/properties/{one.id}/jobs/away", data={"code": "crew1", "day": str(TOMORROW)})
    assert started(house, "crew1", phone)["properties"] == []


def test_a_property_that_was_opened_on_a_phone_is_its_persons_until_somebody_says_otherwise(house: House) -> None:
    ground, phone = new_id(), new_id()
    body = PropertyOpened(slot=new_id(), name="By the mill", weather_station="", system="us", invented=False)
    event = Event(new_id(), "own", ground, "2016-01-15T11:00:00.000Z", phone, body)
    batch = {"events": [{"id": event.id, "property_id": ground, "kind": body.KIND, "made_at": event.made_at,
                         "device": phone, "body": body_text(body), "hash": event.hash}]}
    for state in ("new", "known"):
        answer = house.send("crew1", "/api/events", json=batch)
        assert [each["state"] for each in answer.json()["events"]] == [state], answer.text
        assert [each["name"] for each in started(house, "crew1", phone)["properties"]] == ["By the mill"]
    assign(house.book.store, ground, "crew2", None, by="owner1", now=NOW)
    unassign(house.book.store, Assignment(ground, "crew1", None, ""))
    house.send("crew1", "/api/events", json=batch)
    assert started(house, "crew1", phone)["properties"] == []


def test_gate_codes_and_contacts_go_with_todays_stops_alone(house: House) -> None:
    one, other, *_ = house.grounds
    for ground, day in ((one, TODAY), (other, TOMORROW)):
        house.send("owner1", f"/properties/{ground.id}/jobs", data={"code": "crew1", "day": str(day)})
        house.send("owner1", f"/properties/{ground.id}/jobs/gate", data={"gate": "4417 star"})
    phone = new_id()
    assert house.ask("crew1", f"/api/field/properties/{one.id}", phone).json()["gate"] == "4417 star"
    ahead = house.ask("crew1", f"/api/field/properties/{other.id}", phone)
    assert (ahead.json()["gate"], ahead.json()["contacts"], ahead.json()["stop_day"]) == ("", [], None)
    assert "4417 star" not in ahead.text
    assert "4417 star" not in house.ask("crew1", f"/properties/{other.id}/jobs").text
    assert "4417 star" in house.ask("helper1", f"/properties/{other.id}/jobs").text
    house.send("owner1", f"/properties/{one.id}/jobs/gate", data={"gate": ""})
    assert house.ask("crew1", f"/api/field/properties/{one.id}", phone).json()["gate"] == ""
    assert house.book.contacts(one.id) == ()


def test_a_day_that_is_over_or_none_is_refused_beside_its_field_and_kept_as_typed(house: House) -> None:
    for day in ("2016-01-14", "soon"):
        answer = house.send("owner1", f"/properties/{house.grounds[0].id}/jobs", data={"code": "crew1", "day": day})
        assert answer.status_code == 422
        assert f'value="{day}"' in answer.text
        assert 'id="day-fault"' in answer.text
    answer = house.send("owner1", f"/properties/{house.grounds[0].id}/jobs", data={"code": "nobody", "day": ""})
    assert 'id="code-fault"' in answer.text


def test_who_assigns_puts_a_property_on_their_own_phone(house: House) -> None:
    one, *others = (each.id for each in house.grounds)
    phone = new_id()
    listed = house.ask("helper1", "/api/field/properties", phone).json()
    assert ([each["id"] for each in listed["others"]], listed["jobs"]) == ([one, *others], [])
    assert house.send("helper1", f"/api/field/properties/{one}/take-on").status_code == 204
    listed = house.ask("helper1", "/api/field/properties", phone).json()
    assert [[each["id"] for each in listed[part]] for part in ("others", "jobs")] == [others, [one]]
    assert house.ask("crew1", "/api/field/properties", phone).json() == {"jobs": [], "others": []}
    assert house.send("crew1", f"/api/field/properties/{one}/take-on").status_code == 403


def test_a_lost_phone_gets_nothing_from_its_next_request_on(house: House) -> None:
    phone = new_id()
    house.send("owner1", f"/properties/{house.grounds[0].id}/jobs", data={"code": "crew1", "day": ""})
    started(house, "crew1", phone)
    assert house.send("crew2", f"/practice/phones/{phone}/lost").status_code == 403, "another's phone"
    assert house.send("owner1", f"/practice/phones/{phone}/lost").status_code == 303
    assert house.ask("crew1", "/api/field/start").status_code == 401, "a thief need not say which phone asks"
    house.tokens["crew1"] = open_session(house.book.store, ("own", "crew1"), "browser", "", NOW, chance(99))
    for address in ("/api/field/start", "/api/field/properties", f"/api/field/properties/{house.grounds[0].id}"):
        answer = house.ask("crew1", address, phone, "5 0")
        assert (answer.status_code, answer.json()["where"]) == (403, "Rootcase-Phone")
    shown = house.ask("owner1", "/practice/phones").text
    assert "lost since" in shown
    assert "5 entries, 0 photos" in shown
    assert house.send("crew1", f"/practice/phones/{phone}/found").status_code == 403
    assert house.send("owner1", f"/practice/phones/{phone}/found").status_code == 303
    started(house, "crew1", phone)


def test_what_was_made_on_a_lost_phone_is_looked_through_before_it_is_taken_in(house: House) -> None:
    ground, phone, who = house.grounds[0], new_id(), {"cookie": f"rootcase={house.tokens['owner1']}"}
    record = house.book.record(ground.id)
    about = {"of": record.trees[0].id, "visit": record.visits[0].id, "kind": "dbh", "value": 355.6, "typed": "14 in"}
    wrong = dict(about, kind="root_flare_state", choice="no such state", value=None)

    def told(**body: Any) -> dict[str, str]:
        said = ReadingTaken(slot=new_id(), **{name: each for name, each in body.items() if each is not None})
        event = Event(new_id(), "own", ground.id, "2016-01-01T00:00:00.000Z", phone, said)
        return {"id": event.id, "property_id": ground.id, "kind": said.KIND, "made_at": event.made_at, "device": phone,
                "body": body_text(said), "hash": event.hash}

    def send(*events: dict[str, str]) -> list[str]:
        answer = house.client.post("/api/events", json={"events": events}, headers=who | {"rootcase-phone": phone})
        return [each["state"] for each in answer.json()["events"]]

    made = [told(**about), told(**about), told(**wrong)]
    started(house, "owner1", phone)
    mark_lost(house.book.store, phone, NOW)
    house.send("owner1", f"/practice/phones/{phone}/found")
    assert send(*made) == send(*made) == ["waiting"] * 3
    assert set(house.client.post("/api/events/held", json={"ids": [each["id"] for each in made]},
                                 headers=who | {"rootcase-phone": phone}).json()["held"]) == {e["id"] for e in made}
    later = told(**about) | {"made_at": "2016-01-15T12:00:01.000Z"}
    assert send(later) == ["new"]
    for page in ("/practice/phones", "/practice/kept-aside"):
        assert "3 entries from a phone marked lost. Look through and take in?" in house.ask("owner1", page).text
    let_go = next(each for each in house.book.aside.kept(UNBOUND) if each.id == made[1]["id"])
    house.send("owner1", f"/practice/kept-aside/{let_go.mark}/let-go", data={"reason": "nobody took it"})
    assert house.send("crew1", f"/practice/phones/{phone}/take-in").status_code == 403
    assert house.send("owner1", f"/practice/phones/{phone}/take-in").status_code == 303
    assert send(*made) == ["known", "refused", "refused"]
    assert [(each.id, each.unseen) for each in house.book.aside.kept(UNBOUND)] == [(made[2]["id"], False)]
    assert "marked lost" not in house.ask("owner1", "/practice/kept-aside").text


def test_what_is_anothers_is_refused_before_anything_of_it_is_kept(house: House) -> None:
    """A phone that two are signed in on by turns, at one practice or at two, says whose it is that it sends."""
    body = PropertyOpened(slot=new_id(), name="By the mill", weather_station="", system="us", invented=False)
    event = Event(new_id(), "own", new_id(), "2016-01-15T11:00:00.000Z", "phone", body)
    batch = {"events": [{"id": event.id, "property_id": event.property_id, "kind": body.KIND, "device": "phone",
                         "made_at": event.made_at, "body": body_text(body), "hash": event.hash}]}
    photo = b"\xff\xd8\xff a picture"
    for sender, status in (("other crew2", 409), ("own crew1", 409), ("own", 409), ("own crew2", 200)):
        heads = {"rootcase-sender": sender, "cookie": f"rootcase={house.tokens['crew2']}"}
        mark = sha256(photo).hexdigest()
        for answer in (house.client.post("/api/events", json=batch, headers=heads),
                       house.client.post("/api/events/held", json={"ids": []}, headers=heads),
                       house.client.put(f"/api/photos/{mark}", content=photo, headers=heads)):
            assert answer.status_code == status, (sender, answer.text)
            assert status == 200 or answer.json()["where"] == "Rootcase-Sender"
        with house.book.store.reading() as look:
            assert (event.id in look.hashes([event.id])) is (status == 200)
            assert look.aside() == []
        assert (house.book.photos.find(mark) is not None) is (status == 200)


def test_a_phone_has_to_be_named(house: House) -> None:
    assert house.ask("crew1", "/api/field/start").status_code == 422
    assert house.ask("crew1", "/api/field/start", "phone 1").status_code == 422
    assert house.send("owner1", f"/practice/phones/{new_id()}/lost").status_code == 404


def test_what_was_sealed_on_a_phone_comes_in_by_another_of_the_practice(house: House) -> None:
    phone = new_id()
    told = started(house, "crew1", phone)
    pair = newest_pair(house.book.store)
    assert pair is not None
    assert told["practice"]["sealing"] == {"id": pair.id, "public": pair.public}
    contents = {"practice": "own", "phone": phone, "code": "crew1", "as": told["sealed_as"], "events": []}
    pack = sealed(pair, contents, b"x")
    answer = house.send("crew2", "/api/field/sealed", files={"file": ("sealed", pack)})
    assert answer.status_code == 200, answer.text
    assert (answer.json()["events"], len(answer.json()["photos"])) == ([], 1)
    assert house.send("crew2", "/api/field/sealed", files={"file": ("sealed", pack[:-1])}).status_code == 422
    assert pair.private not in json.dumps(told)


def test_a_file_of_unsent_entries_is_taken_in_at_the_desk(house: House) -> None:
    whole = {"rootcase_field": 1, "practice": "own", "events": [{"id": 3}], "photos": []}
    answer = house.send("crew1", "/import/phone-file", files={"file": ("unsent.json", json.dumps(whole))})
    assert answer.status_code == 200
    assert "0 entries taken in" in answer.text
    assert "entry 1: it cannot be read" in answer.text
    answer = house.send("crew1", "/import/phone-file", files={"file": ("<b>.json", "nothing")})
    assert answer.status_code == 422
    assert "no file of unsent entries" in answer.text


def test_prices_and_wishes_do_not_go_to_who_may_not_see_them(house: House) -> None:
    one = house.grounds[0]
    for who in ("crew1", "owner1"):
        house.send("owner1", f"/properties/{one.id}/jobs", data={"code": who, "day": ""})
    kinds = {who: {each["kind"] for each in house.ask(who, f"/api/field/properties/{one.id}").json()["readings"]}
             for who in ("crew1", "owner1")}
    assert "wish_lawn" in kinds["owner1"]
    assert not {each for each in kinds["crew1"] if each.startswith(("wish_", "budget"))}
    assert house.ask("crew1", f"/api/field/properties/{one.id}").json()["property"]["currency"] == ""
