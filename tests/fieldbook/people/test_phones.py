"""Phones are known by themselves, have letters that no other has, and are answered no more while they are lost."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from rootcase.fieldbook.people.assigned import assign, assignments_of, unassign
from rootcase.fieldbook.people.phones import (
    PhoneLost,
    call_phone,
    heard,
    mark_found,
    mark_lost,
    phone_of,
    phones_of,
)
from rootcase.fieldbook.people.register import add_person, end_person
from rootcase.fieldbook.store import Store, open_store
from rootcase.ground.errors import ImpossibleValue, Missing, UnreadableValue
from rootcase.ground.ids import IdMaker
from rootcase.records.people import Assignment, PhoneAsked
from tests.fieldbook.people.chance import chance

NOW = datetime(2016, 1, 15, 12, tzinfo=UTC)
new_id = IdMaker(lambda: 1452859200000, chance(1))
LATER = NOW + timedelta(hours=1)


@pytest.fixture
def store(tmp_path: Path) -> Store:
    opened = open_store(tmp_path / "fieldbook.sqlite", "own")
    add_person(opened, "crew1", "Rowan Doe", "crew1", "crew")
    return opened


def test_each_phone_has_letters_of_its_own_and_keeps_them(store: Store) -> None:
    ids = [new_id() for _ in range(30)]
    letters = [heard(store, PhoneAsked(each), "crew1", NOW).letters for each in ids]
    assert letters[:9] == list("ABCDEFGHJ"), "I is read as 1"
    assert len(set(letters)) == 30
    assert letters[24] == "AA"
    assert [heard(store, PhoneAsked(each), "crew2", LATER).letters for each in ids] == letters
    assert [each.letters for each in phones_of(store)] == letters


def test_what_waited_is_told_as_it_was_last_heard(store: Store) -> None:
    asked = PhoneAsked(new_id(), (14, 6))
    assert heard(store, asked, "crew1", NOW).waiting == (14, 6)
    assert heard(store, PhoneAsked(asked.id), "crew1", LATER).waiting == (14, 6), "it did not say"
    assert heard(store, PhoneAsked(asked.id, (0, 0)), "crew1", LATER).waiting == (0, 0)
    assert phone_of(store, asked.id).last_heard == LATER


def test_nothing_is_written_for_every_request(store: Store) -> None:
    asked = PhoneAsked(new_id(), (1, 0))
    heard(store, asked, "crew1", NOW)
    other = open_store(Path(store.where), "own")
    before = other.commits()
    heard(store, asked, "crew1", NOW + timedelta(seconds=59))
    assert other.commits() == before
    heard(store, asked, "crew1", NOW + timedelta(seconds=60))
    assert other.commits() != before


def test_a_lost_phone_is_refused_until_it_is_found_and_that_it_asks_is_noted(store: Store) -> None:
    asked = PhoneAsked(new_id(), (5, 0))
    heard(store, PhoneAsked(asked.id), "crew1", NOW)
    mark_lost(store, asked.id, NOW)
    with pytest.raises(PhoneLost, match="marked lost"):
        heard(store, asked, "crew1", LATER)
    found = phone_of(store, asked.id)
    assert (found.lost, found.last_heard, found.waiting) == (NOW, LATER, (5, 0))
    mark_lost(store, asked.id, LATER)
    assert phone_of(store, asked.id).lost == NOW, "the first word stands"
    mark_found(store, asked.id, LATER)
    again = heard(store, asked, "crew1", LATER)
    assert (again.lost, again.found) == (None, LATER)


def test_another_practice_neither_sees_nor_marks_a_phone(store: Store, tmp_path: Path) -> None:
    asked = PhoneAsked(new_id())
    heard(store, asked, "crew1", NOW)
    other = open_store(tmp_path / "fieldbook.sqlite", "other")
    assert phones_of(other) == ()
    for change in (lambda: mark_lost(other, asked.id, NOW), lambda: mark_found(other, asked.id, NOW),
                   lambda: call_phone(other, asked.id, "x")):
        with pytest.raises(Missing, match="no such phone"):
            change()
    assert heard(other, asked, "x", NOW).letters == "A"
    assert phone_of(store, asked.id).name == ""


def test_a_name_is_kept_and_a_long_one_refused(store: Store) -> None:
    asked = PhoneAsked(new_id())
    heard(store, asked, "crew1", NOW)
    call_phone(store, asked.id, "  truck   2 ")
    assert phone_of(store, asked.id).name == "truck 2"
    with pytest.raises(UnreadableValue, match="too long"):
        call_phone(store, asked.id, "x" * 121)
    with pytest.raises(UnreadableValue, match="not an id"):
        heard(store, PhoneAsked("phone 1"), "crew1", NOW)


def test_who_goes_where(store: Store) -> None:
    day = date(2016, 1, 18)
    for when in (None, day, day):
        assign(store, "p", "CREW1", when, by="owner1", now=NOW)
    assert assignments_of(store) == (Assignment("p", "crew1", None, "owner1"), Assignment("p", "crew1", day, "owner1"))
    unassign(store, Assignment("p", "crew1", None, ""))
    assert assignments_of(store) == (Assignment("p", "crew1", day, "owner1"),)
    end_person(store, "crew1", NOW)
    with pytest.raises(ImpossibleValue, match="has left the practice"):
        assign(store, "p", "crew1", None, by="owner1", now=NOW)
    with pytest.raises(Missing, match="nobody here has this code"):
        assign(store, "p", "nobody", None, by="owner1", now=NOW)
