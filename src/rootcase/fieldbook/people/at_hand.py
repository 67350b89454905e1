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
        self._held: dict[str, tuple[object, datetime, tuple[Session, Person]]] = {}

    def session(self, store: Store, token: str, now: datetime) -> tuple[Session, Person] | None:
        """Whose token this is; None where it is nobody's, or no longer."""
        key, stamp = token_hash(token), (store.where, store.commits())
        held = self._held.get(key)
        if held and held[0] == stamp and held[1] <= now < min(held[1] + _AGAIN, held[2][0].expires):
            return held[2]
        found = session_of(store, token, now)
        if found is None:
            self._held.pop(key, None)
            return None
        if len(self._held) >= _MOST_HELD:
            self._held.clear()
        self._held[key] = stamp, now, found
        return found
