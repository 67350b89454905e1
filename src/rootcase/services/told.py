"""What the practice says of itself, as its desk shows and changes it: prices with the old ones, and its own page."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rootcase.casework.prescribe.doses import price_units
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.prices import items
from rootcase.fieldbook.people.register import change_system
from rootcase.fieldbook.telling import ToldPrice
from rootcase.ground.length import cut
from rootcase.ground.words import say
from rootcase.records.observe import Practice, Price, System

_FOR_ALL_YEARS = ("per_tree", "per_m2")
_TYPED = {"per_m3": ("yd3", "m3"), "per_m2": ("ft2", "m2")}
UNITS = ("yd3", "m3", "ft2", "m2", "tree", "visit", "hour", "sample", "offer")
OWN_KEYS = ("name", "address", "reach", "tax_name", "tax_rate", "valid_days", "laboratory_days", "terms")
"""What a practice says once of itself; papers it may have several of."""


@dataclass(frozen=True, slots=True)
class Item:
    """What is asked for one thing in one currency, and what was asked before."""

    now: ToldPrice
    before: tuple[ToldPrice, ...]


def price_items(fieldbook: Fieldbook) -> dict[str, tuple[Item, ...]]:
    """The price book by currency; the items in the order of their names."""
    told: dict[tuple[str, str], list[ToldPrice]] = {}
    for each in fieldbook.telling.prices():
        told.setdefault((each.price.currency, each.price.item), []).append(each)
    books: dict[str, list[Item]] = {}
    for (currency, _), each in sorted(told.items()):
        if now := next((price for price in each if price.stands), None):
            books.setdefault(currency, []).append(Item(now, tuple(price for price in each if not price.stands)))
    return {currency: tuple(items) for currency, items in books.items()}


def tell_price(fieldbook: Fieldbook, cells: Mapping[str, str]) -> dict[str, str]:
    """Put another price in the place of the one that stands; the old one stays to be seen.

    Returns what is wrong, by the cell that it is about; then nothing is kept.
    """
    if wrong := _uncounted(cells):
        return {"unit": wrong}
    row = {**cells, "source": cells.get("source", "").strip() or say("keep.prices.no_source")}
    return {next((column for column, typed in cells.items() if _names(fault, typed)), "item"):
            fault.beside for fault in fieldbook.telling.tell("prices", [row])}


def units_of(item: str) -> tuple[str, ...]:
    """What a price of an item can be for, as it is typed: only what its work is counted in."""
    return tuple(unit for kept in price_units(item) for unit in _TYPED.get(kept, (kept.removeprefix("per_"),)))


def lasts(price: Price) -> bool:
    """Whether a price pays for a remedy through all five years, and not each time."""
    return price.unit in _FOR_ALL_YEARS


def _uncounted(cells: Mapping[str, str]) -> str:
    """Why a price cannot be for this unit; nothing where it can, or where the item itself is none."""
    item, unit = cells.get("item", ""), cells.get("unit", "").strip()
    if item not in items() or unit in units_of(item) or unit not in UNITS:
        return ""
    may = say("readings.or").join(say(f"keep.prices.per.{each}") for each in units_of(item))
    return say("keep.prices.uncounted", unit=say(f"keep.prices.per.{unit}"), units=may)


def use_system(fieldbook: Fieldbook, code: str, system: System) -> None:
    """Show somebody everything in these units first; what is kept does not change."""
    change_system(fieldbook.store, code, system)


def own_cells(practice: Practice) -> dict[str, str]:
    """What the practice says of itself, as it would be typed."""
    tax = "" if practice.tax_pct is None else f"{practice.tax_pct:g} %"
    days = {key: "" if count is None else str(count) for key, count in (
        ("valid_days", practice.valid_days), ("laboratory_days", practice.laboratory_days))}
    return {"name": practice.name, "address": practice.address, "reach": practice.reach,
            "tax_name": practice.tax_name, "tax_rate": tax, **days, "terms": practice.terms}


def tell_own(fieldbook: Fieldbook, cells: Mapping[str, str]) -> dict[str, str]:
    """Keep what was changed; a cell that was emptied takes back what stood. Returns what is wrong, by its key."""
    stands = own_cells(fieldbook.practice())
    changed = [key for key in OWN_KEYS if cells.get(key, "").strip() != stands[key].strip()]
    rows = [{"key": key, "value": cells.get(key, "").strip() or say("rules.no_longer"), "ends": ""} for key in changed]
    faults = fieldbook.telling.tell("practice", rows) if rows else ()
    return {changed[fault.row - 1]: fault.beside for fault in faults}


def tell_paper(fieldbook: Fieldbook, kind: str, what: str, ends: str) -> dict[str, str]:
    """Keep a licence, a permit or a calibration and the day it ends; "none" instead of a day takes it off the list.

    Returns what is wrong, by the cell that it is about.
    """
    faults = fieldbook.telling.tell("practice", [{"key": kind, "value": what, "ends": ends}])
    return {"ends" if what.strip() and fault.value != cut(what.strip()) else "what": fault.beside for fault in faults}


def _names(fault: Fault, typed: str) -> bool:
    """Whether a fault is of this text; of a long one it names the beginning."""
    return bool(typed.strip()) and fault.value in (f'"{typed.strip()}"', cut(typed.strip()))
