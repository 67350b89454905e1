"""Wrong tries make one wait longer and longer, whichever login or address they use."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rootcase.fieldbook.people.attempts import (
    FORGOTTEN_AFTER,
    FREE_TRIES,
    FREE_TRIES_OF_A_LOGIN,
    FREE_TRIES_OF_AN_ADDRESS,
    LONGEST_WAIT,
    LONGEST_WAIT_OF_A_LOGIN,
    count_attempt,
    forget_attempts,
)
from rootcase.fieldbook.store import Store, open_store

NOW = datetime(2016, 1, 15, 12, tzinfo=UTC)
NONE = timedelta()


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return open_store(tmp_path / "fieldbook.sqlite", "own")


def waits(store: Store, tries: int, login: str = "ann", address: str = "192.0.2.1") -> list[int]:
    """Seconds of waiting before each try, when every one waits as it is told."""
    now, found = NOW, []
    for number in range(tries):
        wait = count_attempt(store, login, f"{address}{number}" if address.endswith(".") else address, now)
        found.append(round(wait.total_seconds()))
        if wait:
            now += wait
            assert count_attempt(store, login, f"{address}{number}" if address.endswith(".") else address, now) == NONE
    return found


def test_the_wait_grows_with_each_wrong_try_of_a_login(store: Store) -> None:
    assert waits(store, FREE_TRIES + 12)[FREE_TRIES - 1:] == [0, 1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 900, 900]
    assert timedelta(seconds=900) == LONGEST_WAIT


def test_who_tries_from_everywhere_keeps_nobody_out_for_long(store: Store) -> None:
    """Nor gets in by more than a hundred tries an hour (OWASP ASVS 4.0, 2.2.1)."""
    told = waits(store, FREE_TRIES_OF_A_LOGIN + 8, address="192.0.2.")
    assert told[FREE_TRIES_OF_A_LOGIN - 1:] == [0, 1, 2, 4, 8, 16, 32, 40, 40]
    assert timedelta(hours=1) / LONGEST_WAIT_OF_A_LOGIN <= 100


def test_a_stranger_does_not_hold_the_owner_s_own_place(store: Store) -> None:
    waits(store, FREE_TRIES + 10, address="198.51.100.1")
    later = NOW + timedelta(hours=6)
    for _ in range(FREE_TRIES):
        count_attempt(store, "ann", "198.51.100.1", later)
    assert count_attempt(store, "ann", "198.51.100.1", later) == LONGEST_WAIT
    assert count_attempt(store, "ann", "192.0.2.1", later) == NONE
    forget_attempts(store, "ann", "192.0.2.1")
    assert count_attempt(store, "ann", "198.51.100.1", later) == LONGEST_WAIT, "another's coming in forgives nothing"
    forget_attempts(store, "ann")
    assert count_attempt(store, "ann", "198.51.100.1", later) == NONE


def test_an_address_waits_though_each_login_is_new(store: Store) -> None:
    for number in range(FREE_TRIES_OF_AN_ADDRESS):
        assert count_attempt(store, f"login {number}", "192.0.2.1", NOW) == NONE
    assert count_attempt(store, "one more", "192.0.2.1", NOW) == timedelta(seconds=1)
    assert count_attempt(store, "one more", "192.0.2.2", NOW) == NONE


def test_the_addresses_of_one_place_are_one(store: Store) -> None:
    for number in range(FREE_TRIES_OF_AN_ADDRESS):
        count_attempt(store, f"login {number}", f"2001:db8:1:2::{number:x}", NOW)
    assert count_attempt(store, "one more", "2001:db8:1:2:ffff::1", NOW) > NONE
    assert count_attempt(store, "one more", "2001:db8:1:3::1", NOW) == NONE


def test_many_at_once_gain_nothing(store: Store) -> None:
    """Each is counted before it is judged, so the sixth of a volley waits although no answer is out yet."""
    assert [count_attempt(store, "ann", "192.0.2.1", NOW) > NONE for _ in range(FREE_TRIES + 3)] == [
        *[False] * FREE_TRIES, True, True, True]


def test_who_comes_in_is_forgotten_and_so_is_who_stays_away_a_day(store: Store, tmp_path: Path) -> None:
    waits(store, FREE_TRIES + 1)
    forget_attempts(store, "ann", "192.0.2.1")
    assert count_attempt(store, "ann", "192.0.2.1", NOW + timedelta(seconds=10)) == NONE
    waits(store, FREE_TRIES + 1, login="bob")
    again = open_store(tmp_path / "fieldbook.sqlite", "own")
    assert count_attempt(again, "bob", "192.0.2.1", NOW + FORGOTTEN_AFTER + timedelta(seconds=10)) == NONE


def test_what_was_typed_as_a_login_is_not_kept(store: Store, tmp_path: Path) -> None:
    count_attempt(store, "mypasswordbymistake", "192.0.2.1", NOW)
    assert not any(b"bymistake" in file.read_bytes() for file in tmp_path.iterdir())
