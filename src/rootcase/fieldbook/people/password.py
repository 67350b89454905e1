"""Passwords: at least so long, kept as Argon2id, compared in the same time whoever asks."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from threading import BoundedSemaphore
from unicodedata import normalize

from argon2 import PasswordHasher, Type
from argon2.exceptions import InvalidHashError, VerificationError

from rootcase.fieldbook.people.expected import is_expected
from rootcase.ground.errors import UnreadableValue
from rootcase.ground.words import say

LEAST_SIGNS = 12
"""JUDGEMENT between the 8 that NIST SP 800-63B-4 (2025), section 3.1.1.2, asks of every password and the 15 it
recommends; like it, no rule says which signs."""
MOST_SIGNS = 200
"""JUDGEMENT: a long sentence; the same section asks for 64 and more to be taken."""

# Biryukov, Dinu, Khovratovich, Josefsson (2021), RFC 9106, section 4, second recommended option: t = 3, p = 4, 64 MiB,
# salt of 128 bits, tag of 256 bits.
_HASHER = PasswordHasher(time_cost=3, memory_cost=64 * 1024, parallelism=4, hash_len=32, salt_len=16, type=Type.ID)
_TURNS = BoundedSemaphore(4)
"""JUDGEMENT: 256 MiB at most, however many knock at once; the others wait."""


def require_password(typed: str, of_person: Iterable[str]) -> None:
    """Raise UnreadableValue, without the password itself, unless it may be one. of_person: what is known of whose it
    is, which is tried first."""
    if not LEAST_SIGNS <= len(typed) <= MOST_SIGNS:
        raise UnreadableValue(say("people.password_short" if len(typed) < LEAST_SIGNS else "people.password_long"),
                              where=say("people.field.password"), value=say("people.signs", count=len(typed)),
                              right=say("people.password_right", least=LEAST_SIGNS, most=MOST_SIGNS))
    if is_expected(normalize("NFKC", typed), of_person):
        raise UnreadableValue(say("people.password_expected"), where=say("people.field.password"),
                              right=say("people.password_own"))


def hashed(password: str) -> str:
    """What is kept of a password, with the parameters it was made by."""
    with _TURNS:
        return _HASHER.hash(_plain(password))


def is_password(kept: str | None, typed: str) -> bool:
    """Whether this is the password; where there is none to compare with, the same work is done for nothing."""
    with _TURNS:
        try:
            _HASHER.verify(kept or _nobodys(), _plain(typed[:MOST_SIGNS + 1]))
        except (VerificationError, InvalidHashError):
            return False
    return kept is not None


def made_otherwise(kept: str) -> bool:
    """Whether a kept password was made by other parameters than today's, and is to be made anew."""
    return _HASHER.check_needs_rehash(kept)


def _plain(password: str) -> bytes:
    """One spelling of the same signs, whichever keyboard they came from (NIST SP 800-63B-4, section 3.1.1.2)."""
    return normalize("NFKC", password).encode("utf-8", "surrogatepass")


@cache
def _nobodys() -> str:
    return _HASHER.hash(b"")
