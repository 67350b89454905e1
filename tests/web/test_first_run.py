# ruff: noqa: F811
"""The first run: what it refuses, all at once, and who left before the password."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.people.register import people_of
from rootcase.web.desk import Desk
from rootcase.web.showing import TEMPLATES
from tests.fieldbook.people.quick import quick_passwords  # noqa: F401
from tests.web.test_people import OWNER, Clock, browser, clock, desk, faults, first_run_as  # noqa: F401


@pytest.mark.parametrize(("typed", "wrong"), [
    ({"practice": " "}, "needs a name"), ({"code": "Rowan"}, "is a name"), ({"code": "a b"}, "cannot be a code"),
    ({"login": ""}, "cannot be a login"), ({"name": ""}, "a name is wanted")])
def test_what_the_first_run_refuses_stands_beside_its_field(browser: Callable[[], TestClient], typed: dict[str, str],
                                                            wrong: str) -> None:
    refused = browser().post("/first-run", data=OWNER | typed)
    assert refused.status_code == 422
    assert wrong in faults(refused.text)[0]
    assert 'aria-invalid="true"' in refused.text


def test_all_that_the_first_run_refuses_is_told_at_once(browser: Callable[[], TestClient]) -> None:
    wrong = browser().post("/first-run", data={"key": "no", "practice": "", "code": "a b",
                                                       "name": "🌳" * 200, "login": ""})
    assert [each.partition(" (")[0].partition(";")[0] for each in faults(wrong.text)] == [
        "this is not the key of this start", "the practice needs a name", "this name is too long",
        "this cannot be a code", "this cannot be a login"]


def test_who_left_before_the_password_goes_on_or_is_let_go(browser: Callable[[], TestClient], desk: Desk,
                                                           clock: Clock) -> None:
    browser().post("/first-run", data=OWNER)
    assert "rowan@example.org" not in browser().get("/first-run").text, "without the key nobody is named"
    begun = browser().get("/first-run?key=first key").text
    assert "Rowan Doe, code ash1, login rowan@example.org" in begun
    assert 'value="ash1"' in begun
    other = OWNER | {"code": "elm2", "name": "Hazel Doe", "login": "rowan@example.org"}
    refused = browser().post("/first-run", data=other)
    assert "begun with another owner" in faults(refused.text)[0]
    assert 'name="anew"' in refused.text
    assert browser().post("/first-run", data=OWNER).status_code == 303, "the same person goes on"
    first_run_as(browser(), other | {"anew": "true"}, clock)
    with desk.own_book() as book:
        assert [(each.code, each.name) for each in people_of(book.store)] == [("ash1", ""), ("elm2", "Hazel Doe")]


def test_a_command_is_printed_as_the_program_was_started(browser: Callable[[], TestClient],
                                                         monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(TEMPLATES.globals, "command", "./run rootcase")
    assert "<code>./run rootcase serve --demo</code>" in browser().get("/first-run").text
