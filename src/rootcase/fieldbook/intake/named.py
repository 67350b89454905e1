"""Ids of what comes out of a sheet: made of what they name, so the same sheet gives the same ids wherever it is read.

UUID version 8 of RFC 9562 (own contents, memory): the first bits of a SHA-256. Ids made at a tree are version 7.
"""

from __future__ import annotations

import hashlib

from rootcase.fieldbook.canonical import canonical


def named_id(*names: object) -> str:
    """Return the id of these names.

    >>> named_id("practice", "tree", "oak 4") == named_id("practice", "tree", "oak 4")
    True
    >>> is_named(named_id("oak 4"))
    True
    """
    bits = int.from_bytes(hashlib.sha256(canonical(list(names))).digest()[:16], "big")
    bits = bits & ~(0xF << 76) & ~(0b11 << 62) | 8 << 76 | 0b10 << 62
    digits = f"{bits:032x}"
    return "-".join((digits[:8], digits[8:12], digits[12:16], digits[16:20], digits[20:]))


def is_named(an_id: str) -> bool:
    """Whether an id was made of names, which is to say by an import."""
    return an_id[14:15] == "8"
