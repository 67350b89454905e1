"""Ids that sort by the time they were made: UUID version 7 of RFC 9562, with a counter.

The clock and the random bytes are passed in, so a phone, a test and the command line make ids the same way.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from rootcase.ground.errors import UnreadableValue
from rootcase.ground.words import say

_FORM = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
_COUNTER_END = 1 << 12
SIGNS = 5
"""How much of the end of an id names what it is of, if no other ends so; as much as the report prints of it."""


class IdMaker:
    """Makes ids that only ever grow, inside one millisecond and when the clock steps back.

    The twelve bits behind the time are a counter (RFC 9562, section 6.2, method 1), seeded each millisecond with
    eleven random bits so that two devices seldom start alike; when it runs over, the time runs ahead by a millisecond.

    >>> make = IdMaker(lambda: 0x017F22E279B0, lambda n: bytes(n))
    >>> make(), make()
    ('017f22e2-79b0-7000-8000-000000000000', '017f22e2-79b0-7001-8000-000000000000')
    """

    def __init__(self, now_ms: Callable[[], int], random_bytes: Callable[[int], bytes]) -> None:
        self._now_ms, self._random_bytes = now_ms, random_bytes
        self._last_ms, self._counter = -1, 0

    def __call__(self) -> str:
        """Return the next id."""
        chance = int.from_bytes(self._random_bytes(10), "big")
        now = self._now_ms()
        self._counter += 1
        if now > self._last_ms:
            self._last_ms, self._counter = now, chance >> 69
        elif self._counter == _COUNTER_END:
            self._last_ms, self._counter = self._last_ms + 1, chance >> 69
        bits = self._last_ms << 80 | 7 << 76 | self._counter << 64 | 0b10 << 62 | chance & ((1 << 62) - 1)
        digits = f"{bits:032x}"
        return "-".join((digits[:8], digits[8:12], digits[12:16], digits[16:20], digits[20:]))


def read_id(text: str) -> str:
    """Return an id in its one written form, lower case with hyphens; anything else is an error.

    >>> read_id(" 017F22E2-79B0-7CC3-98C4-DC0C0C07398F ")
    '017f22e2-79b0-7cc3-98c4-dc0c0c07398f'
    """
    form = text.strip().lower()
    if not _FORM.fullmatch(form):
        raise UnreadableValue(say("ids.not_an_id"), value=f'"{text}"', right=say("ids.right"))
    return form


def made_ms(an_id: str) -> int:
    """Milliseconds since 1970 at which an id claims to have been made.

    >>> made_ms("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")
    1645557742000
    """
    return int(read_id(an_id).replace("-", "")[:12], 16)
