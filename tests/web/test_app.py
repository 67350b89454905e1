"""The app answers, and its guard holds."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient


@pytest.mark.parametrize("address", ["/", "/make", "/proof"])
def test_the_places_open(desk_app: TestClient, address: str) -> None:
    answer = desk_app.get(address)
    assert answer.status_code == 200
    assert "rootcase" in answer.text


@pytest.mark.parametrize("host", ["example.org", "127.0.0.1.example.org", ""])
def test_another_name_for_this_machine_is_refused(desk_app: TestClient, host: str) -> None:
    answer = desk_app.get("/", headers={"host": host})
    assert answer.status_code == 403
    assert "does not answer as" in answer.text


@pytest.mark.parametrize("headers", [
    {"origin": "https://example.org"}, {"origin": "null"}, {"origin": ""},
    {"origin": "http://127.0.0.1", "sec-fetch-site": "cross-site"}, {"sec-fetch-site": "same-site"},
])
def test_a_form_of_another_site_is_refused(desk_app: TestClient, headers: dict[str, str]) -> None:
    answer = desk_app.post("/", headers=headers)
    assert answer.status_code == 403
    assert "another site" in answer.text


def test_every_answer_carries_its_policy(desk_app: TestClient) -> None:
    for address in ("/", "/nowhere", "/static/desk.css"):
        policy = desk_app.get(address).headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
