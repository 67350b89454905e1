"""Sums of money as people type them, and what is no sum."""

from __future__ import annotations

import pytest

from rootcase.ground.errors import UnreadableValue
from rootcase.ground.money import read_money


@pytest.mark.parametrize(("typed", "currency", "system", "sum_read"), [
    ("3,200", "USD", "us", 3200), ("$3,200", "CAD", "metric", 3200), ("1,200", "", "us", 1200),
    ("57.25", "USD", "us", 57.25),
    ("600 usd", "USD", "us", 600), ("EUR 600", "EUR", "metric", 600), ("57,25", "EUR", "metric", 57.25),
    ("1,234,567.89", "GBP", "metric", 1234567.89), ("0.125", "USD", "us", 0.125),
    ("1.250,50 €", "EUR", "metric", 1250.5)])
def test_a_sum_is_read_as_it_is_written_where_it_is_paid(typed: str, currency: str, system: str,
                                                          sum_read: float) -> None:
    found = read_money(typed, currency, system)  # type: ignore[arg-type]
    assert found is not None
    assert found.value == sum_read


@pytest.mark.parametrize(("typed", "currency", "why"), [
    ("3,200", "EUR", "this can be 3.2 or 3,200"), ("600 EUR", "USD", "the sums here are in USD"),
    ("€600", "USD", "the sums here are in USD"), ("12 m", "USD", "this is no sum of money"),
    ("3 lb", "USD", "this is no sum of money"), ("🌧", "USD", "this is no sum of money"),
    ("3-5", "USD", "this is no sum of money"), ("600 bob", "USD", "this is no sum of money")])
def test_what_is_no_sum_or_can_be_two_is_refused_in_words_of_money(typed: str, currency: str, why: str) -> None:
    with pytest.raises(UnreadableValue, match=why) as refused:
        read_money(typed, currency, "metric")
    assert refused.value.what == why
    assert "such as in, ft" not in str(refused.value)
    assert refused.value.value == f'"{typed}"'


def test_a_blank_is_no_sum_and_a_word_for_nothing_stays_one() -> None:
    assert read_money("-", "USD", "us") is None
    nothing = read_money("not known", "USD", "us")
    assert nothing is not None
    assert nothing.nothing == "not read"
