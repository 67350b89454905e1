"""Slips of letters are counted, and words within them found, as by trying everything."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.intake.spelling import Spelling, slips_between

words = st.text("abc", max_size=9)


def slips_by_the_book(one: str, other: str) -> int:
    """The recurrence as it is published, without a short cut."""
    table = {(i, j): i + j for i in range(len(one) + 1) for j in range(len(other) + 1) if not i or not j}
    for i in range(1, len(one) + 1):
        for j in range(1, len(other) + 1):
            ways = [table[i - 1, j] + 1, table[i, j - 1] + 1, table[i - 1, j - 1] + (one[i - 1] != other[j - 1])]
            if i > 1 and j > 1 and one[i - 1] == other[j - 2] and one[i - 2] == other[j - 1]:
                ways.append(table[i - 2, j - 2] + 1)
            table[i, j] = min(ways)
    return table[len(one), len(other)]


@given(words, words)
def test_slips_are_those_of_the_published_recurrence(one: str, other: str) -> None:
    assert slips_between(one, other) == slips_by_the_book(one, other) == slips_between(other, one)


@given(st.lists(st.text("abcd", min_size=3, max_size=10), max_size=12), st.text("abcd", min_size=1, max_size=11))
def test_all_words_within_their_slips_are_found_and_no_others(known: list[str], typed: str) -> None:
    allowed = {word: 0 if len(word) < 5 else 1 if len(word) < 8 else 2 for word in known}
    within = {word: slips_by_the_book(typed, word) for word in known if slips_by_the_book(typed, word) <= allowed[word]}
    assert Spelling(known).near(typed) == within


def test_a_text_too_long_for_a_name_is_near_to_nothing() -> None:
    assert Spelling(["silvermaple"]).near("x" * 100_000) == {}
