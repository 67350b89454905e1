"""The event loop of the app never computes: what takes time is done by threads and processes."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from inspect import iscoroutinefunction
from pathlib import Path

import pytest
from fastapi.routing import APIRoute, iter_route_contexts
from fastapi.testclient import TestClient

import rootcase.web
from rootcase.fieldbook.people.sessions import open_session
from rootcase.web.limits import BRACKETS, STRANGERS
from tests.fieldbook.people.chance import chance
from tests.web.test_rights import NOW, House, desk_of, make_house

ON_THE_LOOP = {"typed_form", "__call__", "receive_so_much", "send_guarded", "open_for_work", "visitor",
               "casework"}
"""What is awaited: a form as it comes in, the gates that count and mark, who and what is at hand (one question to
SQLite each; the file is read by a thread); none of them computes."""


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory, desk_folder: Path) -> Iterator[House]:
    made = make_house(tmp_path_factory.mktemp("loop"), desk_folder)
    yield made
    desk_of(made).close()


@pytest.fixture(scope="module")
def of_program(house: House) -> dict[str, str]:
    """Headers of a program that has signed in."""
    token = open_session(desk_of(house).book("own").store, ("own", "crew1"), "api", "", NOW, chance(78))
    return {"content-type": "application/json", "authorization": f"Bearer {token}"}


def test_json_of_who_is_not_known_is_small(house: House, of_program: dict[str, str]) -> None:
    """It is read on the loop, before anybody is asked who they are."""
    large = b'{"events":[' + b"[]," * STRANGERS + b"[]]}"
    as_json = {"content-type": "application/json"}
    for address in ("/api/events", "/api/session"):
        answer = house.client.post(address, content=large, headers=as_json)
        assert (answer.status_code, "64 kB" in answer.text) == (413, True)
    assert house.client.post("/api/session", json={"login": "x", "password": "y"}).status_code == 401
    long = b'{"events":["' + b"x" * STRANGERS + b'"]}'
    assert house.client.post("/api/events", content=long, headers=of_program).status_code == 422


def test_json_of_a_great_many_parts_is_refused_before_it_is_read(
        house: House, of_program: dict[str, str], monkeypatch: pytest.MonkeyPatch) -> None:
    """Reading it would hold up everybody for half a second."""
    def read(*_: object, **__: object) -> None:
        raise AssertionError("this was read")

    monkeypatch.setattr("starlette.requests.json.loads", read)
    for parts in (b"[],", b"{},", b"["):
        many = b'{"events":[' + parts * (BRACKETS + 1)
        for address in ("/api/events", "/api/readings/none/correct"):
            answer = house.client.post(address, content=many, headers=of_program)
            assert (answer.status_code, "20,000 lists and objects" in answer.text) == (413, True)


def test_no_route_and_nothing_a_route_asks_for_runs_on_the_loop(desk_app: TestClient) -> None:
    routes = [each.original_route for each in iter_route_contexts(desk_app.app.routes)  # type: ignore[attr-defined]
              if isinstance(each.original_route, APIRoute)]
    assert len(routes) > 60
    assert [each.endpoint.__name__ for each in routes if iscoroutinefunction(each.endpoint)] == ["casework"]
    trees = (ast.parse(path.read_text(encoding="utf-8")) for path in Path(rootcase.web.__file__).parent.rglob("*.py"))
    found = {node.name for tree in trees for node in ast.walk(tree) if isinstance(node, ast.AsyncFunctionDef)}
    assert found <= ON_THE_LOOP, "look at what is new here, whether it computes"
