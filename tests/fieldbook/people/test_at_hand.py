"""A session at hand ends when it is ended, by whichever program, and when it expires."""

from __future__ import annotations

from pathlib import Path

import pytest

from rootcase.fieldbook.people import at_hand, sessions
from rootcase.fieldbook.people.at_hand import SessionsAtHand
from rootcase.fieldbook.people.register import add_person, end_person
from rootcase.fieldbook.people.sessions import end_session, open_session
from tests.fieldbook.people.chance import chance
from tests.fieldbook.sheets import NOW, open_book


def test_it_is_read_once_and_ended_from_anywhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []
    looked_up = at_hand.session_of
    monkeypatch.setattr(at_hand, "session_of", lambda *given: asked.append(1) or looked_up(*given))  # type: ignore[func-returns-value]
    hand = SessionsAtHand()
    with open_book(tmp_path / "book.sqlite") as book, open_book(tmp_path / "book.sqlite") as elsewhere:
        for code in ("a1", "b2"):
            add_person(book.store, code, "Rowan Doe", code, "crew")
        first, second = (open_session(book.store, ("own", code), "browser", "", NOW, chance(number))
                         for number, code in enumerate(("a1", "b2")))
        assert hand.held(book.store.where, first, NOW) is None
        for _ in range(3):
            found = hand.session(book.store, first, NOW)
            assert found is not None
            assert found[1].code == "a1"
        assert len(asked) == 1
        assert hand.session(book.store, second, NOW) is not None
        assert hand.held(book.store.where, first, NOW) == found
        assert hand.held("another file", first, NOW) is None
        end_session(elsewhere.store, "a1", found[0].id)
        assert hand.held(book.store.where, first, NOW) is None
        assert hand.session(book.store, first, NOW) is None
        assert hand.session(book.store, second, NOW) is not None
        end_person(elsewhere.store, "b2", NOW)
        assert hand.session(book.store, second, NOW) is None
        assert hand.session(book.store, "nobody's", NOW) is None


def test_it_expires_on_time_though_it_is_at_hand(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Sessions that end sooner than they are read again: longer ones are put off by whoever looks."""
    monkeypatch.setattr(sessions, "IDLE", at_hand._AGAIN / 2)
    hand = SessionsAtHand()
    with open_book(tmp_path / "book.sqlite") as book:
        add_person(book.store, "a1", "Rowan Doe", "a1", "crew")
        token = open_session(book.store, ("own", "a1"), "browser", "", NOW, chance(1))
        assert hand.session(book.store, token, NOW) is not None
        assert hand.session(book.store, token, NOW + sessions.IDLE) is None
