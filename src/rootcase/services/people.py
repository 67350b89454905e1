"""People: letting them in, and the first owner of a practice."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.attempts import count_attempt, forget_attempts
from rootcase.fieldbook.people.keys import accept, invite, knows_password, proved, set_password
from rootcase.fieldbook.people.register import (
    add_person,
    change_role,
    change_system,
    erase_person,
    people_of,
    person,
    read_login,
    read_name,
    rename,
    require_code,
)
from rootcase.fieldbook.people.sessions import end_sessions, open_session
from rootcase.ground.errors import ImpossibleValue, Missing, RootcaseError, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.records.people import ROLES, Bounds, Person, Role, SessionKind
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

DEMO_CODE = "demo"
_TELLS = {"prescribe": "make_plans", "prove": "make_plans"}
"""By stage of a kind of reading, who tells it where that is not whoever reads: wishes and money, trials and proof."""
_DRAWN = "place_kind"
_SEES = {"prescribe": "see_prices"}

@dataclass(frozen=True, slots=True, kw_only=True)
class Knock:
    """Somebody at the door, and what they say of themselves."""

    login: str
    password: str
    code: str
    """Of the second step; empty where none was given."""
    address: str
    device: str
    kind: SessionKind = "browser"


@dataclass(frozen=True, slots=True)
class Answered:
    """What the door says; a token, or how long to wait, or neither: then something was wrong, and it is not said what.
    """

    token: str = ""
    wait: timedelta = timedelta()


def sign_in(fieldbook: Fieldbook, knock: Knock, now: datetime) -> Answered:
    """Let somebody in, of whichever practice of the file."""
    store = fieldbook.store
    try:
        login = read_login(knock.login)
    except UnreadableValue:
        login = ""  # nobody's; it costs the same try and the same time
    if wait := count_attempt(store, login, knock.address, now):
        return Answered(wait=wait)
    who = proved(store, login, knock.password, knock.code, now)
    if who is None:
        return Answered()
    forget_attempts(store, login, knock.address)
    return Answered(open_session(store, who, knock.kind, knock.device, now, os.urandom))


def come_in(fieldbook: Fieldbook, token: str, password: str, again: str, code: str, device: str,
            now: datetime) -> str | None:
    """Take up an invitation and stay signed in; None where it is not, or no longer, good. again: the password typed a
    second time, as nobody sees what they type."""
    _require_again(password, again)
    found = accept(fieldbook.store, token, password, code, now, practice=fieldbook.practice().name)
    if found is None:
        return None
    forget_attempts(fieldbook.store, found.login)
    return open_session(fieldbook.store, (found.practice_id, found.code), "browser", device, now, os.urandom)


def require_password_of(fieldbook: Fieldbook, code: str, typed: str, address: str, now: datetime) -> None:
    """Raise unless this is the person's own password; a session that was stolen may not find it by trying."""
    login = person(fieldbook.store, code).login
    if count_attempt(fieldbook.store, login, address, now):
        raise ImpossibleValue(say("people.too_often"), where=say("people.field.old_password"))
    if not knows_password(fieldbook.store, code, typed):
        raise ImpossibleValue(say("people.wrong_password"), where=say("people.field.old_password"))
    forget_attempts(fieldbook.store, login, address)


def new_password(fieldbook: Fieldbook, code: str, typed: tuple[str, str], session_id: str) -> None:
    """Set another password, typed twice, and end every session but the one it is done from."""
    password, again = typed
    _require_again(password, again)
    set_password(fieldbook.store, code, password, practice=fieldbook.practice().name)
    end_sessions(fieldbook.store, code, but=session_id)


def use_system(fieldbook: Fieldbook, code: str, system: System) -> Person:
    """Let somebody read in these units."""
    return change_system(fieldbook.store, code, system)


def anyone_in(fieldbook: Fieldbook) -> bool:
    """Whether somebody of the practice can sign in already."""
    return any(each.can_sign_in for each in people_of(fieldbook.store))


def waiting_owners(fieldbook: Fieldbook) -> tuple[Person, ...]:
    """The owners that a practice was begun with, of whom none has come in yet."""
    return tuple(each for each in people_of(fieldbook.store)
                 if each.role == "owner" and not each.can_sign_in and each.ended is None)


def first_owner(fieldbook: Fieldbook, code: str, name: str, login: str, system: System, now: datetime, *,
                anew: bool = False) -> str:
    """Make the practice's first owner, who may sign, and invite them; returns the invitation's token. Who was begun
    with and has not come in yet is invited again; another takes their place only anew, and they are let go."""
    if anyone_in(fieldbook):
        raise ImpossibleValue(say("people.has_owner"), right=say("people.sign_in_instead"))
    store = fieldbook.store
    code = code.strip()
    others = [each for each in waiting_owners(fieldbook) if each.code.casefold() != code.casefold()]
    if others and not anew:
        raise ImpossibleValue(say("people.owner_waits"), where=say("people.field.code"), value=others[0].code,
                              right=say("people.owner_waits_right"))
    for each in others:
        erase_person(store, each.code, now)
    if any(each.code.casefold() == code.casefold() for each in people_of(store)):
        rename(store, code, name, login)
        change_role(store, code, "owner", may_sign=True)
        change_system(store, code, system)
    else:
        add_person(store, code, name, login, "owner", may_sign=True, system=system)
    return invite(store, code, now, os.urandom)


def wrong_to_begin(practice: str, owner: tuple[str, str, str]) -> tuple[RootcaseError, ...]:
    """All that is wrong with what a practice is begun with, so that it is told at once. owner: code, name and login."""
    code, name, login = owner
    found = []
    for check in (lambda: _require_practice(practice), lambda: read_name(name), lambda: read_login(login),
                  lambda: require_code(code.strip(), " ".join(name.split()))):
        try:
            check()
        except RootcaseError as wrong:
            found.append(wrong)
    return tuple(found)


def begin_practice(fieldbook: Fieldbook, practice: str, system: System, owner: tuple[str, str, str], now: datetime, *,
                   anew: bool = False) -> str:
    """Begin a practice of this name with its first owner: code, name and login; returns their invitation's token. anew:
    let go of another who was begun with and has not come in."""
    _require_practice(practice)
    token = first_owner(fieldbook, *owner, system, now, anew=anew)
    fieldbook.telling.tell("practice", [{"key": "name", "value": practice.strip(), "ends": ""}])
    return token


def _require_practice(name: str) -> None:
    if not name.strip():
        raise UnreadableValue(say("people.no_practice"), where=say("people.field.practice"))


def demo_owner(fieldbook: Fieldbook) -> Person:
    """Who everybody is at the invented data."""
    with suppress(Missing):
        return person(fieldbook.store, DEMO_CODE)
    with suppress(ImpossibleValue):  # another page was quicker
        add_person(fieldbook.store, DEMO_CODE, say("people.demo_name"), DEMO_CODE, "owner", may_sign=True)
    return person(fieldbook.store, DEMO_CODE)


def _require_again(password: str, again: str) -> None:
    if password != again:
        raise UnreadableValue(say("people.not_again"), where=say("people.field.again"))


def may(action: str, role: str, *, may_sign: bool) -> bool:
    """Whether a role may do this; what no row of the table speaks of nobody may."""
    right = _rights().get(action, {}).get(role, "no")
    return right == "yes" or (right == "signing" and may_sign)


def actions_of(role: Role, *, may_sign: bool) -> tuple[str, ...]:
    """All that somebody of a role may do, so that a phone offers nothing that would be refused."""
    return tuple(action for action in _rights() if may(action, role, may_sign=may_sign))


def told_by(kind: str) -> str:
    """The action that telling, correcting or taking back a reading of this kind is, by whichever door.

    >>> told_by("soil_ph"), told_by("budget_year"), told_by("place_kind")
    ('take_readings', 'make_plans', 'draw_ground')
    """
    return "draw_ground" if kind == _DRAWN else _TELLS.get(_stage(kind), "take_readings")


def seen_by(kind: str) -> str:
    """The action that looking at a reading of this kind is."""
    return _SEES.get(_stage(kind), "see_trees")


def _stage(kind: str) -> str:
    return kinds()[kind].stage if kind in kinds() else ""


def bounds(code: str, role: Role, *, may_sign: bool) -> Bounds:
    """What this person may tell by sheet, form or program; who may bring lists speaks of everybody's visits."""
    barred = frozenset(kind for kind in kinds() if not may(told_by(kind), role, may_sign=may_sign))
    return Bounds("" if may("bring_lists", role, may_sign=may_sign) else code, barred)


def wanted_for(action: str, role: Role) -> str:
    """What somebody of a role lacks for this, in words."""
    if may(action, role, may_sign=True):
        return say("people.refused.signer")
    roles = [say(f"people.role.{each}") for each in roles_that_may(action)]
    return say("people.refused.roles", roles=say("people.or").join(roles)) if roles else say("people.refused.nobody")


def roles_that_may(action: str) -> tuple[Role, ...]:
    """The roles that may do this, some of them only with the right to sign."""
    return tuple(role for role in ROLES if may(action, role, may_sign=True))


@cache
def _rights() -> Mapping[str, Mapping[str, str]]:
    return {row["action"]: row for row in table("people/rights").rows}

