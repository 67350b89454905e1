"""How small a coin each currency is paid in."""

from __future__ import annotations

from rootcase.tables.load import table

USUAL = 2


def digits_of(currency: str) -> int:
    """Digits behind the point that a currency is paid in; one that the table does not name has two.

    >>> digits_of("USD"), digits_of("JPY"), digits_of("KWD")
    (2, 0, 3)
    """
    rows = table("prescribe/minor_units").rows
    return next((int(row["digits"]) for row in rows if row["currency"] == currency), USUAL)
