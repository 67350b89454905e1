"""What only a command line has, left out of a sentence."""

from __future__ import annotations

import re

_IN_BRACKETS = re.compile(r"\s*\((?:--|rootcase )[^()]*\)")


def without_flags(text: str) -> str:
    """A sentence without the flags and commands that stand in brackets behind what they do.

    >>> without_flags("say which row is the header (--header-row 4)")
    'say which row is the header'
    """
    return _IN_BRACKETS.sub("", text)
