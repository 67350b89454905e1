"""One figure that a form asks for, read in the unit it was typed in; what cannot be says between what it lies."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Literal

from rootcase.ground.errors import ImpossibleValue, RootcaseError, UnreadableValue
from rootcase.ground.length import MOST_LINE, require_length
from rootcase.ground.measured import Pair
from rootcase.ground.quantity import System, number, with_unit
from rootcase.ground.typed import Limits, read, sign_of
from rootcase.ground.units import convert, unit_label
from rootcase.ground.words import say


@dataclass(frozen=True, slots=True)
class Ask:
    """One thing that a form asks for."""

    name: str
    into: str
    """What it is called where it goes, with its unit."""
    unit: str
    pair: Pair
    """US and metric unit of a number that is typed without one."""
    low: float
    high: float
    """In `unit`."""
    needed: bool = True
    form: Literal["one", "several", "grid"] = "one"
    signed: bool = False
    """Whether it may be told that it lies below or above the figure, such as <1 or >2419.6."""

    def box_unit(self, system: System) -> str:
        """The unit of a number typed without one."""
        return self.pair[0] if system == "us" else self.pair[1]


def read_one(ask: Ask, text: str, system: System, said: list[str]) -> float | None:
    """The figure in the unit of the ask, None where nothing was typed; said: how what could mean two things was read.
    """
    require_length(text, MOST_LINE)
    box = ask.box_unit(system)
    found = read(text, Limits(ask.low, ask.high, ask.unit, box)) if text.strip() else None
    if found is None:
        if ask.needed:
            raise UnreadableValue(say("rates.nothing"), right=_between(ask, system))
        return None
    if found.value is None or not (found.sign == "=" or (ask.signed and found.sign in ("<", ">"))):
        raise UnreadableValue(say("rates.not_one"), value=f'"{text}"', right=say("rates.right_one"))
    value = found.to(ask.unit, box).value
    if value is None or not ask.low <= value <= ask.high:
        raise ImpossibleValue(say("rates.impossible"), value=f'"{text}"', right=_between(ask, system))
    said += [found.said] if found.said else []
    return value


def read_as(asks: Iterable[Ask], typed: Mapping[str, str], system: System) -> dict[str, str]:
    """How what could mean two things was read, a line by the name of its field; what cannot be read says nothing here.
    """
    found = {}
    for ask in asks:
        said: list[str] = []
        with suppress(RootcaseError):
            read_one(ask, typed.get(ask.name, ""), system, said)
        if said:
            found[ask.name] = said[0]
    return found


def help_of(ask: Ask, system: System) -> str:
    """What a number without a unit is taken in, and whether the field may stay empty."""
    unit = unit_label(ask.box_unit(system))
    parts = [say("rates.without_unit", unit=unit)] if unit else []
    return "; ".join(parts if ask.needed else [*parts, say("rates.may_stay_empty")])


def sign_said(text: str) -> str:
    """Whether a text says that a figure lies below or above the one that is typed.

    >>> sign_said("<1"), sign_said("under 10"), sign_said(">2419.6"), sign_said("1")
    ('<', '<', '>', '')
    """
    sign = sign_of(text)
    return sign if sign in ("<", ">") else ""


def _between(ask: Ask, system: System) -> str:
    """The bounds of an ask as a person would type them."""
    box = ask.box_unit(system)
    low, high = (with_unit(number(convert(end, ask.unit, box)), box) for end in (ask.low, ask.high))
    return say("rates.between", low=low, high=high)
