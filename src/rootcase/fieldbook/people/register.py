"""The people of a practice: added, changed, ended, erased; what they read and signed stays under their code."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from typing import Any
from unicodedata import normalize

from sqlalchemy import Connection, Row, delete, insert, select, update

from rootcase.fieldbook.people.attempts import forget_attempts
from rootcase.fieldbook.people.tokens import read_perhaps, written
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.door import invitations, sessions, sign_ins
from rootcase.fieldbook.store.practices import know_practice
from rootcase.fieldbook.store.schema import people
from rootcase.ground.errors import ImpossibleValue, Missing, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.records.people import SIGNING_ROLES, Person, Role

WITH_SIGN_IN = (sign_ins.c.practice_id == people.c.practice_id) & (sign_ins.c.code == people.c.code)
_CODE = re.compile(r"[\w.-]{1,12}")
_LONGEST_LOGIN = 64
_LONGEST_NAME = 120


def people_of(store: Store) -> tuple[Person, ...]:
    """Everybody of the practice by code, those who left among them."""
    with store.whole_file() as file:
        return tuple(_everybody(file, store))


def person(store: Store, code: str) -> Person:
    """The one of this code."""
    found = next((each for each in people_of(store) if each.code.casefold() == code.casefold()), None)
    if found is None:
        raise Missing(say("people.nobody"), value=code, right=say("people.see_people"))
    return found


def add_person(store: Store, code: str, name: str, login: str, role: Role, *, may_sign: bool = False,
               system: System = "us") -> Person:
    """Add somebody, who can sign in once they have set a password of their own."""
    code, name, login = code.strip(), read_name(name), read_login(login)
    require_code(code, name)
    _require_signer(role, may_sign)
    with _people_kept(store) as file:
        if any(each.code.casefold() == code.casefold() for each in _everybody(file, store)):
            raise ImpossibleValue(say("people.code_taken"), where=say("people.field.code"), value=code,
                                  right=say("people.another_code"))
        _require_free(file, login)
        know_practice(file, store.practice_id)
        file.execute(insert(people).values(practice_id=store.practice_id, code=code, name=name, role=role,
                                           may_sign=may_sign, system=system))
        file.execute(insert(sign_ins).values(practice_id=store.practice_id, code=code, login=login, totp_step=0))
    return person(store, code)


def change_role(store: Store, code: str, role: Role, *, may_sign: bool) -> Person:
    """Give somebody another role. One that asks for a second step, given to who has none, ends what they signed in by:
    they need a new invitation."""
    _require_signer(role, may_sign)
    found = person(store, code)
    with _people_kept(store) as file:
        file.execute(update(people).where(*_is(people, found)).values(role=role, may_sign=may_sign))
        if role in SIGNING_ROLES and not found.has_second_step:
            file.execute(update(sign_ins).where(*_is(sign_ins, found)).values(password_hash=None))
            file.execute(delete(sessions).where(*_is(sessions, found)))
    return person(store, code)


def rename(store: Store, code: str, name: str, login: str) -> Person:
    """Give somebody another name and login; the code stays."""
    found, name, login = person(store, code), read_name(name), read_login(login)
    with store.whole_file(writes=True) as file:
        if login != found.login:
            _require_free(file, login)
        file.execute(update(people).where(*_is(people, found)).values(name=name))
        file.execute(update(sign_ins).where(*_is(sign_ins, found)).values(login=login))
    return person(store, code)


def change_system(store: Store, code: str, system: System) -> Person:
    """Give somebody the units they read in; what is kept does not change."""
    found = person(store, code)
    with store.whole_file(writes=True) as file:
        file.execute(update(people).where(*_is(people, found)).values(system=system))
    return person(store, code)


def end_person(store: Store, code: str, now: datetime) -> Person:
    """Somebody is no longer of the practice: nothing lets them in any more."""
    found = person(store, code)
    with _people_kept(store) as file:
        take_keys(file, found)
        file.execute(update(people).where(*_is(people, found), people.c.ended_at.is_(None)).values(
            ended_at=written(now), may_sign=False))
    return person(store, code)


def erase_person(store: Store, code: str, now: datetime) -> Person:
    """Take name, login, password and sessions out of the file itself; the code stays, and all that stands under it."""
    end_person(store, code, now)
    found = person(store, code)
    with store.whole_file(writes=True) as file:
        file.execute(update(people).where(*_is(people, found)).values(name=""))
        file.execute(delete(sign_ins).where(*_is(sign_ins, found)))
    forget_attempts(store, found.login)
    store.empty_journal()
    return person(store, code)


def read_login(typed: str) -> str:
    """A login as it is compared.

    >>> read_login(" Ann@Example.org ")
    'ann@example.org'
    """
    login = normalize("NFKC", typed).strip().casefold()
    if not 1 <= len(login) <= _LONGEST_LOGIN or any(sign.isspace() or not sign.isprintable() for sign in login):
        raise UnreadableValue(say("people.no_login"), where=say("people.field.login"), value=f'"{typed[:80]}"',
                              right=say("people.login_right", most=_LONGEST_LOGIN))
    return login


def read_name(typed: str) -> str:
    """A person's name, in one line."""
    name = " ".join(typed.split())
    if not 1 <= len(name) <= _LONGEST_NAME:
        raise UnreadableValue(say("people.name_long" if name else "people.no_name"), where=say("people.field.name"),
                              value=say("people.signs", count=len(name)) if name else "",
                              right=say("people.name_right", most=_LONGEST_NAME))
    return name


def person_of(row: Row[Any]) -> Person:
    """A row of people with its sign-in beside it."""
    return Person(row.practice_id, row.code, row.name, row.login or "", row.role, row.may_sign, row.system,
                  row.password_hash is not None, row.totp_secret is not None, read_perhaps(row.ended_at))


def _everybody(file: Connection, store: Store) -> Iterator[Person]:
    asked = select(people, sign_ins.c.login, sign_ins.c.password_hash, sign_ins.c.totp_secret).outerjoin(
        sign_ins, WITH_SIGN_IN).where(people.c.practice_id == store.practice_id).order_by(people.c.code)
    return (person_of(row) for row in file.execute(asked))


@contextmanager
def _people_kept(store: Store) -> Iterator[Connection]:
    """A turn at the people, after which an owner can sign in if one could before."""
    with store.whole_file(writes=True) as file:
        before = _owners(file, store)
        yield file
        if before and not _owners(file, store):
            raise ImpossibleValue(say("people.last_owner"), value=before[0], right=say("people.another_owner"))


def _owners(file: Connection, store: Store) -> list[str]:
    """Codes of the owners who can sign in."""
    return [each.code for each in _everybody(file, store)
            if each.role == "owner" and each.can_sign_in and each.ended is None]


def take_keys(file: Connection, found: Person) -> None:
    """Nothing lets this person in any more; the login stays theirs."""
    for table in (sessions, invitations):
        file.execute(delete(table).where(*_is(table, found)))
    file.execute(update(sign_ins).where(*_is(sign_ins, found)).values(password_hash=None, totp_secret=None))


def _is(table: Any, found: Person) -> tuple[Any, Any]:
    return table.c.practice_id == found.practice_id, table.c.code == found.code


def require_code(code: str, name: str) -> None:
    """Raise unless this may stand beside readings for ever."""
    if not _CODE.fullmatch(code):
        raise UnreadableValue(say("people.no_code"), where=say("people.field.code"), value=f'"{code[:40]}"',
                              right=say("people.code_right"))
    if code.casefold() in {name.casefold(), *name.casefold().split()}:
        raise ImpossibleValue(say("people.code_is_name"), where=say("people.field.code"), value=code,
                              right=say("people.no_ones_name"))


def _require_signer(role: Role, may_sign: bool) -> None:
    if may_sign and role not in SIGNING_ROLES:
        raise ImpossibleValue(say("people.crew_signs"), where=say("people.field.may_sign"),
                              value=say(f"people.role.{role}"), right=say("people.crew_signs_right"))


def _require_free(file: Connection, login: str) -> None:
    if file.scalar(select(sign_ins.c.code).where(sign_ins.c.login == login)):
        raise ImpossibleValue(say("people.login_taken"), where=say("people.field.login"), value=login,
                              right=say("people.another_login"))
