"""Prices in words: the thing, the sum, and what it is for, in both systems."""

from __future__ import annotations

from rootcase.ground.quantity import System
from rootcase.ground.units import convert, unit_label
from rootcase.ground.words import say
from rootcase.records.observe import Price
from rootcase.report.text.figures import known, sentence
from rootcase.tables.currencies import digits_of

_PAIRS = {"per_m2": ("ft2", "m2"), "per_m3": ("yd3", "m3")}
_LEAST = 3
"""Figures of a sum that is less than one: 0.883 for a square foot."""


def item_name(item: str) -> str:
    """What a price is for.

    >>> item_name("mulch"), item_name("visit")
    ('Wood-chip mulch', 'Visit')
    """
    return sentence(say(f"remedy.{item}") if known(f"remedy.{item}") else item)


def price_told(price: Price, system: System) -> str:
    """A price as people say it, the other system's beside it.

    >>> price_told(Price("mulch", "per_m3", 85.016612, "USD", ""), "us")
    '65.00 USD per yd³ (85.02 per m³)'
    >>> price_told(Price("visit", "per_visit", 180.0, "USD", ""), "us")
    '180.00 USD per visit'
    """
    if price.unit not in _PAIRS:
        return say("keep.price", sum=_sum(price.amount, price.currency), currency=price.currency,
                   unit=price.unit.removeprefix("per_"))
    own, other = _PAIRS[price.unit] if system == "us" else reversed(_PAIRS[price.unit])
    sums = [_sum(price.amount * convert(1.0, unit, _PAIRS[price.unit][1]), price.currency) for unit in (own, other)]
    return say("keep.price_both", sum=sums[0], currency=price.currency, unit=unit_label(own), other=sums[1],
               other_unit=unit_label(other))


def _sum(amount: float, currency: str) -> str:
    return f"{amount:,.{digits_of(currency)}f}" if amount >= 1.0 or not amount else f"{amount:.{_LEAST}g}"
