"""The app answers, and its guard holds."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient

from rootcase.ground.errors import StoreError
from rootcase.web.statics import static


@pytest.mark.parametrize("address", ["/", "/make", "/proof"])
def test_the_places_open(desk_app: TestClient, address: str) -> None:
    answer = desk_app.get(address)
    assert answer.status_code == 200
    assert "rootcase" in answer.text


@pytest.mark.parametrize("host", [
    "example.org", "127.0.0.1.example.org", "", "[::1", "[", "x@127.0.0.1", "127.0.0.1#x", "127.0.0.1:x", "a]b"])
def test_another_name_for_this_machine_is_refused(desk_app: TestClient, host: str) -> None:
    answer = desk_app.get("/", headers={"host": host})
    assert answer.status_code == 403
    assert "does not answer as" in answer.text
    assert "content-security-policy" in answer.headers


@pytest.mark.parametrize("headers", [
    {"origin": "https://example.org"}, {"origin": "null"}, {"origin": ""}, {"origin": "http://["},
    {"origin": "http://127.0.0.1:81"}, {"origin": "127.0.0.1"},
    {"origin": "http://127.0.0.1", "sec-fetch-site": "cross-site"}, {"sec-fetch-site": "same-site"},
])
def test_a_form_of_another_site_is_refused(desk_app: TestClient, headers: dict[str, str]) -> None:
    answer = desk_app.post("/", headers=headers)
    assert answer.status_code == 403
    assert "another site" in answer.text


def test_a_program_signs_in_without_an_origin(desk_app: TestClient) -> None:
    headers = {"origin": ""}
    assert desk_app.post("/api/session", json={"login": "x", "password": "y"}, headers=headers).status_code == 401
    assert desk_app.request("DELETE", "/api/session", headers=headers).status_code == 403
    assert desk_app.post("/sign-in", data={"login": "x"}, headers=headers).status_code == 403


@pytest.mark.parametrize("address", ["/trees", "/api/properties"])
@pytest.mark.parametrize(("broken", "status"), [(RuntimeError("a secret"), 500), (StoreError("busy"), 503)])
def test_what_breaks_is_said_with_the_guards_headers_and_no_more(
        desk_app: TestClient, monkeypatch: pytest.MonkeyPatch, address: str, broken: Exception, status: int) -> None:
    def breaks(*asked: object) -> None:
        raise broken

    monkeypatch.setattr("rootcase.web.who.people.demo_owner", breaks)
    calm = TestClient(desk_app.app, base_url="http://127.0.0.1", raise_server_exceptions=False)
    answer = calm.get(address)
    assert answer.status_code == status
    assert "default-src 'none'" in answer.headers["content-security-policy"]
    assert answer.headers["cache-control"] == "no-store"
    assert "secret" not in answer.text
    assert "Traceback" not in answer.text
    assert answer.headers["content-type"].startswith("application/json") == address.startswith("/api/")


def test_every_answer_carries_its_policy(desk_app: TestClient) -> None:
    for address in ("/", "/nowhere", "/static/desk.css"):
        policy = desk_app.get(address).headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy


def test_pages_shrink_for_who_understands_it(desk_app: TestClient) -> None:
    shrunk = desk_app.get("/practice", headers={"accept-encoding": "gzip"})
    plain = desk_app.get("/practice", headers={"accept-encoding": "identity"})
    assert shrunk.headers["content-encoding"] == "gzip"
    assert int(shrunk.headers["content-length"]) < int(plain.headers["content-length"])
    assert shrunk.text == plain.text


def test_a_file_is_kept_by_the_state_that_its_address_names(desk_app: TestClient) -> None:
    address = static("desk.css")
    assert address in desk_app.get("/").text
    assert "immutable" in desk_app.get(address).headers["cache-control"]
    assert desk_app.get("/static/desk.css").headers["cache-control"] == "no-cache"
    assert desk_app.get("/static/../web/app.py").status_code == 404


@pytest.mark.parametrize(("cookie", "media"), [
    ("dark", 'media="screen"'), ("device", "prefers-color-scheme"), ("nonsense", "prefers-color-scheme")])
def test_the_page_is_dark_when_the_person_or_the_device_says_so(desk_app: TestClient, cookie: str, media: str) -> None:
    page = desk_app.get("/", headers={"cookie": f"theme={cookie}"}).text
    dark = next(line for line in page.splitlines() if "dark.css" in line)
    assert media in dark


def test_the_choice_of_light_stays_and_leads_back(desk_app: TestClient) -> None:
    said = desk_app.post("/theme", data={"theme": "light", "back": "/make"}, follow_redirects=False)
    assert (said.status_code, said.headers["location"]) == (303, "/make")
    assert "dark.css" not in desk_app.get("/make").text
    desk_app.post("/theme", data={"theme": "device"})
    assert "dark.css" in desk_app.get("/make").text


@pytest.mark.parametrize("away", ["//example.org", "https://example.org", "/\\example.org", "make"])
def test_the_choice_leads_nowhere_else(desk_app: TestClient, away: str) -> None:
    assert desk_app.post("/theme", data={"theme": "dark", "back": away}, follow_redirects=False).status_code == 422


@pytest.mark.parametrize("address", ["/", "/trees", "/api/properties", "/static/desk.css"])
def test_who_only_asks_for_the_head_gets_no_body(desk_app: TestClient, address: str) -> None:
    head = desk_app.head(address)
    assert (head.status_code, head.content) == (200, b"")
    assert head.headers["content-type"] == desk_app.get(address).headers["content-type"]


@pytest.mark.parametrize(("address", "typed", "told"), [
    ("/practice/units", {"system": "x" * 5000}, "none of the choices (got 5000 signs)"),
    ("/practice/papers", {"what": "kept <words>"}, "this was not sent"),
    ("/theme", {"theme": "pink", "back": "/"}, "none of the choices (got &#34;pink&#34;)")])
def test_a_form_of_another_shape_is_told_in_words_and_given_back(desk_app: TestClient, address: str,
                                                                 typed: dict[str, str], told: str) -> None:
    refused = desk_app.post(address, data=typed, headers={"referer": "http://127.0.0.1/practice/own"})
    assert refused.status_code == 422
    assert told in refused.text
    assert 'href="/practice/own"' in refused.text
    for words in typed.values():
        assert words.replace("<", "&lt;").replace(">", "&gt;") in refused.text


@pytest.mark.parametrize(("sent", "told"), [
    ("[]", {"error": "this is no object", "right": "fields by name, in curly brackets"}),
    ("{", {"error": "this is not JSON", "right": "one JSON object, in UTF-8"}),
    ('{"login": "x"}', {"error": "this was not sent", "where": "password"}),
    ('{"login": 5, "password": ""}', {"error": "this is no text (got 5)", "where": "login"}),
    ('{"login": "x", "password": "", "more": 1}', {"error": "nothing of this name is taken here (got 1)"}),
    ('{"login": "' + "x" * 500 + '", "password": ""}',
     {"error": "this is too long (got 500 signs)", "right": "at most 200 signs"})])
def test_a_program_is_told_in_the_same_words(desk_app: TestClient, sent: str, told: dict[str, str]) -> None:
    refused = desk_app.post("/api/session", content=sent, headers={"content-type": "application/json"})
    assert refused.status_code == 422
    assert told.items() <= refused.json().items()
    assert "pydantic" not in refused.text
