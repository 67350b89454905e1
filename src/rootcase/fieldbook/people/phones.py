"""Phones: each is known from its first request on, has letters of its own for its tags, and may be lost."""

from __future__ import annotations

from collections.abc import Container, Iterable
from datetime import datetime, timedelta
from itertools import count
from typing import Any

from sqlalchemy import Connection, Row, bindparam, insert, select, update

from rootcase.fieldbook.people.tokens import read_moment, read_perhaps, written
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.door import phones
from rootcase.fieldbook.store.practices import know_practice
from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.ground.ids import read_id
from rootcase.ground.length import MOST_NAME, require_length
from rootcase.ground.words import say
from rootcase.records.people import Phone, PhoneAsked

_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
"""Without I and O, which are read as figures on a tag."""
_SAME_HEARING = timedelta(minutes=1)
"""JUDGEMENT: how exactly it is told when a phone was last heard; nothing is written more often for that alone."""

_ONE = select(phones).where(phones.c.practice_id == bindparam("practice"), phones.c.id == bindparam("phone"))
"""Made once: it is asked at each request of a phone."""


class PhoneLost(ImpossibleValue):
    """A phone that is marked lost has asked; it gets nothing, and nothing of what it holds is taken."""


def heard(store: Store, asked: PhoneAsked, code: str, now: datetime) -> Phone:
    """Note that a phone has asked with somebody of this code signed in on it, and return it; a new one gets letters of
    its own. Raises PhoneLost where it is marked lost, which is noted too: that it asks again is worth knowing."""
    phone_id = read_id(asked.id)
    found = _find(store, phone_id)
    waiting = asked.waiting or (found.waiting if found else (0, 0))
    if found is None or (found.code, found.waiting) != (code, waiting) or now - found.last_heard >= _SAME_HEARING:
        found = _note(store, phone_id, waiting, code, now)
    if found.lost is not None:
        raise PhoneLost(say("phones.is_lost"), where=say("phones.field"), right=say("phones.say_found"))
    return found


def phones_of(store: Store) -> tuple[Phone, ...]:
    """Every phone of the practice, by its letters."""
    asked = select(phones).where(phones.c.practice_id == store.practice_id)
    with store.whole_file() as file:
        found = [_phone(row) for row in file.execute(asked)]
    return tuple(sorted(found, key=lambda phone: (len(phone.letters), phone.letters)))


def phone_of(store: Store, phone_id: str) -> Phone:
    """The phone of this id."""
    found = _find(store, phone_id)
    if found is None:
        raise Missing(say("phones.none_such"), value=phone_id[:60])
    return found


def call_phone(store: Store, phone_id: str, name: str) -> None:
    """Call a phone what people call it."""
    require_length(name, MOST_NAME)
    _change(store, phone_id, name=" ".join(name.split()))


def mark_lost(store: Store, phone_id: str, now: datetime) -> None:
    """Answer a phone no more, from its next request on; that it was lost before is not told anew."""
    if phone_of(store, phone_id).lost is None:
        _change(store, phone_id, lost_at=written(now))


def mark_found(store: Store, phone_id: str, now: datetime) -> None:
    """Answer a phone again; what was made on it until now is looked through before it is taken in."""
    if phone_of(store, phone_id).lost is not None:
        _change(store, phone_id, lost_at=None, found_at=written(now))


def to_look_through(phones: Iterable[Phone], now: datetime) -> dict[str, str]:
    """By the id of a phone that is or was lost: what was made on it before this moment is looked through first. When it
    says that it was made does not help: who had it could set its clock back."""
    return {each.id: written(now if each.lost else each.found) for each in phones if each.lost or each.found}


def _note(store: Store, phone_id: str, waiting: tuple[int, int], code: str, now: datetime) -> Phone:
    told = {"code": code, "last_heard_at": written(now), "waiting": waiting[0], "waiting_photos": waiting[1]}
    with store.whole_file(writes=True) as file:
        known = file.execute(update(phones).where(*_is(store, phone_id)).values(told))
        if not known.rowcount:
            know_practice(file, store.practice_id)
            taken = set(file.scalars(select(phones.c.letters).where(phones.c.practice_id == store.practice_id)))
            file.execute(insert(phones).values(told | {
                "practice_id": store.practice_id, "id": phone_id, "name": "", "letters": free_letters(taken),
                "first_heard_at": written(now), "lost_at": None, "found_at": None}))
        return _phone(_row(file, store, phone_id))


def free_letters(taken: Container[str]) -> str:
    """The first letters that no other phone has.

    >>> free_letters({"A", "B"}), free_letters(set(_LETTERS))
    ('C', 'AA')
    """
    return next(letters for number in count() if (letters := _letters(number)) not in taken)


def _letters(number: int) -> str:
    letters = _LETTERS[number % len(_LETTERS)]
    return letters if number < len(_LETTERS) else _letters(number // len(_LETTERS) - 1) + letters


def _change(store: Store, phone_id: str, **told: Any) -> None:
    with store.whole_file(writes=True) as file:
        changed = file.execute(update(phones).where(*_is(store, phone_id)).values(told))
    if not changed.rowcount:
        raise Missing(say("phones.none_such"), value=phone_id[:60])


def _find(store: Store, phone_id: str) -> Phone | None:
    with store.whole_file() as file:
        row = _row(file, store, phone_id)
    return None if row is None else _phone(row)


def _row(file: Connection, store: Store, phone_id: str) -> Any:
    return file.execute(_ONE, {"practice": store.practice_id, "phone": phone_id}).first()


def _is(store: Store, phone_id: str) -> tuple[Any, Any]:
    return phones.c.practice_id == store.practice_id, phones.c.id == phone_id


def _phone(row: Row[Any]) -> Phone:
    return Phone(row.id, row.letters, row.name, row.code, read_moment(row.first_heard_at),
                 read_moment(row.last_heard_at), (row.waiting, row.waiting_photos), read_perhaps(row.lost_at),
                 read_perhaps(row.found_at))
