"""How somebody gets a password and a second step of their own, and proves both."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from sqlalchemy import delete, insert, select, update

from rootcase.fieldbook.people.password import hashed, is_password, made_otherwise, require_password
from rootcase.fieldbook.people.register import WITH_SIGN_IN, person, take_keys
from rootcase.fieldbook.people.tokens import new_token, read_moment, token_hash, written
from rootcase.fieldbook.people.totp import fitting_step, new_secret
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.door import invitations, sessions, sign_ins
from rootcase.fieldbook.store.schema import people
from rootcase.ground.errors import ImpossibleValue, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.people import SIGNING_ROLES, Invitation, Person

INVITED_FOR = timedelta(days=7)
"""JUDGEMENT: over a weekend and a holiday."""


def invite(store: Store, code: str, now: datetime, random_bytes: Callable[[int], bytes]) -> str:
    """Let somebody set a password and a second step, once; an older invitation ends. Returns the token, which is known
    now and never again."""
    found = person(store, code)
    if found.ended is not None:
        raise ImpossibleValue(say("people.has_left"), value=found.code)
    token = new_token(random_bytes)
    with store.whole_file(writes=True) as file:
        file.execute(delete(invitations).where(invitations.c.practice_id == found.practice_id,
                                               invitations.c.code == found.code))
        file.execute(insert(invitations).values(
            token_hash=token_hash(token), practice_id=found.practice_id, code=found.code,
            totp_secret=new_secret(random_bytes), expires_at=written(now + INVITED_FOR)))
    return token


def invitation_of(store: Store, token: str, now: datetime) -> Invitation | None:
    """What a token invites to, of whichever practice; None where it is wrong, used or expired."""
    with store.whole_file() as file:
        row = file.execute(select(invitations).where(invitations.c.token_hash == token_hash(token))).first()
    if row is None or row.expires_at <= written(now):
        return None
    return Invitation(row.practice_id, row.code, row.totp_secret, read_moment(row.expires_at))


def accept(store: Store, token: str, password: str, code: str, now: datetime, *, practice: str = "") -> Person | None:
    """Set the password and, where a code is given or the role asks for one, the second step; all that stood open for
    the person ends. None where the invitation is not, or no longer, good. The store is the person's own practice's."""
    found = invitation_of(store, token, now)
    if found is None:
        return None
    whose = person(store, found.code)
    require_password(password, (whose.login, whose.name, practice))
    step = _second_step(found, code, whose, now)
    kept = hashed(password)
    with store.whole_file(writes=True) as file:
        used = file.execute(delete(invitations).where(invitations.c.token_hash == token_hash(token)))
        if not used.rowcount:
            return None
        mine = (sign_ins.c.practice_id == found.practice_id, sign_ins.c.code == found.code)
        file.execute(update(sign_ins).where(*mine).values(
            password_hash=kept, totp_secret=None if step is None else found.totp_secret, totp_step=step or 0))
        file.execute(delete(sessions).where(sessions.c.practice_id == found.practice_id,
                                            sessions.c.code == found.code))
    return person(store, found.code)


def proved(store: Store, login: str, password: str, code: str, now: datetime) -> tuple[str, str] | None:
    """Practice and code of who this login, password and code of the second step prove; None where they prove nobody.
    The same work is done for a login that nobody has."""
    with store.whole_file() as file:
        row = file.execute(select(sign_ins, people.c.role).join(people, WITH_SIGN_IN).where(
            sign_ins.c.login == login)).first()
    if not is_password(None if row is None else row.password_hash, password) or row is None:
        return None
    mine = (sign_ins.c.practice_id == row.practice_id, sign_ins.c.code == row.code)
    if row.totp_secret is None and row.role in SIGNING_ROLES:
        return None
    if row.totp_secret is not None:
        step = fitting_step(row.totp_secret, code, now, row.totp_step)
        if step is None:
            return None
        with store.whole_file(writes=True) as file:
            # Whoever comes second with the same code finds the step taken.
            used = file.execute(update(sign_ins).where(*mine, sign_ins.c.totp_step < step).values(totp_step=step))
        if not used.rowcount:
            return None
    if made_otherwise(row.password_hash):
        with store.whole_file(writes=True) as file:
            file.execute(update(sign_ins).where(*mine, sign_ins.c.password_hash == row.password_hash).values(
                password_hash=hashed(password)))
    return row.practice_id, row.code


def knows_password(store: Store, code: str, typed: str) -> bool:
    """Whether this is the password of the person of this code."""
    with store.whole_file() as file:
        kept = file.scalar(select(sign_ins.c.password_hash).where(sign_ins.c.practice_id == store.practice_id,
                                                                  sign_ins.c.code == code))
    return is_password(kept, typed)


def set_password(store: Store, code: str, password: str, *, practice: str = "") -> None:
    """Put another password in the place of the one that stands, for who has shown that they know that."""
    whose = person(store, code)
    require_password(password, (whose.login, whose.name, practice))
    kept = hashed(password)
    with store.whole_file(writes=True) as file:
        file.execute(update(sign_ins).where(
            sign_ins.c.practice_id == store.practice_id, sign_ins.c.code == code,
            sign_ins.c.password_hash.is_not(None)).values(password_hash=kept))


def drop_keys(store: Store, code: str) -> None:
    """Somebody lost their device or was robbed of it: password and second step let nobody in any more, and what stood
    open ends. A new invitation is the way back."""
    found = person(store, code)
    with store.whole_file(writes=True) as file:
        take_keys(file, found)


def _second_step(found: Invitation, code: str, whose: Person, now: datetime) -> int | None:
    """The step of the typed code; None where none was typed and none is asked for."""
    if not code.strip() and whose.role not in SIGNING_ROLES:
        return None
    step = fitting_step(found.totp_secret, code, now, 0)
    if step is None:
        raise UnreadableValue(say("people.wrong_code"), where=say("people.field.second_step"),
                              value=f'"{code.strip()[:12]}"', right=say("people.code_from_device"))
    return step
