"""The practice's own row: all else that belongs to it points there."""

from __future__ import annotations

from sqlalchemy import Connection, bindparam, insert, select

from rootcase.fieldbook.store.schema import practices

_KNOWN = select(practices.c.practice_id).where(practices.c.practice_id == bindparam("practice"))


def know_practice(connection: Connection, practice_id: str) -> None:
    """What belongs to a practice needs the practice's own row first."""
    if not connection.scalar(_KNOWN, {"practice": practice_id}):
        connection.execute(insert(practices).values(practice_id=practice_id))
