"""Which currencies there are, and how small a coin each is paid in."""

from __future__ import annotations

from functools import cache

from rootcase.tables.load import table

USUAL = 2


@cache
def known_currencies() -> frozenset[str]:
    """The currencies that are paid in, by their three letters.

    >>> "USD" in known_currencies(), "XAU" in known_currencies()
    (True, False)
    """
    return frozenset(row["currency"] for row in table("prescribe/currencies").rows)


def half_a_coin(currency: str) -> float:
    """Half of the smallest coin of a currency: so far may a rounded sum lie from what it was.

    >>> half_a_coin("USD"), half_a_coin("JPY")
    (0.005, 0.5)
    """
    return 0.5 * 10.0 ** -digits_of(currency)


def digits_of(currency: str) -> int:
    """Digits behind the point that a currency is paid in; one that the table does not name has two.

    >>> digits_of("USD"), digits_of("JPY"), digits_of("KWD")
    (2, 0, 3)
    """
    rows = table("prescribe/minor_units").rows
    return next((int(row["digits"]) for row in rows if row["currency"] == currency), USUAL)
