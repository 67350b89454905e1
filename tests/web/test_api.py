"""The API: the same bytes as the command line, refusals in one form, and its description complete and kept."""

from __future__ import annotations

import json
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest
from fastapi.testclient import TestClient
from httpx2 import Response
from pypdf import PdfReader

from rootcase.fieldbook.events import Event, ReadingTaken, body_text
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.ground.ids import IdMaker
from rootcase.report.casework_json import casework_json, stage_json
from rootcase.services.demo import DAY
from rootcase.services.kept import kept_casework
from rootcase.services.offer import due_in_practice
from rootcase.services.run import Run
from rootcase.web.api import API


@pytest.fixture(scope="module")
def described(desk_app: TestClient) -> dict[str, Any]:
    found: dict[str, Any] = desk_app.get("/api/openapi.json").json()
    return found


@pytest.fixture(scope="module")
def ground(desk_app: TestClient) -> str:
    return str(next(each["id"] for each in desk_app.get("/api/properties").json() if "Alder" in each["name"]))


def test_the_answers_are_the_command_line_s_own_bytes(desk_app: TestClient, ground: str, desk_folder: Path,
                                                      desk_results: Path) -> None:
    run = Run(DAY, results=desk_results)
    with open_fieldbook(desk_folder / "demo.sqlite") as book:
        here = next(each for each in book.properties() if each.id == ground)
        kept = kept_casework(book, here, run).casework
        assert kept is not None
        due = due_in_practice(book, book.properties(), run, DAY)[0]
        wanted = {"record": stage_json(book.record(ground)), "compare": stage_json(kept.comparison),
                  "explain": stage_json(kept.explanations), "prescribe": stage_json(kept.plan),
                  "pests": stage_json(kept.pests), "casework": casework_json(kept),
                  "offers": stage_json(book.offers(ground))}
    for name, data in (*wanted.items(), *wanted.items()):  # the second time some are at hand
        answer = desk_app.get(f"/api/properties/{ground}/{name}")
        assert (answer.status_code, answer.content == data) == (200, True), name
    assert answer.headers["content-type"] == "application/json"
    assert desk_app.get("/api/due", params={"until": str(DAY)}).content == stage_json(due)


def test_casework_says_when_it_was_made_and_whether_it_is_current(desk_app: TestClient, ground: str) -> None:
    told = desk_app.get(f"/api/properties/{ground}/casework").headers
    assert (told["casework-made-on"], told["casework-current"]) == (str(DAY), "yes")


def plain_gets(described: dict[str, Any]) -> Iterator[str]:
    for path, methods in described["paths"].items():
        made_elsewhere = any(part in path for part in ("{job_id}", "sheets/{name}", "{batch_id}"))
        if "get" in methods and not made_elsewhere:  # by jobs; in the yard, see test_batches
            yield path


def test_every_answer_is_as_it_is_described(desk_app: TestClient, ground: str, described: dict[str, Any]) -> None:
    parts = {"components": described["components"]}
    for path in plain_gets(described):
        address = path.format(property_id=ground, name="shares" if "pictures" in path else "soil/texture_centres")
        answer = desk_app.get(address, params={"currency": "USD"} if path.endswith("prices") else {},
                              headers={"rootcase-phone": "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"})
        assert answer.status_code == 200, (address, answer.text)
        kind, (media_type, told) = answer.headers["content-type"], *(
            described["paths"][path]["get"]["responses"]["200"]["content"].items()),
        assert kind.startswith(media_type), path
        if media_type == "application/json":
            wrong = list(jsonschema_rs.validator_for(told["schema"] | parts).iter_errors(answer.json()))
            assert [(path, str(each)[:200], each.instance_path) for each in wrong] == []


def test_every_route_says_what_it_is_who_may_and_how_it_refuses(described: dict[str, Any]) -> None:
    assert len(described["paths"]) >= 30
    for path, methods in described["paths"].items():
        for method, about in methods.items():
            where = f"{method} {path}"
            assert about["summary"], where
            assert path == "/api/session" or about["x-roles"], where
            for status, told in about["responses"].items():
                if int(status) >= 400:
                    schema = told["content"]["application/json"]["schema"]
                    assert schema == {"$ref": "#/components/schemas/Refusal"}, where
                elif status != "204":
                    assert next(iter(told["content"].values()))["schema"], where
            for each in about.get("parameters", []):
                assert each["schema"], where
    assert {"session", "bearer"} == set(described["components"]["securitySchemes"])


def test_the_page_of_the_api_names_every_address(desk_app: TestClient, described: dict[str, Any]) -> None:
    page = desk_app.get("/api/")
    assert page.status_code == 200
    assert [path for path in described["paths"] if path not in page.text] == []


@pytest.mark.parametrize(("method", "path", "more", "status"), [
    ("GET", "/api/nowhere", {}, 404), ("PUT", "/api/practice", {}, 405),
    ("GET", "/api/properties/none", {}, 404), ("GET", "/api/properties/none/casework", {}, 404),
    ("GET", "/api/tables/..%2f..%2fsecret", {}, 404), ("GET", "/api/tables/soil", {}, 404),
    ("GET", "/api/jobs/none", {}, 404),
    ("GET", "/api/prices", {}, 422), ("GET", "/api/prices?currency=dollars", {}, 422),
    ("GET", "/api/due?until=soon", {}, 422), ("POST", "/api/events", {"content": "{"}, 422),
    ("POST", "/api/events", {"json": {"events": [], "more": 1}}, 422),
    ("POST", "/api/events", {"json": {"events": [{}] * 501}}, 422),
    ("POST", "/api/readings/nobody/correct", {"json": {"typed": "1", "reason": "x"}}, 404),
    ("POST", "/api/session", {"json": {"login": "x", "password": "y"}}, 401),
    ("POST", "/api/events", {"content": b"x" * (3 * 2**20)}, 413)])
def test_every_refusal_is_one_form(desk_app: TestClient, method: str, path: str, more: dict[str, Any],
                                   status: int) -> None:
    answer = desk_app.request(method, path, **more)
    assert answer.status_code == status, answer.text
    assert sorted(answer.json()) == ["error", "right", "where"]
    assert answer.json()["error"]


def test_what_is_sent_in_pieces_is_counted_too(desk_app: TestClient) -> None:
    def pieces() -> Iterator[bytes]:
        for _ in range(30):
            yield b"x" * 100_000

    answer = desk_app.post("/api/events", content=pieces())
    assert (answer.status_code, "2 MB" in answer.json()["error"]) == (413, True)


def test_readings_come_page_by_page_and_each_once(desk_app: TestClient, ground: str) -> None:
    address = f"/api/properties/{ground}/readings"
    every = desk_app.get(address, params={"limit": 1000}).json()
    assert every["next"] is None
    seen, after = [], ""
    while after is not None:
        part = desk_app.get(address, params={"limit": 137, "after": after}).json()
        seen += part["readings"]
        after = part["next"]
    assert seen == every["readings"]
    tree = next(each["of"] for each in seen if each["kind"] == "dbh")
    few = desk_app.get(address, params={"tree": tree, "kind": "dbh", "since": "2015-01-01"}).json()["readings"]
    assert few
    assert {(each["of"], each["kind"]) for each in few} == {(tree, "dbh")}
    assert desk_app.get(address, params={"after": "x"}).status_code == 404


def test_an_event_is_taken_in_once_corrected_and_taken_back(app_to_change: TestClient) -> None:
    here = app_to_change.get("/api/properties").json()[0]
    held = app_to_change.get(f"/api/properties/{here['id']}/record").json()
    body = ReadingTaken(slot="phone 1/1", kind="dbh", of=held["trees"][0]["id"], visit=held["visits"][0]["id"],
                        typed="300 mm", value=300.0)
    made = Event(IdMaker(lambda: 1452859200000, bytes)(), here["practice_id"], here["id"], "2016-01-15T11:00:00.000Z",
                 "phone 1", body)
    batch = {"events": [{"id": made.id, "property_id": here["id"], "kind": "reading_taken", "made_at": made.made_at,
                         "device": "phone 1", "body": body_text(body), "hash": made.hash}]}
    told = {"id": made.id, "hash": made.hash, "error": "", "right": "", "settled": ""}
    assert app_to_change.post("/api/events", json=batch).json()["events"] == [told | {"state": "new"}]
    answer = app_to_change.post("/api/events", json=batch)
    assert answer.json()["events"] == [told | {"state": "known"}]
    assert answer.headers["fieldbook-generation"] == answer.json()["generation"]

    def corrected(reading: str, typed: str) -> Response:
        return app_to_change.post(f"/api/readings/{reading}/correct", json={"typed": typed, "reason": "slip"})

    new = corrected(made.id, "310")
    assert new.status_code == 201
    assert corrected(made.id, "310").status_code == 404  # it is superseded
    assert corrected(new.json()["id"], "3 furlongs").status_code == 422
    back = app_to_change.post(f"/api/readings/{new.json()['id']}/take-back", json={"reason": "another tree"})
    assert back.status_code == 201
    readings = app_to_change.get(f"/api/properties/{here['id']}/readings", params={"limit": 1000}).json()["readings"]
    assert {made.id, new.json()["id"]} & {each["id"] for each in readings} == set()


def test_a_sheet_comes_in_by_the_same_door(app_to_change: TestClient) -> None:
    sheet = b"tree,species,dbh in\noak 77,Quercus rubra,12\n"
    answer = app_to_change.post("/api/imports", files={"file": ("../their trees.csv", sheet, "text/csv")})
    assert answer.status_code == 200, answer.text
    assert answer.json()["listing"]["file"] == "their trees.csv"
    assert json.loads(answer.text)["sheet"] is None
    assert app_to_change.post("/api/imports", files={"file": ("x.xlsx", b"PK\x03\x04 no", "")}).status_code == 422


def test_an_import_asks_in_the_words_of_the_api_and_tells_no_place_of_the_server(app_to_change: TestClient) -> None:
    sheet = b"Tag,Species,DBH (in),Lat,Long\n1,Quercus rubra,10,47.45,-122.31\n"
    files = {"file": ("trees.csv", sheet, "text/csv")}
    first = app_to_change.post("/api/imports", files=files)
    asked = {each["asks"]: each for each in first.json()["listing"]["questions"]}
    assert set(asked) >= {"property_name", "day"}
    assert "--" not in first.text
    assert "rootcase-" not in first.text
    assert (first.json()["listing"]["mapping_path"], first.json()["listing"]["rejects_path"]) == (None, None)
    answers = {"property_name": "Mill Lane", "day": "2015-06-14", "ground": "lawn", "system": "us", "currency": "USD"}
    saved = app_to_change.post("/api/imports", files=files, data={**answers, "save": "true"})
    assert (saved.json()["listing"]["saved"], saved.json()["listing"]["questions"]) == (True, [])
    refused = app_to_change.post("/api/imports", files={"file": ("own.csv", b"foo,bar\n1,2\n", "text/csv")})
    assert (refused.status_code, "--" in refused.text, "rootcase" in refused.text) == (422, False, False)


def test_every_address_of_the_api_is_described(described: dict[str, Any]) -> None:
    there = {(f"/api{route.path_format}", method.lower()) for router in API for route in router.routes
             for method in route.methods}  # type: ignore[attr-defined]
    assert there == {(path, method) for path, methods in described["paths"].items() for method in methods}


def test_the_report_of_the_api_bears_the_head_of_the_record(desk_app: TestClient) -> None:
    ground = next(each["id"] for each in desk_app.get("/api/properties").json() if "Alder" in each["name"])
    answer = desk_app.get(f"/api/properties/{ground}/report.pdf")
    assert answer.status_code == 200
    last = PdfReader(BytesIO(answer.content)).pages[-1].extract_text()
    assert "Record of work up to entry" in " ".join(last.split())
