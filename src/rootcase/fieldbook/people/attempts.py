"""Wrong tries at the door, counted by login and by address, and how long each makes one wait."""

from __future__ import annotations

from datetime import datetime, timedelta
from hashlib import sha256
from ipaddress import IPv6Address, ip_address, ip_network

from sqlalchemy import Connection, delete, insert, select

from rootcase.fieldbook.people.tokens import read_moment, written
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.door import attempts

FREE_TRIES = 5
"""JUDGEMENT, as are the other figures here: RFC 4226, section 7.3, proposes a delay that grows with each failure, and
leaves its size open."""
FREE_TRIES_OF_AN_ADDRESS = 20
"""JUDGEMENT: a crew behind one router mistypes together."""
LONGEST_WAIT = timedelta(minutes=15)
FORGOTTEN_AFTER = timedelta(days=1)
_ONE_PLACE_BITS = 64
"""An IPv6 customer has at least so much of the address to choose from (Narten, Huston, Roberts 2011, RFC 6177)."""


def count_attempt(store: Store, login: str, address: str, now: datetime) -> timedelta:
    """Count a try before it is judged, so that many at once gain nothing; returns how long to wait where it is refused
    unjudged."""
    free = {_key("login", login): FREE_TRIES, _key("address", _place(address)): FREE_TRIES_OF_AN_ADDRESS}
    with store.whole_file(writes=True) as file:
        file.execute(delete(attempts).where(attempts.c.last_at < written(now - FORGOTTEN_AFTER)))
        here = {row.key: row for row in file.execute(select(attempts).where(attempts.c.key.in_(free)))}
        waits = [read_moment(row.wait_until) - now for row in here.values()]
        if waits and max(waits) > timedelta():
            return max(waits)
        for key, tries in free.items():
            _keep(file, key, here[key].count + 1 if key in here else 1, tries, now)
    return timedelta()


def forget_attempts(store: Store, login: str, address: str = "") -> None:
    """Forget the tries of who came in, or was erased; an address is given back the one try that was right."""
    with store.whole_file(writes=True) as file:
        file.execute(delete(attempts).where(attempts.c.key == _key("login", login)))
        if address:
            right = attempts.c.key == _key("address", _place(address))
            file.execute(attempts.update().where(right, attempts.c.count > 0).values(
                count=attempts.c.count - 1, wait_until=attempts.c.last_at))


def _keep(file: Connection, key: str, count: int, free: int, now: datetime) -> None:
    over = count - free
    wait = min(timedelta(seconds=2.0 ** min(over, 30)), LONGEST_WAIT) if over >= 0 else timedelta()
    file.execute(delete(attempts).where(attempts.c.key == key))
    file.execute(insert(attempts).values(key=key, count=count, last_at=written(now), wait_until=written(now + wait)))


def _key(kind: str, text: str) -> str:
    """Not the text: people type passwords into the wrong box."""
    return sha256(f"{kind} {text}".encode("utf-8", "surrogatepass")).hexdigest()


def _place(address: str) -> str:
    """An address, or of the longer ones the part that one place has for itself."""
    try:
        found = ip_address(address)
    except ValueError:
        return address
    if isinstance(found, IPv6Address) and found.ipv4_mapped is None:
        return str(ip_network((found, _ONE_PLACE_BITS), strict=False))
    return str(found)
