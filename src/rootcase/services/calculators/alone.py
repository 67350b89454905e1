"""Numbers without a unit where the United States would mean another one than the formula: told, or asked about."""

from __future__ import annotations

import re
from collections.abc import Mapping

from rootcase.ground.errors import UnknownUnit
from rootcase.ground.units import in_us_units, is_unit, unit_label, unit_name
from rootcase.ground.words import say
from rootcase.services.calculators.both import both
from rootcase.services.calculators.contract import Calculator, Entry

_NUMBERS = re.compile(r"(?:[\d.,;/\s±+-]|\bto\b|(?<=\d)[eE](?=[+-]?\d)|\bnan\b|\binf\b)*")
_INCHES_OR_FEET = "\"'″′"


def is_alone(entry: Entry, text: str) -> bool:
    """Whether nothing but numbers were typed where a unit of the United States could be meant; 0 of a length is 0.

    >>> from rootcase.services.calculators.shelf import calculator
    >>> crown = calculator("tree_water_l").entries[0]
    >>> [is_alone(crown, text) for text in ("30", "6 to 8", "30 ft", "0")]
    [True, True, False, False]
    """
    us, metric = both(entry.unit)
    means = any(each in "123456789" for each in text) or (entry.unit == "degC" and "0" in text)
    return us != metric and means and _NUMBERS.fullmatch(text) is not None


def ask_where_mixed(sum_: Calculator, told: Mapping[str, str]) -> None:
    """Refuse a number alone beside others that have units of the United States: it could be meant in either."""
    alone = [each for each in sum_.entries if is_alone(each, told.get(each.name, ""))]
    numbers = (each.name for each in sum_.entries if each.kind in ("number", "numbers"))
    if alone and any(_in_us(told.get(name, "")) for name in numbers):
        ask_unit(alone[0], told[alone[0].name], say("calc.mixed"))


def ask_unit(entry: Entry, text: str, what: str) -> None:
    """Refuse a number alone."""
    us, metric = (unit_label(unit) for unit in both(entry.unit))
    raise UnknownUnit(what, where=entry.name, value=f'"{text}"', about=entry.name,
                      right=say("calc.mixed_right", us=us, metric=metric))


def with_own_unit(entry: Entry, text: str) -> str:
    """Numbers alone with the unit of the formula behind each.

    >>> from rootcase.services.calculators.shelf import calculator
    >>> with_own_unit(calculator("tree_water_l").entries[0], "9; 10")
    '9 m; 10 m'
    """
    return "; ".join(f"{each.strip()} {entry.unit}" for each in text.split(";") if each.strip())


def _in_us(text: str) -> bool:
    names = {unit_name(word) for word in re.findall(r"[A-Za-z]+\d?", text) if is_unit(word)}
    return "degF" in names or any(map(in_us_units, names)) or any(each in text for each in _INCHES_OR_FEET)
