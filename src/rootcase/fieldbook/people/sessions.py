"""Who stays signed in: looked up anew at each request, so that an end counts at the next one, whoever ended it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Row, delete, insert, select, update

from rootcase.fieldbook.people.register import WITH_SIGN_IN, person_of
from rootcase.fieldbook.people.tokens import new_token, read_moment, token_hash, written
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.door import sessions, sign_ins
from rootcase.fieldbook.store.schema import people
from rootcase.ground.errors import Missing
from rootcase.ground.ids import IdMaker
from rootcase.ground.words import say
from rootcase.records.people import Person, Session, SessionKind

IDLE = timedelta(days=30)
"""JUDGEMENT: in the field nobody signs in more than once a month."""
_SAME_USE = timedelta(hours=1)
"""JUDGEMENT: how exactly the last use is told; nothing is written more often."""
_LONGEST_DEVICE = 200


def open_session(store: Store, whose: tuple[str, str], kind: SessionKind, device: str, now: datetime,
                 random_bytes: Callable[[int], bytes]) -> str:
    """Let somebody stay signed in; returns the token, which is known now and never again. whose: practice and code."""
    practice_id, code = whose
    token = new_token(random_bytes)
    with store.whole_file(writes=True) as file:
        file.execute(delete(sessions).where(sessions.c.expires_at <= written(now)))
        file.execute(insert(sessions).values(
            token_hash=token_hash(token), id=IdMaker(lambda: int(now.timestamp() * 1000), random_bytes)(),
            practice_id=practice_id, code=code, kind=kind, device=device[:_LONGEST_DEVICE],
            made_at=written(now), seen_at=written(now), expires_at=written(now + IDLE)))
    return token


def session_of(store: Store, token: str, now: datetime) -> tuple[Session, Person] | None:
    """Whose token this is, of whichever practice; None where it is nobody's, or no longer."""
    asked = select(sessions, people, sign_ins.c.login, sign_ins.c.password_hash, sign_ins.c.totp_secret).join_from(
        sessions, people, (people.c.practice_id == sessions.c.practice_id) & (people.c.code == sessions.c.code)
    ).outerjoin(sign_ins, WITH_SIGN_IN).where(sessions.c.token_hash == token_hash(token))
    with store.whole_file() as file:
        row = file.execute(asked).first()
    if row is None or row.ended_at is not None or row.expires_at <= written(now):
        return None
    session = _session(row)
    if now - session.seen > _SAME_USE:
        session = replace(session, seen=now, expires=now + IDLE)
        with store.whole_file(writes=True) as file:
            file.execute(update(sessions).where(sessions.c.id == session.id).values(
                seen_at=written(now), expires_at=written(now + IDLE)))
    return session, person_of(row)


def sessions_of(store: Store, code: str, now: datetime) -> tuple[Session, ...]:
    """What stands open for a person of this practice, last used first."""
    asked = select(sessions).where(sessions.c.practice_id == store.practice_id, sessions.c.code == code,
                                   sessions.c.expires_at > written(now))
    with store.whole_file() as file:
        return tuple(_session(row) for row in file.execute(asked.order_by(sessions.c.seen_at.desc(), sessions.c.id)))


def end_session(store: Store, code: str, session_id: str) -> None:
    """End one of a person's sessions."""
    with store.whole_file(writes=True) as file:
        ended = file.execute(delete(sessions).where(sessions.c.practice_id == store.practice_id,
                                                    sessions.c.code == code, sessions.c.id == session_id))
    if not ended.rowcount:
        raise Missing(say("people.no_session"), value=session_id)


def end_sessions(store: Store, code: str, *, but: str = "") -> int:
    """End all of a person's sessions, but the one of this id; returns how many those were."""
    with store.whole_file(writes=True) as file:
        return file.execute(delete(sessions).where(sessions.c.practice_id == store.practice_id,
                                                   sessions.c.code == code, sessions.c.id != but)).rowcount


def _session(row: Row[Any]) -> Session:
    return Session(row.id, row.practice_id, row.code, row.kind, row.device, read_moment(row.made_at),
                   read_moment(row.seen_at), read_moment(row.expires_at))
