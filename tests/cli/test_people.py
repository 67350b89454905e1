"""People on the machine itself, where nobody can come in any other way."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rootcase.cli.people import people
from rootcase.cli.serve import serve
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.keys import invitation_of
from rootcase.fieldbook.people.sessions import open_session, session_of
from rootcase.ground.errors import RootcaseError
from tests.fieldbook.people.chance import chance


def now() -> datetime:
    """The command line reads the clock, so what is held against it does too."""
    return datetime.now(UTC)  # noqa: TID251


def run(book: Path, *words: str) -> Result:
    return CliRunner().invoke(people, [*words, "--fieldbook", str(book)])


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "own.sqlite"
    added = run(path, "add", "ash1", "--name", "Rowan Doe", "--login", "rowan", "--role", "owner", "--signs")
    assert added.exit_code == 0
    return path


def test_who_is_added_gets_an_invitation_that_opens(book: Path) -> None:
    again = run(book, "invite", "ash1", "--address", "https://desk.example.org/")
    token = re.search(r"https://desk\.example\.org/invite/([\w-]{43})\n", again.output)
    assert token is not None
    assert "within 7 days" in again.output
    with open_fieldbook(book) as own:
        assert invitation_of(own.store, token[1], now())
    assert run(book, "list").output == (
        "ash1: Rowan Doe, owner, may sign; login rowan, has not set a password yet, sessions open: 0\n")


def test_what_stands_open_ends(book: Path) -> None:
    with open_fieldbook(book) as own:
        tokens = [open_session(own.store, ("own", "ash1"), "api", "", now(), chance(n)) for n in range(3)]
        assert run(book, "end-sessions", "ASH1").output == "3 sessions of ash1 ended\n"
        assert [session_of(own.store, token, now()) for token in tokens] == [None] * 3
        tokens = [open_session(own.store, ("own", "ash1"), "api", "", now(), chance(4))]
        assert "/invite/" in run(book, "reset-totp", "ash1").output
        assert session_of(own.store, tokens[0], now()) is None


def test_erasing_asks_first(book: Path) -> None:
    refused = CliRunner().invoke(people, ["erase", "ash1", "--fieldbook", str(book)], input="n\n")
    assert refused.exit_code == 1
    assert "Rowan Doe" in run(book, "list").output
    assert "ash1 is erased" in run(book, "erase", "ash1", "--yes").output
    assert run(book, "list").output == "ash1: erased, owner, does not sign; login erased, has left, sessions open: 0\n"


@pytest.mark.parametrize(("words", "wrong"), [
    (("invite", "nobody"), "nobody here has this code"), (("erase", "nobody", "--yes"), "nobody here has this code"),
    (("add", "a b", "--name", "Rowan", "--login", "r", "--role", "crew"), "cannot be a code")])
def test_what_cannot_be_is_one_line(book: Path, words: tuple[str, ...], wrong: str) -> None:
    done = run(book, *words)
    assert isinstance(done.exception, RootcaseError)
    assert wrong in str(done.exception)


def test_a_fieldbook_that_is_not_there_is_not_made(tmp_path: Path) -> None:
    assert "no fieldbook here yet" in str(run(tmp_path / "none.sqlite", "list").exception)
    assert not (tmp_path / "none.sqlite").exists()


@pytest.mark.parametrize("others", [("--host", "0.0.0.0"), ("--public-url", "https://trees.example.org")])
def test_the_invented_data_is_served_to_this_machine_alone(tmp_path: Path, others: tuple[str, str]) -> None:
    refused = CliRunner().invoke(serve, [*others, "--fieldbook", str(tmp_path / "none.sqlite")])
    assert "shown to this machine alone" in str(refused.exception)
    assert "make your own practice first" in str(refused.exception)
