"""Sessions at hand: read again only where anything was written to the file since, so that an end counts at once."""

from __future__ import annotations

from datetime import datetime, timedelta

from rootcase.fieldbook.people.sessions import session_of
from rootcase.fieldbook.people.tokens import token_hash
from rootcase.fieldbook.store import Store
from rootcase.records.people import Person, Session

_AGAIN = timedelta(minutes=1)
"""JUDGEMENT: after which it is read again all the same, so that its last use is told."""
_MOST_HELD = 1000


class SessionsAtHand:
    """What session_of tells, for the price of asking SQLite whether anybody committed anything."""

    def __init__(self) -> None:
        self._held: dict[str, tuple[Store, object, datetime, tuple[Session, Person]]] = {}

    def session(self, store: Store, token: str, now: datetime) -> tuple[Session, Person] | None:
        """Whose token this is; None where it is nobody's, or no longer."""
        if held := self.held(store.where, token, now):
            return held
        key, stamp = token_hash(token), store.commits()
        found = session_of(store, token, now)
        if found is None:
            self._held.pop(key, None)
            return None
        if len(self._held) >= _MOST_HELD:
            self._held.clear()
        self._held[key] = store, stamp, now, found
        return found

    def held(self, where: str, token: str, now: datetime) -> tuple[Session, Person] | None:
        """The same where it is at hand for the file there; None says nothing but that it has to be read."""
        if (held := self._held.get(token_hash(token))) is None:
            return None
        store, stamp, at, found = held
        fresh = at <= now < min(at + _AGAIN, found[0].expires)
        return found if fresh and store.where == where and store.commits() == stamp else None
