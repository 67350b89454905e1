"""People of a practice: codes that stay, an owner that stays, and what is erased when somebody is."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from sqlalchemy import select, update

from rootcase.fieldbook.people import keys
from rootcase.fieldbook.people.keys import (
    INVITED_FOR,
    accept,
    drop_keys,
    invitation_of,
    invite,
    knows_password,
    proved,
    set_password,
)
from rootcase.fieldbook.people.password import is_password, made_otherwise
from rootcase.fieldbook.people.register import (
    add_person,
    change_role,
    change_system,
    end_person,
    erase_person,
    people_of,
    person,
)
from rootcase.fieldbook.people.sessions import IDLE, end_session, end_sessions, open_session, session_of, sessions_of
from rootcase.fieldbook.people.totp import code_of, step_at
from rootcase.fieldbook.store import Store, open_store
from rootcase.fieldbook.store.door import sign_ins
from rootcase.ground.errors import ImpossibleValue, Missing, RootcaseError, UnreadableValue
from tests.fieldbook.people.chance import chance
from tests.fieldbook.people.quick import quick_passwords  # noqa: F401
from tests.fieldbook.sheets import whole_property

NOW = datetime(2016, 1, 15, 12, tzinfo=UTC)
PASSWORD = "roots under the lawn"


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return open_store(tmp_path / "fieldbook.sqlite", "own")


def let_in(store: Store, code: str, name: str, role: str = "owner", *, may_sign: bool = False) -> str:
    """A person who has accepted their invitation; returns the secret of the second step."""
    add_person(store, code, name, f"{code}@example.org", role, may_sign=may_sign)  # type: ignore[arg-type]
    token = invite(store, code, NOW, chance(sum(code.encode())))
    invitation = invitation_of(store, token, NOW)
    assert invitation is not None
    assert accept(store, token, PASSWORD, code_of(invitation.totp_secret, step_at(NOW)), NOW)
    return invitation.totp_secret


def test_who_is_invited_sets_a_password_and_a_second_step_once(store: Store) -> None:
    added = add_person(store, "ash1", "Rowan Doe", "Rowan@Example.org", "owner", may_sign=True)
    assert (added.login, added.can_sign_in, added.has_second_step) == ("rowan@example.org", False, False)
    old, token = invite(store, "ash1", NOW, chance(2)), invite(store, "ash1", NOW, chance(3))
    assert invitation_of(store, old, NOW) is None
    assert invitation_of(store, token, NOW + INVITED_FOR) is None
    invitation = invitation_of(store, token, NOW)
    assert invitation is not None
    code = code_of(invitation.totp_secret, step_at(NOW))
    with pytest.raises(UnreadableValue, match=r"too short.*\(got 11 signs\); 12 to 200 signs"):
        accept(store, token, "eleven sign", code, NOW)
    with pytest.raises(UnreadableValue, match="the code does not fit"):
        accept(store, token, PASSWORD, "", NOW)
    let = accept(store, token, PASSWORD, code, NOW)
    assert let is not None
    assert (let.can_sign_in, let.has_second_step) == (True, True)
    assert accept(store, token, PASSWORD, code, NOW) is None
    there = open_session(store, ("own", "ash1"), "browser", "", NOW, chance(4))
    accept(store, invite(store, "ash1", NOW, chance(3)), PASSWORD, code, NOW)
    assert session_of(store, there, NOW) is None, "what stood open ends"


def test_crew_may_do_without_a_second_step(store: Store) -> None:
    add_person(store, "elm2", "Hazel Doe", "elm2", "crew")
    assert accept(store, invite(store, "elm2", NOW, chance(1)), PASSWORD, "", NOW)
    assert proved(store, "elm2", PASSWORD, "", NOW) == ("own", "elm2")


def test_password_and_code_prove_who_it_is_and_a_code_counts_once(store: Store) -> None:
    secret = let_in(store, "ash1", "Rowan Doe")
    later = NOW + timedelta(seconds=90)
    code = code_of(secret, step_at(later))
    assert proved(store, "ash1@example.org", PASSWORD, code_of(secret, step_at(NOW)), NOW) is None, "used to set it up"
    assert proved(store, "ash1@example.org", PASSWORD + ".", code, later) is None
    assert proved(store, "nobody@example.org", PASSWORD, code, later) is None
    assert proved(store, "ash1@example.org", PASSWORD, "000000", later) is None
    assert proved(store, "ash1@example.org", PASSWORD, code, later) == ("own", "ash1")
    assert proved(store, "ash1@example.org", PASSWORD, code, later) is None, "a replay"
    assert proved(store, "ash1@example.org", PASSWORD, code_of(secret, step_at(later) - 1), later) is None, "an older"


def test_one_code_lets_one_in_though_two_come_at_once(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    secret = let_in(store, "ash1", "Rowan Doe")
    later = NOW + timedelta(seconds=60)
    typed = ("ash1@example.org", PASSWORD, code_of(secret, step_at(later)), later)
    quicker: list[tuple[str, str] | None] = []

    def slow(kept: str | None, password: str) -> bool:
        monkeypatch.undo()
        quicker.append(proved(store, *typed))  # while this one still compares
        return is_password(kept, password)

    monkeypatch.setattr(keys, "is_password", slow)
    assert proved(store, *typed) is None
    assert quicker == [("own", "ash1")]


@pytest.mark.parametrize(("code", "name", "login", "role", "may_sign", "wrong"), [
    ("ash 1", "Rowan Doe", "r", "owner", False, "cannot be a code"),
    ("thirteensigns", "Rowan Doe", "r", "owner", False, "cannot be a code"),
    ("", "Rowan Doe", "r", "owner", False, "cannot be a code"),
    ("a/b", "Rowan Doe", "r", "owner", False, "cannot be a code"),
    ("ROWAN", "Rowan Doe", "r", "owner", False, "the code is a name"),
    ("ASH1", "Rowan Doe", "r", "owner", False, "somebody has or had this code"),
    ("ash2", "Rowan Doe", "ASH1@example.org", "owner", False, "login is used already"),
    ("ash2", "  ", "r", "owner", False, "a name is wanted"),
    ("ash2", "Rowan Doe", "two words", "owner", False, "cannot be a login"),
    ("ash2", "Rowan Doe", "x" * 65, "owner", False, "cannot be a login"),
    ("ash2", "Rowan Doe", "r", "crew", True, "the right to sign is for owners and practitioners"),
])
def test_who_cannot_be_added(store: Store, code: str, name: str, login: str, role: str, may_sign: bool,
                             wrong: str) -> None:
    let_in(store, "ash1", "Rowan Doe")
    with pytest.raises(RootcaseError, match=wrong):
        add_person(store, code, name, login, role, may_sign=may_sign)  # type: ignore[arg-type]
    assert [each.code for each in people_of(store)] == ["ash1"]


def test_the_last_owner_who_can_sign_in_stays(store: Store) -> None:
    let_in(store, "ash1", "Rowan Doe")
    add_person(store, "elm2", "Hazel Doe", "elm2", "owner")
    for remove in (lambda: end_person(store, "ash1", NOW), lambda: erase_person(store, "ash1", NOW),
                   lambda: change_role(store, "ash1", "practitioner", may_sign=False)):
        with pytest.raises(ImpossibleValue, match="no owner would be left who can sign in"):
            remove()
    assert person(store, "ash1").ended is None
    let_in(store, "oak3", "Linden Doe")
    assert end_person(store, "ash1", NOW).ended == NOW
    with pytest.raises(ImpossibleValue, match="has left"):
        invite(store, "ash1", NOW, chance(1))


def test_a_role_that_asks_for_a_second_step_waits_for_a_new_invitation(store: Store) -> None:
    add_person(store, "elm2", "Hazel Doe", "elm2", "crew")
    accept(store, invite(store, "elm2", NOW, chance(1)), PASSWORD, "", NOW)
    token = open_session(store, ("own", "elm2"), "browser", "", NOW, chance(2))
    raised = change_role(store, "elm2", "practitioner", may_sign=True)
    assert (raised.role, raised.may_sign, raised.can_sign_in) == ("practitioner", True, False)
    assert proved(store, "elm2", PASSWORD, "", NOW) is None
    assert session_of(store, token, NOW) is None


def test_a_session_is_known_by_its_token_alone_and_for_a_time(store: Store, tmp_path: Path) -> None:
    let_in(store, "ash1", "Rowan Doe", may_sign=True)
    token = open_session(store, ("own", "ash1"), "browser", "Firefox", NOW, chance(4))
    found = session_of(store, token, NOW)
    assert found is not None
    session, whose = found
    assert (session.kind, session.device, session.expires) == ("browser", "Firefox", NOW + IDLE)
    assert whose == person(store, "ash1")
    assert not any(token.encode() in file.read_bytes() for file in tmp_path.iterdir())
    assert session_of(store, token[:-1], NOW) is None
    later = NOW + timedelta(days=29)
    again = session_of(store, token, later)
    assert again is not None
    assert again[0] == replace(session, seen=later, expires=later + IDLE)
    assert session_of(store, token, later + IDLE) is None
    assert sessions_of(store, "ash1", later) == (again[0],)


def test_an_end_in_another_process_counts_at_the_next_request(store: Store, tmp_path: Path) -> None:
    let_in(store, "ash1", "Rowan Doe")
    tokens = [open_session(store, ("own", "ash1"), "api", "", NOW, chance(seed)) for seed in range(3)]
    first, second, third = (session_of(store, token, NOW) for token in tokens)
    assert first is not None
    assert second is not None
    assert third is not None
    elsewhere = open_store(tmp_path / "fieldbook.sqlite", "own")
    end_session(elsewhere, "ash1", first[0].id)
    assert [session_of(store, token, NOW) is not None for token in tokens] == [False, True, True]
    with pytest.raises(Missing, match="no such session"):
        end_session(open_store(tmp_path / "fieldbook.sqlite", "other"), "ash1", second[0].id)
    assert end_sessions(elsewhere, "ash1", but=second[0].id) == 1
    assert [session_of(store, token, NOW) is not None for token in tokens] == [False, True, False]
    let_in(store, "oak3", "Linden Doe")
    end_person(elsewhere, "ash1", NOW)
    assert session_of(store, tokens[1], NOW) is None


def test_who_is_erased_is_nowhere_in_the_files_and_the_readings_stay(store: Store, tmp_path: Path) -> None:
    with store.writing() as turn:
        turn.add(whole_property())
    let_in(store, "oak3", "Linden Doe")
    secret = let_in(store, "ash1", "Name Tobeforgotten")
    open_session(store, ("own", "ash1"), "browser", "Browser Tobeforgotten", NOW, chance(5))
    invite(store, "ash1", NOW, chance(6))
    traces = (b"Tobeforgotten", b"ash1@example.org", secret.encode())
    assert all(any(trace in file.read_bytes() for file in tmp_path.iterdir()) for trace in traces)
    erased = erase_person(store, "ash1", NOW)
    assert not any(trace in file.read_bytes() for file in tmp_path.iterdir() for trace in traces)
    assert (erased.code, erased.name, erased.login, erased.ended) == ("ash1", "", "", NOW)
    with store.reading() as look:
        assert look.events("p") == whole_property()
    with pytest.raises(ImpossibleValue, match="had this code"):
        add_person(store, "ash1", "Another Doe", "another", "crew")


def test_units_are_a_persons_own(store: Store, tmp_path: Path) -> None:
    let_in(store, "ash1", "Rowan Doe")
    assert change_system(store, "ash1", "metric").system == "metric"
    with pytest.raises(Missing, match="nobody here has this code"):
        change_system(open_store(tmp_path / "fieldbook.sqlite", "other"), "ash1", "us")


def test_another_password_takes_the_place_of_the_one_that_stood(store: Store) -> None:
    let_in(store, "ash1", "Rowan Doe")
    assert knows_password(store, "ash1", PASSWORD)
    set_password(store, "ash1", "another long password")
    assert not knows_password(store, "ash1", PASSWORD)
    assert knows_password(store, "ash1", "another long password")
    assert not knows_password(store, "elm2", PASSWORD)
    with pytest.raises(UnreadableValue, match="too short"):
        set_password(store, "ash1", "short")


def test_who_lost_the_device_needs_a_new_invitation(store: Store) -> None:
    secret = let_in(store, "ash1", "Rowan Doe")
    token = open_session(store, ("own", "ash1"), "browser", "", NOW, chance(1))
    drop_keys(store, "ash1")
    later = NOW + timedelta(seconds=60)
    assert session_of(store, token, NOW) is None
    assert proved(store, "ash1@example.org", PASSWORD, code_of(secret, step_at(later)), later) is None
    set_password(store, "ash1", PASSWORD)
    assert proved(store, "ash1@example.org", PASSWORD, "", later) is None, "no password without the invitation"


def test_a_role_with_a_second_step_never_comes_in_without_one(store: Store) -> None:
    let_in(store, "ash1", "Rowan Doe")
    with store.whole_file(writes=True) as file:
        file.execute(update(sign_ins).values(totp_secret=None))
    assert proved(store, "ash1@example.org", PASSWORD, "", NOW) is None


def test_a_password_by_older_parameters_is_made_anew(store: Store) -> None:
    let_in(store, "ash1", "Rowan Doe", "crew")
    old = PasswordHasher(time_cost=2, memory_cost=16, parallelism=1).hash(PASSWORD)
    with store.whole_file(writes=True) as file:
        file.execute(update(sign_ins).values(password_hash=old, totp_secret=None))
    assert proved(store, "ash1@example.org", PASSWORD, "", NOW) == ("own", "ash1")
    with store.whole_file() as file:
        kept = file.scalar(select(sign_ins.c.password_hash))
    assert kept != old
    assert not made_otherwise(kept)
    assert knows_password(store, "ash1", PASSWORD)


def test_practices_share_a_file_and_nobody(store: Store, tmp_path: Path) -> None:
    let_in(store, "ash1", "Rowan Doe")
    other = open_store(tmp_path / "fieldbook.sqlite", "other")
    assert people_of(other) == ()
    with pytest.raises(ImpossibleValue, match="login is used already"):
        add_person(other, "ash1", "Rowan Doe", "ash1@example.org", "owner")
    add_person(other, "ash1", "Rowan Other", "other", "crew")
    accept(other, invite(other, "ash1", NOW, chance(1)), PASSWORD, "", NOW)
    assert proved(store, "other", PASSWORD, "", NOW) == ("other", "ash1")
    erase_person(other, "ash1", NOW)
    assert person(store, "ash1").name == "Rowan Doe"
