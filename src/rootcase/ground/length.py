"""How long a text may be that somebody types: the bounds, and the one line that refuses what is longer."""

from __future__ import annotations

from collections.abc import Mapping

from rootcase.ground.errors import UnreadableValue
from rootcase.ground.words import say

MOST_NAME, MOST_LINE, MOST_WORDS, MOST_TERMS = 120, 400, 1000, 20_000
"""JUDGEMENT: letters of a name, which stands in every head; of a line; of a question, a reply or a reason; of three
pages of small print. Nobody in earnest needs more.
"""
_BEGINS = 20


def require_length(text: str, most: int, where: str = "") -> None:
    """Refuse what is longer than this; where: the name of its field.

    >>> require_length("Cedar Lane", MOST_NAME)
    """
    if len(text) > most:
        raise UnreadableValue(say("typed.long"), where=where, value=cut(text),
                              right=say("typed.right_long", most=f"{most:,}"))


def too_long(texts: Mapping[str, str], most: int) -> dict[str, str]:
    """What is wrong with each of these texts, by its name; nothing where none is longer than this."""
    wrong = {}
    for name, text in texts.items():
        try:
            require_length(text, most)
        except UnreadableValue as refused:
            wrong[name] = str(refused)
    return wrong


def cut(text: str) -> str:
    """A long text as a refusal names it.

    >>> cut("a name that goes on and on")
    '"a name that goes on ..."'
    """
    return f'"{text[:_BEGINS]}..."'
