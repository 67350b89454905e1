"""Sums of money as people type them: with or without a sign, thousands parted as their currency or country does."""

from __future__ import annotations

import re
from typing import Literal

from rootcase.ground import typed
from rootcase.ground.errors import TypedError, UnreadableValue
from rootcase.ground.typed import Typed
from rootcase.ground.words import say

_POINT = ("USD", "CAD", "GBP", "AUD", "NZD")
"""A point before the cents, a comma between thousands, wherever they are paid in (common practice, no source)."""
_SIGNS = {"$": ("USD", "CAD", "AUD", "NZD", "SGD", "HKD", "MXN"), "€": ("EUR",), "£": ("GBP",)}
"""Currencies of each sign, as ISO 4217 writes them (common practice, no source)."""
_MONEY = re.compile(r"([A-Za-z]{3}(?![A-Za-z])|[$€£])?\s*([-+]?\d[\d.,' ]*?)\s*([A-Za-z]{3}|[$€£])?")
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?")


def read_money(text: str, currency: str, system: Literal["us", "metric"]) -> Typed | None:
    """A sum in this currency; None for a blank. A comma that the currency or US units do not settle is asked about.

    >>> [read_money(each, "USD", "metric").value for each in ("3,200", "$57.25", "600 USD", "1,250.50", "1250")]
    [3200.0, 57.25, 600.0, 1250.5, 1250.0]
    >>> read_money("57,25", "EUR", "metric").value, read_money("1.250,50 €", "EUR", "metric").value
    (57.25, 1250.5)
    """
    found = _MONEY.fullmatch(text.strip())
    bare = text.strip()
    if found and (signs := [each for each in (found[1], found[3]) if each]):
        for sign in signs:
            _require_own(text, sign, currency)
        bare = found[2]
    if (currency in _POINT or (system == "us" and currency != "EUR")) and _THOUSANDS.fullmatch(bare):
        bare = bare.replace(",", "")
    try:
        read = typed.read(bare)
    except TypedError as error:
        if error.right != say("typed.right") and isinstance(error, UnreadableValue):
            raise UnreadableValue(error.what, value=f'"{text}"', right=error.right) from None
        raise _no_money(text, currency) from None
    if read and (read.unit or read.low is not None):
        raise _no_money(text, currency)
    return read


def _require_own(text: str, sign: str, currency: str) -> None:
    if currency and currency not in _SIGNS.get(sign, (sign.upper(),)):
        if sign in _SIGNS or re.fullmatch("[A-Z]{3}", sign):
            raise UnreadableValue(say("money.other", currency=currency), value=f'"{text}"',
                                  right=say("money.right_other", currency=currency))
        raise _no_money(text, currency)


def _no_money(text: str, currency: str) -> UnreadableValue:
    return UnreadableValue(say("money.no_sum"), value=f'"{text}"', right=say("money.right", currency=currency).strip())
