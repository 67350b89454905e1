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
"""Of one login from one place. JUDGEMENT, as are the other figures here but one: RFC 4226, section 7.3, proposes a
delay that grows with each failure, and leaves its size open."""
FREE_TRIES_OF_A_LOGIN = 20
"""From wherever; each place has its own besides."""
FREE_TRIES_OF_AN_ADDRESS = 20
"""JUDGEMENT: a crew behind one router mistypes together."""
LONGEST_WAIT = timedelta(minutes=15)
LONGEST_WAIT_OF_A_LOGIN = timedelta(seconds=40)
"""Whoever knows a login could otherwise keep its owner out; OWASP, Authentication Cheat Sheet, "Account Lockout", asks
to count by login and warns of just that. 90 tries an hour are fewer than the 100 that OWASP ASVS 4.0, 2.2.1, allows of
one account."""
FORGOTTEN_AFTER = timedelta(days=1)
_HALF = 32
"""Of the signs of a key: a login's, then an address's; the latter half of a login from wherever, and the former of any
login from an address, are noughts."""
_ONE_PLACE_BITS = 64
"""An IPv6 customer has at least so much of the address to choose from (Narten, Huston, Roberts 2011, RFC 6177)."""


def count_attempt(store: Store, login: str, address: str, now: datetime) -> timedelta:
    """Count a try before it is judged, so that many at once gain nothing; returns how long to wait where it is refused
    unjudged."""
    free = {_here(login, address): (FREE_TRIES, LONGEST_WAIT),
            _anywhere(login): (FREE_TRIES_OF_A_LOGIN, LONGEST_WAIT_OF_A_LOGIN),
            _by_address(address): (FREE_TRIES_OF_AN_ADDRESS, LONGEST_WAIT)}
    with store.whole_file(writes=True) as file:
        file.execute(delete(attempts).where(attempts.c.last_at < written(now - FORGOTTEN_AFTER)))
        here = {row.key: row for row in file.execute(select(attempts).where(attempts.c.key.in_(free)))}
        waits = [read_moment(row.wait_until) - now for row in here.values()]
        if waits and max(waits) > timedelta():
            return max(waits)
        for key, (tries, longest) in free.items():
            over = (here[key].count + 1 if key in here else 1) - tries
            wait = min(timedelta(seconds=2.0 ** min(over, 30)), longest) if over >= 0 else timedelta()
            _keep(file, key, over + tries, now, wait)
    return timedelta()


def forget_attempts(store: Store, login: str, address: str = "") -> None:
    """Forget the tries of who came in at this address, which is given back the one try that was right; without an
    address, those of a login from wherever."""
    with store.whole_file(writes=True) as file:
        if not address:
            file.execute(delete(attempts).where(attempts.c.key.startswith(_half(login))))
            return
        file.execute(delete(attempts).where(attempts.c.key.in_((_here(login, address), _anywhere(login)))))
        right = attempts.c.key == _by_address(address)
        file.execute(attempts.update().where(right, attempts.c.count > 0).values(
            count=attempts.c.count - 1, wait_until=attempts.c.last_at))


def _keep(file: Connection, key: str, count: int, now: datetime, wait: timedelta) -> None:
    file.execute(delete(attempts).where(attempts.c.key == key))
    file.execute(insert(attempts).values(key=key, count=count, last_at=written(now), wait_until=written(now + wait)))


def _here(login: str, address: str) -> str:
    return _half(login) + _half(_place(address))


def _anywhere(login: str) -> str:
    return _half(login) + "0" * _HALF


def _by_address(address: str) -> str:
    return "0" * _HALF + _half(_place(address))


def _half(text: str) -> str:
    """Not the text: people type passwords into the wrong box."""
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:_HALF]


def _place(address: str) -> str:
    """An address, or of the longer ones the part that one place has for itself."""
    try:
        found = ip_address(address)
    except ValueError:
        return address
    if isinstance(found, IPv6Address) and found.ipv4_mapped is None:
        return str(ip_network((found, _ONE_PLACE_BITS), strict=False))
    return str(found)
