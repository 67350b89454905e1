"""Which of many words was probably meant by one with a slip or two of a letter."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

_SHORT, _LONG = 5, 8
"""JUDGEMENT: under five letters a slip makes another word; from eight on two slips still leave the word plain."""
_LONGEST = 40
"""No name is longer; taking two letters from a longer text has too many ways."""


def slips_between(one: str, other: str) -> int:
    """Letters lost, added, changed or swapped with their neighbour, each taken once, between two words.

    Damerau, F. J. 1964, A technique for computer detection and correction of spelling errors, Communications of the
    ACM 7(3):171-176 (memory): these four are most slips of a typing hand.

    >>> slips_between("mapel", "maple"), slips_between("pallustris", "palustris"), slips_between("oak", "ash")
    (1, 1, 3)
    """
    one, other = _differing(one, other)
    before, row = [0] * (len(other) + 1), list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        earlier, before, row = before, row, [i]
        for j, against in enumerate(other, 1):
            least = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (letter != against))
            if i > 1 < j and letter == other[j - 2] and against == one[i - 2]:
                least = min(least, earlier[j - 2] + 1)
            row.append(least)
    return row[-1]


def _differing(one: str, other: str) -> tuple[str, str]:
    """What two words do not begin or end with alike: all slips are in there."""
    head, end = 0, min(len(one), len(other))
    while head < end and one[head] == other[head]:
        head += 1
    tail = 0
    while tail < end - head and one[-1 - tail] == other[-1 - tail]:
        tail += 1
    return one[head:len(one) - tail], other[head:len(other) - tail]


class Spelling:
    """Words to be found again from a misspelt one.

    Two words a slip or two apart become the same where up to two letters are taken from each: so all that remains of
    each word is kept, and what remains of the typed one is looked up.
    """

    def __init__(self, words: Iterable[str]) -> None:
        self._words_by_rest: dict[str, list[str]] = defaultdict(list)
        for word in words:
            for rest in _rests(word, _slips_allowed(word)):
                self._words_by_rest[rest].append(word)

    def near(self, typed: str) -> dict[str, int]:
        """Words within the slips allowed, with how many.

        >>> Spelling(["silvermaple", "silverlime"]).near("silvermapel")
        {'silvermaple': 1}
        """
        if len(typed) > _LONGEST:
            return {}
        words = {word for rest in _rests(typed, 2) for word in self._words_by_rest.get(rest, ())}
        slips = {word: slips_between(typed, word) for word in sorted(words)}
        return {word: count for word, count in slips.items() if count <= _slips_allowed(word)}


def _slips_allowed(word: str) -> int:
    return 0 if len(word) < _SHORT else 1 if len(word) < _LONG else 2


def _rests(word: str, most: int) -> set[str]:
    """What remains of a word when up to that many letters are taken from it."""
    rests, newest = {word}, {word}
    for _ in range(most):
        newest = {rest[:place] + rest[place + 1:] for rest in newest for place in range(len(rest))}
        rests |= newest
    return rests
