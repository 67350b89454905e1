"""One typed value of one kind, taken apart, converted and held against the limits."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from rootcase.fieldbook.intake.faults import Refused
from rootcase.fieldbook.intake.grid import Cell, folded
from rootcase.fieldbook.intake.species import doubts_of, names_no_kind, resolve, said_of
from rootcase.ground import typed
from rootcase.ground.dates import Order, read_date, show_date
from rootcase.ground.errors import TypedError, UnknownUnit
from rootcase.ground.money import read_money
from rootcase.ground.typed import Limits, Typed
from rootcase.ground.units import unit_label, unit_name
from rootcase.ground.words import say
from rootcase.records.observe import Nothing, Sign, System
from rootcase.tables.readings import ReadingKind, check, message, years_meant

_NUMBERS = ("number", "integer", "share", "count", "profile")
_MONEY = "money"
_STOPPED = "stopped"
"""What stands at a depth that was not reached, where the kind's axis says so."""
_FIRST_YEAR = 1900
"""JUDGEMENT: nobody brings older readings of a living tree's ground."""
_SHORT_YEAR = re.compile("['’‘]?([0-9]{2})")
_CALENDAR_YEAR = 1000
"""A kind in years whose lowest possible value is above this counts calendar years, not a duration."""


class Money(NamedTuple):
    """How a sum of money is read."""

    currency: str
    system: System


@dataclass(frozen=True, slots=True)
class Value:
    """What a cell says of its kind."""

    typed: str
    value: float | None = None
    choice: str | None = None
    sign: Sign = "="
    nothing: Nothing | None = None
    doubts: tuple[str, ...] = ()
    said: str = ""
    """How an unclear text was read; to be told back."""
    attributes: Mapping[str, str] = field(default_factory=dict)
    """What the text says beside the value: a kind's cultivar."""


def read_value(kind: ReadingKind, cell: Cell, unit: str, system: System, day: date | None,
               factor: float = 1.0, currency: str = "") -> Value | None:
    """What a cell says, or None for no reading.

    unit: as the header says, empty for the system's own; day: of the visit, which no year may lie behind; factor: what
    makes the number one of this kind; currency: what a sum of money has to be in, empty where that is not known.
    """
    if _STOPPED in kind.axis and folded(cell.text) == _STOPPED:
        return Value(cell.text, choice=_STOPPED)
    if kind.value_type in _NUMBERS:
        return _number(kind, cell, unit or box_unit(kind, system), day, factor, Money(currency, system))
    if folded(cell.text) not in _codes(kind):
        try:
            words = typed.read(cell.text)
        except TypedError:
            words = Typed(cell.text)
        if words is None or words.nothing:
            return Value(cell.text, nothing=words.nothing) if words else None
    if kind.value_type == "choice":
        return Value(cell.text, choice=read_choice(kind, cell.text))
    if kind.value_type == "date":
        return Value(cell.text, choice=not_too_old(read_day(cell)).isoformat())
    return _kind_of_tree(cell.text) if kind.kind == "species" else Value(cell.text, choice=cell.text)


def box_unit(kind: ReadingKind, system: System) -> str:
    """Unit a number without one is taken in."""
    return kind.us_unit if system == "us" else kind.metric_unit


def read_choice(kind: ReadingKind, text: str) -> str:
    """Code of a choice, from its code or its definition."""
    codes = _codes(kind)
    if folded(text) not in codes:
        raise Refused(say("intake.no_choice", kind=kind.label), value=f'"{text}"',
                      right=say("intake.one_of", choices=", ".join(kind.choices)))
    return codes[folded(text)]


def read_length_m(cell: Cell, unit: str, system: System, *, small: bool = False) -> float | None:
    """A length as metres, or None; a number without a unit is feet or metres, inches or centimetres where small."""
    box = unit or {("us", True): "in", ("us", False): "ft", ("metric", True): "cm"}.get((system, small), "m")
    found = typed.read(_plain_number(cell).text)
    if found is None or found.nothing:
        return None
    length = found.to("m", box)
    if length.value is None or length.sign != "=":
        raise Refused(say("intake.one_length"), value=f'"{cell.text}"', right=say("intake.right_length"))
    return round(length.value, 9)


def read_day(cell: Cell, order: Order | None = None) -> date:
    """The day of a cell; a number is what a spreadsheet makes of a date when it loses its form."""
    if cell.form == "number" or cell.text.isdigit():
        raise Refused(say("intake.date_as_number"), value=cell.text, right=say("dates.right"))
    return read_date(cell.text, order)


def not_too_old(day: date) -> date:
    """The day, if a reading can be of it: a year far back has lost a figure, as 0215 has."""
    if day.year < _FIRST_YEAR:
        raise Refused(say("intake.day_old", first=_FIRST_YEAR), value=show_date(day), right=say("dates.right"))
    return day


def _number(kind: ReadingKind, cell: Cell, unit: str, day: date | None, factor: float, money: Money) -> Value | None:
    if _is_year(kind) and (short := _SHORT_YEAR.fullmatch(cell.text)):
        meant = say("readings.or").join(f"{century}{short[1]}" for century in (20, 19))
        raise Refused(say("intake.no_year"), value=f'"{cell.text}"', right=say("readings.did_you_mean",
                                                                               candidates=meant))
    box = unit_name(unit)
    lower, upper = (None if end is None else end / factor for end in (kind.lower_hard, kind.upper_hard))
    text = _plain_number(cell).text
    found = read_money(text, *money) if kind.si_unit == _MONEY else _read(
        kind, text, Limits(lower, upper, kind.si_unit, box))
    if found is None:
        return None
    if found.nothing:
        return Value(cell.text, nothing=found.nothing)
    if found.value is None:
        raise Refused(say("intake.range"), value=f'"{cell.text}"', right=say("intake.right_range"))
    shown = found.unit or box
    turned = _turned(kind, found, box, cell.text)
    assert turned.value is not None  # it was one value before, so it is one now
    value_si, value_shown = turned.value * factor, found.value * factor
    verdict = check(kind, value_si)
    if verdict == "impossible":
        raise Refused(message(kind, value_shown, shown))
    if kind.value_type in ("integer", "count") and value_si != int(value_si):
        raise Refused(say("intake.whole", kind=kind.label), value=f'"{cell.text}"', right=say("intake.right_whole"))
    if day and _is_year(kind) and value_si > day.year:
        meant = say("readings.or").join(str(year) for year in years_meant(int(value_si), day.year))
        raise Refused(say("intake.year_ahead", kind=kind.label, year=day.year), value=cell.text,
                      right=say("readings.did_you_mean", candidates=meant) if meant else "")
    label = "" if found.unit else unit_label(box)
    return Value(f"{cell.text} {label}".strip(), value=value_si, sign=found.sign, said=turned.said,
                 doubts=(message(kind, value_shown, shown),) if verdict == "doubt" else ())


def _read(kind: ReadingKind, text: str, limits: Limits) -> Typed | None:
    """What was typed; a unit that is none is answered with those of this kind."""
    try:
        return typed.read(text, limits)
    except UnknownUnit as error:
        units = ", ".join(dict.fromkeys(filter(None, map(unit_label, kind.pair))))
        if error.right != say("units.write_another") or not units:
            raise
        raise UnknownUnit(error.what, value=error.value, right=say("lists.right_unit", units=units)) from None


def _turned(kind: ReadingKind, found: Typed, box: str, text: str) -> Typed:
    """In SI; a unit of something else is answered with those that this kind is measured in."""
    try:
        return found.to(kind.si_unit, box)
    except UnknownUnit:
        units = ", ".join(dict.fromkeys(filter(None, map(unit_label, kind.pair))))
        if not units or not found.unit:
            raise
        what = say("lists.wrong_unit", kind=kind.label, unit=unit_label(found.unit))
        raise UnknownUnit(what, value=f'"{text}"', right=say("lists.right_unit", units=units)) from None


def _is_year(kind: ReadingKind) -> bool:
    return kind.si_unit == "year" and (kind.lower_hard or 0) > _CALENDAR_YEAR


def _plain_number(cell: Cell) -> Cell:
    """Refuses what a spreadsheet took for a date."""
    if cell.form == "date":
        raise Refused(say("intake.number_as_date"), value=cell.text, right=say("intake.right_number_as_date"))
    return cell


def _kind_of_tree(text: str) -> Value:
    """A name of one kind becomes its botanical name; any other is kept as typed, with what it may mean."""
    named = resolve(text)
    if names_no_kind(text):
        return Value(text, nothing="not read", said=said_of(named))
    return Value(text, choice=named.botanical or text, doubts=doubts_of(text), said=said_of(named),
                 attributes={"cultivar": named.cultivar} if named.cultivar else {})


def _codes(kind: ReadingKind) -> dict[str, str]:
    """Code by what a person may type for it."""
    return {folded(definition): code for code, definition in kind.choices.items()} | {
        folded(code): code for code in kind.choices}
