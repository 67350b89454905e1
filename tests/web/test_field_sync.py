"""What phones send, over the wire: told by id and hash, held, kept aside; and what the desk makes of the misfits."""

from __future__ import annotations

import json
from hashlib import sha256
from typing import Any

from fastapi.testclient import TestClient

from rootcase.fieldbook.events import Event, ReadingTaken, body_text
from rootcase.ground.ids import IdMaker

new_id = IdMaker(lambda: 1452859200000, bytes)
WHEN = "2016-01-15T11:00:00.000Z"
PICTURE = b"\xff\xd8\xff\xe0 a picture"


def event(app: TestClient, value: float = 304.8, **other: Any) -> dict[str, str]:
    """A reading as a phone posts it."""
    here = app.get("/api/properties").json()[0]
    held = app.get(f"/api/properties/{here['id']}/record").json()
    body = ReadingTaken(**{"slot": new_id(), "kind": "dbh", "of": held["trees"][0]["id"],
                           "visit": held["visits"][0]["id"], "typed": "999 in", "value": value} | other)
    made = Event(new_id(), here["practice_id"], here["id"], WHEN, "phone 1", body)
    return {"id": made.id, "property_id": here["id"], "kind": "reading_taken", "made_at": WHEN, "device": "phone 1",
            "body": body_text(body), "hash": made.hash}


def sent(app: TestClient, *events: dict[str, str], now: str = "") -> list[dict[str, str]]:
    answer = app.post("/api/events", content=json.dumps({"events": events, "now": now}),
                      headers={"content-type": "application/json"})
    assert answer.status_code == 200, answer.text
    told: list[dict[str, str]] = answer.json()["events"]
    return told


def test_one_event_that_nobody_can_read_keeps_no_other_back(app_to_change: TestClient) -> None:
    good, long, half = (event(app_to_change) for _ in range(3))
    long["body"], half["body"] = "9" * 1_000_000, '"\ud83c'
    assert [each["state"] for each in sent(app_to_change, long, half, good)] == ["refused", "refused", "new"]
    kept = {each["id"]: each for each in app_to_change.get("/api/kept-aside").json()["kept"]}
    assert kept[long["id"]]["body"] == long["body"]
    assert kept[half["id"]]["body"] == '"?'
    ids = [each["id"] for each in (good, long, half)]
    told = app_to_change.post("/api/events/held", json={"ids": [*ids, "never sent"]}).json()
    assert told["held"] == dict(zip(ids, (each["hash"] for each in (good, long, half)), strict=True))
    assert ({(each["id"], each["mark"], each["error"], each["settled"]) for each in told["aside"]}
            == {(each["id"], each["mark"], each["why"], "") for each in kept.values()})
    assert told["waiting"] == []
    for mark in (each["mark"] for each in kept.values()):
        assert app_to_change.post(f"/api/kept-aside/{mark}/as-text").status_code == 404, "it is no reading"
        assert app_to_change.post(f"/api/kept-aside/{mark}/let-go", json={"reason": "unreadable"}).status_code == 200
        assert app_to_change.post(f"/api/kept-aside/{mark}/let-go", json={"reason": "again"}).status_code == 404
    assert [each["settled"] for each in sent(app_to_change, long, half)] == ["let_go", "let_go"]
    told = app_to_change.post("/api/events/held", json={"ids": ids}).json()
    assert [each["settled"] for each in told["aside"]] == ["let_go", "let_go"]


def test_a_picture_is_kept_by_its_hash_and_refused_by_another(app_to_change: TestClient) -> None:
    mark = sha256(PICTURE).hexdigest()
    for _ in range(2):
        answer = app_to_change.put(f"/api/photos/{mark}", content=PICTURE)
        assert (answer.status_code, answer.json()["mark"]) == (200, mark)
        assert answer.headers["fieldbook-generation"] == answer.json()["generation"]
    assert app_to_change.put(f"/api/photos/{mark}", content=PICTURE[:-1]).status_code == 422
    assert app_to_change.put(f"/api/photos/{mark}", content=b"x" * 3_000_000).status_code == 422, "large, not too large"
    assert app_to_change.put("/api/photos/none", content=PICTURE).status_code == 422


def test_the_desk_puts_right_keeps_as_text_or_lets_go(app_to_change: TestClient) -> None:
    wrong = [event(app_to_change, 90_000.0) for _ in range(3)]
    sent(app_to_change, *wrong, now="2016-01-15T15:05:00.000Z")
    early = event(app_to_change, of="a tree to come")
    sent(app_to_change, early, now="2016-01-15T15:05:00.000Z")
    shown = app_to_change.get("/practice/kept-aside").text
    assert "999 in" in shown
    assert "waits for tree a tree to come" in shown
    assert "3 h 5 min ahead" in shown
    assert "needs you: 3" in app_to_change.get("/practice").text
    marks = {each["id"]: each["mark"] for each in app_to_change.get("/api/kept-aside").json()["kept"]}
    mend, text, gone = (f"/practice/kept-aside/{marks[each['id']]}" for each in wrong)
    again = app_to_change.post(f"{mend}/mend", data={"typed": "<b>9 furlongs"})
    assert again.status_code == 422
    assert 'value="&lt;b&gt;9 furlongs"' in again.text
    assert app_to_change.post(f"{gone}/let-go", data={"reason": " "}).status_code == 422
    assert app_to_change.post(f"{mend}/mend", data={"typed": "12 in"}, follow_redirects=False).status_code == 303
    assert app_to_change.post(f"{text}/as-text", follow_redirects=False).status_code == 303
    assert app_to_change.post(f"{gone}/let-go", data={"reason": "twice"}, follow_redirects=False).status_code == 303
    assert app_to_change.post(f"{gone}/let-go", data={"reason": "twice"}).status_code == 422, "it is settled"
    after = app_to_change.get("/practice/kept-aside").text
    assert "All that phones sent has come in" in after
    assert {how for how in ("Let go", "Put right", "Kept as text") if f"{how} by demo" in after} == {
        "Let go", "Put right", "Kept as text"}
    assert ": twice</li>" in after
    assert [each["settled"] for each in sent(app_to_change, *wrong)] == ["mended", "as_text", "let_go"]
