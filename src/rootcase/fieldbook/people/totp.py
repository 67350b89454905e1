"""The second step: a code of six figures that changes each half minute, from a secret on the person's own device.

M'Raihi, Machani, Pei, Rydell (2011), RFC 6238, over M'Raihi, Bellare, Hoornaert, Naccache, Ranen (2005), RFC 4226.
"""

from __future__ import annotations

import hmac
from base64 import b32decode, b32encode
from collections.abc import Callable
from datetime import datetime
from urllib.parse import quote, urlencode

_STEP_S = 30
_FIGURES = 6
_SECRET_BYTES = 20
"""RFC 4226, section 4, R6: 160 bits are recommended."""
_DRIFT_STEPS = 1
"""RFC 6238, section 5.2: at most one step is recommended for the way a code takes."""


def new_secret(random_bytes: Callable[[int], bytes]) -> str:
    """A secret in base32, as devices take it."""
    return b32encode(random_bytes(_SECRET_BYTES)).decode("ascii")


def code_of(secret: str, counter: int) -> str:
    """The code of a counter (RFC 4226, section 5.3).

    >>> code_of("GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ", 0)
    '755224'
    """
    mark = hmac.digest(b32decode(secret), counter.to_bytes(8, "big"), "sha1")
    offset = mark[-1] & 0xF
    number = int.from_bytes(mark[offset:offset + 4], "big") & 0x7FFF_FFFF
    return f"{number % 10**_FIGURES:0{_FIGURES}d}"


def step_at(now: datetime) -> int:
    """Number of the half minute (RFC 6238, section 4.2)."""
    return int(now.timestamp()) // _STEP_S


def fitting_step(secret: str, typed: str, now: datetime, last_step: int) -> int | None:
    """The step a typed code is of, this one or a neighbour; None where it fits none, or one that was used already."""
    code, here = "".join(typed.split()), step_at(now)
    if not (code.isascii() and code.isdigit()):
        return None
    fitting = [step for step in range(here - _DRIFT_STEPS, here + _DRIFT_STEPS + 1)
               if hmac.compare_digest(code_of(secret, step), code) and step > last_step]
    return max(fitting, default=None)


def device_address(secret: str, login: str, practice: str) -> str:
    """What a device reads from the picture (the form of the key's address: common practice, no source).

    >>> device_address("GEZDGNBVGY3TQOJQ", "ann", "Alder Bank")
    'otpauth://totp/rootcase%20Alder%20Bank:ann?secret=GEZDGNBVGY3TQOJQ&issuer=rootcase+Alder+Bank'
    """
    issuer = f"rootcase {practice}".strip()
    return f"otpauth://totp/{quote(issuer)}:{quote(login)}?{urlencode({'secret': secret, 'issuer': issuer})}"
