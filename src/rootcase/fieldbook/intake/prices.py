"""The price book: what a practice asks for a remedy, a visit, at least."""

from __future__ import annotations

from collections.abc import Iterable

from rootcase.fieldbook.events import Event, Priced
from rootcase.fieldbook.intake.desk import Line, whole
from rootcase.fieldbook.intake.faults import Refused
from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.intake.property_page import currency
from rootcase.fieldbook.view import heads
from rootcase.ground.errors import UnknownUnit
from rootcase.ground.length import MOST_LINE, require_length
from rootcase.ground.money import read_money
from rootcase.ground.units import convert, convertible, unit_name
from rootcase.ground.words import say
from rootcase.records.observe import MINIMUM_CHARGE, Price, PriceBook, System
from rootcase.tables.load import table

_EACH = {"visit": "per_visit", "tree": "per_tree", "hour": "per_hour", "h": "per_hour", "sample": "per_sample",
         "offer": "per_offer"}
COLUMNS = ("item", "amount", "unit", "currency", "source")
_MEASURES = {"m2": "per_m2", "m3": "per_m3"}


def items() -> tuple[str, ...]:
    """What a price can be for."""
    readings = (row["item"] for row in table("prescribe/reading_costs").rows)
    return (*(row["remedy"] for row in table("prescribe/remedies").rows), "visit", *readings, MINIMUM_CHARGE)


def take_prices(lines: list[Line]) -> dict[str, Priced]:
    """Prices by slot; they belong to the practice, not to the property of the sheet."""
    taken: dict[str, Priced] = {}
    known = {folded(item): item for item in items()}
    for line in whole(lines):
        with line.guarding():
            for column in COLUMNS:
                require_length(line.text(column), MOST_LINE)
            item = folded(line.text("item"))
            if item not in known:
                raise Refused(say("intake.no_choice", kind="item"), value=f'"{line.text("item")}"',
                              right=say("intake.one_of", choices=", ".join(known.values())))
            money = currency(line.text("currency") or line.desk.facts.currency)
            if money != line.desk.facts.currency:
                raise Refused(say("intake.two_currencies", currency=line.desk.facts.currency), value=money,
                              right=say("intake.right_currency"))
            amount, unit = per_unit(line.cell("amount").text, line.text("unit"), money, line.desk.facts.system)
            slot = named_id(line.desk.practice_id, "price", item, money)
            taken[slot] = Priced(slot=slot, item=known[item], unit=unit, amount=amount, currency=money,
                                 source=line.text("source") or line.source)
    return taken


def price_book(events: Iterable[Event], currency: str) -> PriceBook:
    """The prices that stand in a currency, by item; a practice on both sides of a border has two of each."""
    said = [head.event.body for head in heads(events).values()]
    priced = [body for body in said if isinstance(body, Priced) and body.currency == currency and not body.gone]
    lines = tuple(sorted((Price(body.item, body.unit, body.amount, body.currency, body.source)
                          for body in priced if body.item != MINIMUM_CHARGE), key=lambda price: price.item))
    minimum = next((body for body in priced if body.item == MINIMUM_CHARGE), None)
    return PriceBook(currency, lines, minimum.amount if minimum else 0.0)


def per_unit(typed: str, unit: str, currency: str, system: System) -> tuple[float, str]:
    """An amount and what it is for: a square or cubic metre, a visit, a tree, an hour, a sample, an offer."""
    found = read_money(typed, currency, system)
    if found is None or found.value is None or found.sign != "=" or found.value < 0:
        raise Refused(say("intake.no_amount"), value=f'"{typed}"', right=say("intake.right_amount"))
    word = folded(unit).removeprefix("per ")
    if word in _EACH:
        return found.value, _EACH[word]
    try:
        name = unit_name(unit.replace("_", " ").strip().removeprefix("per ").removeprefix("/"))
        for measure, price_unit in _MEASURES.items():
            if convertible(name, measure):
                return round(found.value / convert(1, name, measure), 9), price_unit
    except UnknownUnit:
        pass
    raise Refused(say("intake.no_price_unit"), value=f'"{unit}"', right=say("intake.right_price_unit"))
