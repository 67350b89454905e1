"""Which unit a column of bare numbers is in: what is said wins, then the sheet's own system, then what values allow."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from rootcase.ground import typed
from rootcase.ground.errors import TypedError
from rootcase.ground.quantity import number, with_unit
from rootcase.ground.units import convert, convertible, unit_label
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.tables.readings import ReadingKind, check

Standing = Literal["said", "proposed", "asked"]

_FITS, _FITS_NOT = 0.95, 0.6
"""JUDGEMENT: share of a column's values that must be usual for a unit to be right, and under which it is not."""
_FEW = 3
"""Fewer values say nothing of a unit."""
_SPELLED = ("in", "cm", "mm", "ft", "m")
_OF_SYSTEM: dict[System, tuple[str, ...]] = {"us": ("in", "ft", "yd"), "metric": ("mm", "cm", "m")}


@dataclass(frozen=True, slots=True)
class UnitOf:
    """The unit of a column, and why."""

    unit: str
    why: str
    standing: Standing
    options: tuple[str, ...] = ()
    """Units to choose from where it is asked."""


def needs_unit(kind: ReadingKind) -> bool:
    """Whether a bare number of this kind can mean two things."""
    return len(_candidates(kind)) > 1


def unit_of(kind: ReadingKind, factor: float, texts: Sequence[str], system: System | None, whose: str) -> UnitOf:
    """The unit that bare numbers are in; `system` where it is known, `whose` says how."""
    values, units = _numbers(texts)
    if len(_candidates(kind)) == 1:
        return UnitOf(_candidates(kind)[0], "", "said")
    if units and not values:
        return UnitOf(units.most_common(1)[0][0], say("lists.unit_in_cells"), "said")
    wanted = _candidates(kind, system)
    if len(units) == 1 and sum(units.values()) >= _FEW and sum(units.values()) > len(values):
        return UnitOf(next(iter(units)), say("lists.unit_in_most"), "proposed")
    fitting = {unit: _share_usual(kind, factor, values, unit) for unit in _candidates(kind)}
    right = [unit for unit in wanted if fitting[unit] >= _FITS]
    usual = [unit for unit in fitting if fitting[unit] >= _FITS]
    if system and (fitting[wanted[0]] >= _FITS_NOT or not values):
        return UnitOf(wanted[0], say("lists.unit_by_system", system=say(f"lists.system.{system}"), whose=whose), "said")
    if len(right) == 1 and len(values) >= _FEW and (system or len(usual) == 1):
        return UnitOf(right[0], _by_values(kind, factor, values, right[0], wanted), "proposed")
    return UnitOf("", say("lists.unit_open", range=_span(values)), "asked", _candidates(kind))


def system_of(units: Iterable[str]) -> System | None:
    """The one system that units belong to; None where they are of both or of neither."""
    of = [system for system, names in _OF_SYSTEM.items() if any(unit in names for unit in units)]
    return of[0] if len(of) == 1 else None


def other_units(kind: ReadingKind) -> tuple[str, ...]:
    """Every unit a number of this kind may have been meant in."""
    lengths = [unit for unit in ("in", "cm", "mm", "ft", "m") if kind.si_unit and convertible(unit, kind.si_unit)]
    return tuple(dict.fromkeys((*_candidates(kind), *lengths)))


def unit_text(unit: str) -> str:
    """A unit as it reads in a sentence: "in" alone would not."""
    return say(f"lists.unit_word.{unit}") if unit in _SPELLED else unit_label(unit)


def _candidates(kind: ReadingKind, system: System | None = None) -> tuple[str, ...]:
    """Units in which a list may give this kind, the likeliest of a system first."""
    if not kind.si_unit:
        return ("",)
    us, metric = (kind.us_unit,), tuple(dict.fromkeys((kind.metric_unit, kind.si_unit)))
    if not convertible("m", kind.si_unit):
        metric = metric[:1]
    return tuple(dict.fromkeys({"us": us, "metric": metric, None: us + metric}[system]))


def _numbers(texts: Sequence[str]) -> tuple[list[float], Counter[str]]:
    """Values of the cells that are bare numbers, and the units of those that are not."""
    values: list[float] = []
    units: Counter[str] = Counter()
    for text in texts:
        try:
            found = typed.read(text)
        except TypedError:
            found = None
            if re.fullmatch(r"\d+,\d+", text):
                values.append(float(text.replace(",", ".")))
        if found and found.value is not None:
            if found.unit:
                units[found.unit] += 1
            else:
                values.append(found.value)
    return values, units


def _share_usual(kind: ReadingKind, factor: float, values: Sequence[float], unit: str) -> float:
    usual = sum(check(kind, convert(value, unit, kind.si_unit) * factor) == "ok" for value in values)
    return usual / len(values) if values else 1.0


def _by_values(kind: ReadingKind, factor: float, values: Sequence[float], unit: str, wanted: Sequence[str]) -> str:
    """Why the values read like one unit: the worst of them in the other."""
    other = next(each for each in (*wanted, *_candidates(kind)) if each != unit)
    bad = [value for value in values if check(kind, convert(value, other, kind.si_unit) * factor) != "ok"]
    worst = max(bad, default=values[0], key=lambda value: abs(value - sorted(values)[len(values) // 2]))
    return say("lists.unit_by_values", range=_span(values), unit=unit_text(unit), other=unit_text(other),
               worst=with_unit(number(worst, 4), other))


def _span(values: Sequence[float]) -> str:
    if not values:
        return say("lists.no_numbers")
    low, high = number(min(values), 4), number(max(values), 4)
    return low if low == high else say("quantity.interval", low=low, high=high)
