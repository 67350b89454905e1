"""Secrets that a browser or a link carries: 256 random bits, of which the file keeps only the SHA-256.

A token is 256 bits of chance, so its plain hash cannot be turned back, and looking a hash up tells nothing about how
near a wrong token came to a right one.
"""

from __future__ import annotations

from base64 import urlsafe_b64encode
from collections.abc import Callable
from datetime import UTC, datetime
from hashlib import sha256

_BYTES = 32
_LONGEST = 100
"""JUDGEMENT: far over the 43 signs of a token; what is longer is not worth hashing."""


def new_token(random_bytes: Callable[[int], bytes]) -> str:
    """A token in the signs that an address takes.

    >>> new_token(lambda n: bytes(n))
    'AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA'
    """
    return urlsafe_b64encode(random_bytes(_BYTES)).rstrip(b"=").decode("ascii")


def token_hash(token: str) -> str:
    """What is kept of a token. It is of the token as written: two spellings of the same bits are two tokens."""
    return sha256(token[:_LONGEST].encode("utf-8", "surrogatepass")).hexdigest()


def written(moment: datetime) -> str:
    """A moment as the file keeps it; earlier ones sort first.

    >>> written(datetime(2016, 1, 15, 12, tzinfo=UTC))
    '2016-01-15T12:00:00.000Z'
    """
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def read_moment(text: str) -> datetime:
    """A moment that the file keeps.

    >>> read_moment("2016-01-15T12:00:00.000Z")
    datetime.datetime(2016, 1, 15, 12, 0, tzinfo=datetime.timezone.utc)
    """
    return datetime.fromisoformat(text)


def read_perhaps(text: str | None) -> datetime | None:
    return None if text is None else read_moment(text)
