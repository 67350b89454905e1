"""The pairs of keys that phones seal to: the newest is given out, the older ones still open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Row, insert, select

from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.door import sealing_keys
from rootcase.fieldbook.store.practices import know_practice


@dataclass(frozen=True, slots=True)
class SealingPair:
    """Both halves of a key."""

    id: str
    """SHA-256 of the public point, in hexadecimal."""
    public: str
    """A point of P-256, uncompressed, base64."""
    private: str
    """PKCS #8, DER, base64."""


def newest_pair(store: Store) -> SealingPair | None:
    """The one that phones seal to now; None where none was made yet."""
    asked = select(sealing_keys).where(sealing_keys.c.practice_id == store.practice_id).order_by(
        sealing_keys.c.made_at.desc(), sealing_keys.c.id)
    with store.whole_file() as file:
        row = file.execute(asked).first()
    return None if row is None else _pair(row)


def pair_of(store: Store, pair_id: str) -> SealingPair | None:
    """The one of this id, whichever phone was given it."""
    asked = select(sealing_keys).where(sealing_keys.c.practice_id == store.practice_id, sealing_keys.c.id == pair_id)
    with store.whole_file() as file:
        row = file.execute(asked).first()
    return None if row is None else _pair(row)


def keep_pair(store: Store, pair: SealingPair, now: datetime) -> None:
    """Keep a new one."""
    with store.whole_file(writes=True) as file:
        know_practice(file, store.practice_id)
        file.execute(insert(sealing_keys).values(practice_id=store.practice_id, id=pair.id, public=pair.public,
                                                 private=pair.private, made_at=written(now)))


def _pair(row: Row[Any]) -> SealingPair:
    return SealingPair(row.id, row.public, row.private)
