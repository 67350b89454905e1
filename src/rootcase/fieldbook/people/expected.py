"""Passwords that whoever guesses tries first: listed words, what is known of the person, runs and repeats.

NIST SP 800-63B-4 (2025), section 3.1.1.2: the whole password is compared, not parts of it, with what is commonly used,
expected or derived from such words. What counts as derived is JUDGEMENT: figures and signs left out or read as the
letters they look like, words joined to each other.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from rootcase.tables.load import table

_LOOKS = str.maketrans("01345789@$!", "oleastbgasi")
"""Common practice, no source."""
_RUNS = ("abcdefghijklmnopqrstuvwxyz", "1234567890", "qwertyuiop", "asdfghjkl", "zxcvbnm", "qwertzuiop", "azertyuiop",
         "1qaz2wsx3edc4rfv5tgb6yhn7ujm8ik9ol0p")
"""Rows and columns of keyboards, the alphabet and the figures; there and back, as often as one likes."""
_ROUND_IT = "0123456789!?.,-_$@# "
_LEAST_RUN = 3
_LEAST_OWN = 3
"""JUDGEMENT: a shorter part of a name says nothing."""


def is_expected(password: str, of_person: Iterable[str]) -> bool:
    """Whether a password is made of nothing but what is expected. of_person: login, names, the practice's name.

    >>> [is_expected(each, ["kim1", "Alder Care"]) for each in ("Password1234", "qwertyuiop12", "aldercare2026")]
    [True, True, True]
    >>> is_expected("lanterns under the oak", ["kim1"])
    False
    """
    typed = password.casefold()
    bare = "".join(sign for sign in typed if sign.isalnum())
    words = _words() | {part for each in of_person for part in _parts(each) if len(part) >= _LEAST_OWN}
    readings = {bare, _letters(bare), _letters(typed.translate(_LOOKS)),
                _letters(typed.strip(_ROUND_IT).translate(_LOOKS))}
    return _repeats(bare) or any(_joined(each, words) for each in readings)


def _parts(name: str) -> set[str]:
    """A name whole and by its words, as it would be typed into one."""
    words = re.findall(r"\w+", name.casefold())
    return {*words, "".join(words)}


def _letters(text: str) -> str:
    return "".join(sign for sign in text if sign.isalpha())


def _repeats(text: str) -> bool:
    """Whether the whole is one short piece, again and again."""
    return any(text == (text[:size] * len(text))[:len(text)] for size in range(1, len(text) // 3 + 1)) or not text


def _joined(text: str, words: frozenset[str]) -> bool:
    """Whether a text can be cut into words and runs, with nothing left over."""
    reached = [True] + [False] * len(text)
    for end in range(1, len(text) + 1):
        reached[end] = any(reached[start] and (text[start:end] in words or _is_run(text[start:end]))
                           for start in range(end))
    return bool(text) and reached[-1]


def _is_run(text: str) -> bool:
    return len(text) >= _LEAST_RUN and (len(set(text)) == 1 or any(text in run for run in _both_ways()))


@cache
def _both_ways() -> tuple[str, ...]:
    return tuple(way for run in _RUNS for way in (run * 2, (run * 2)[::-1]))


@cache
def _words() -> frozenset[str]:
    return frozenset(row["word"] for row in table("people/expected_passwords").rows)
