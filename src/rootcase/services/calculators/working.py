"""Working a sum out: the formula is called as it stands, over a thousand draws where a figure may be off."""

from __future__ import annotations

import importlib
import typing
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

import numpy as np

from rootcase.ground.errors import Missing, OutOfRange, RootcaseError
from rootcase.ground.words import say
from rootcase.science.inference.beyond import NINE_IN_TEN
from rootcase.services.calculators.alone import is_alone
from rootcase.services.calculators.contract import Calculator, carried_unit, written_unit
from rootcase.services.calculators.reading import Off, Value, in_both_systems, read_all, told_by_entry

DRAWS, SEED = 1000, 1


@dataclass(frozen=True, slots=True)
class Figure:
    """One thing a sum gives."""

    name: str
    """Empty where it gives one thing alone."""
    value: Any
    """A number, a list of them, a word, a yes; None: not known."""
    unit: str
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Worked:
    """What came of a sum."""

    taken: Mapping[str, Value]
    """What it was worked out from, in the units of the formula."""
    alone: frozenset[str]
    """What of it had no unit, where another than the formula's could be meant."""
    figures: tuple[Figure, ...]
    shares: Mapping[str, Mapping[str, float]]
    """Of a word that is not sure, how often each came."""
    impossible: int
    """Draws of DRAWS that the formula refused."""


def work_out(sum_: Calculator, typed: Mapping[str, str]) -> Worked:
    """The answer of a sum to what was typed."""
    told = told_by_entry(sum_, typed)
    values = read_all(sum_, told)
    function = getattr(importlib.import_module(sum_.module), sum_.name)
    middle = {name: each.middle if isinstance(each, Off) else each for name, each in values.items()}
    try:
        plain = dict(flat(_called(function, middle)))
    except OutOfRange as wrong:
        raise in_both_systems(sum_, wrong) from None
    except Missing as wrong:
        if not wrong.where.startswith("tables/"):
            raise
        raise Missing(say("calc.not_in_table"), value=wrong.value, right=wrong.right) from None
    units = _units_of(sum_, plain)
    off = {name: each for name, each in values.items() if isinstance(each, Off)}
    drawn, impossible = _drawn(sum_, function, middle, off) if off else ({}, 0)
    shares: dict[str, dict[str, float]] = {}
    figures = []
    for name, value in plain.items():
        came = [each for each in drawn.get(name, ()) if each is not None]
        if came and isinstance(value, float | int) and not isinstance(value, bool):
            ends = np.asarray(came, dtype=float)
            low, high = np.nanquantile(ends, (0.05, 0.95), method="nearest" if np.isinf(ends).any() else "linear")
            figures.append(Figure(name, value, units[name], float(low), float(high)))
            continue
        figures.append(Figure(name, value, units[name]))
        if came and isinstance(value, str | bool):
            shares[name] = {str(each): many / len(came) for each, many in Counter(came).most_common()}
    alone = frozenset(each.name for each in sum_.entries if is_alone(each, told.get(each.name, "")))
    return Worked(values, alone, tuple(figures), shares, impossible)


def _drawn(sum_: Calculator, function: Any, middle: Mapping[str, Value], off: Mapping[str, Off]) -> tuple[
        dict[str, list[Any]], int]:
    """Each figure over the draws, and how many draws the formula refused. A spread is normal, kept inside the range of
    its entry. JUDGEMENT: what people write behind a plus and minus has no better shape."""
    chance = np.random.default_rng(SEED)
    limits = {each.name: (each.low, each.high) for each in sum_.entries}
    lanes = {name: np.clip(chance.normal(each.middle, (each.high - each.low) / 2 / NINE_IN_TEN, DRAWS), *limits[name])
             if None not in limits[name] else
             chance.normal(each.middle, (each.high - each.low) / 2 / NINE_IN_TEN, DRAWS) for name, each in off.items()}
    came: dict[str, list[Any]] = {}
    impossible = 0
    for at in range(DRAWS):
        try:
            given = _called(function, {**middle, **{name: float(lane[at]) for name, lane in lanes.items()}})
        except RootcaseError:
            impossible += 1
            continue
        for name, value in flat(given):
            came.setdefault(name, []).append(value)
    return came, impossible


def _called(function: Any, values: Mapping[str, Value]) -> Any:
    """The formula at these values; figures of a group go in as the group."""
    arguments: dict[str, Any] = {}
    grouped: dict[str, dict[str, Any]] = {}
    for name, value in values.items():
        group, dot, figure = name.partition(".")
        told = np.asarray(value) if isinstance(value, list) and not isinstance(value[0], str) else value
        if dot:
            grouped.setdefault(group, {})[figure] = told
        else:
            arguments[name] = told
    if grouped:
        hints = typing.get_type_hints(function)
        arguments |= {group: _group(group, figures, hints[group]) for group, figures in grouped.items()}
    try:
        with np.errstate(all="ignore"):  # what is without end or not known is told in the answer
            return function(**arguments)
    except RootcaseError:
        raise
    except ArithmeticError:
        raise OutOfRange(say("calc.no_answer"), right=say("calc.no_answer_right")) from None
    except (AttributeError, LookupError, TypeError, ValueError):
        raise OutOfRange(say("calc.not_together"), right=say("calc.not_together_right")) from None


def _group(name: str, figures: Mapping[str, Any], hint: Any) -> Any:
    kind = next(each for each in (hint, *typing.get_args(hint)) if hasattr(each, "_fields"))
    there = figures.keys() | kind._field_defaults.keys()
    if missing := [f"{name}.{each}" for each in kind._fields if each not in there]:
        raise Missing(say("calc.missing", names=", ".join(missing)), about=missing[0],
                      right=say("calc.whole_group", group=name))
    return kind(**figures)


def flat(given: Any, name: str = "") -> Iterator[tuple[str, Any]]:
    """What a formula gave, figure by figure, in plain numbers, words and lists."""
    if hasattr(given, "_asdict"):
        for figure, value in given._asdict().items():
            yield from flat(value, f"{name}.{figure}".lstrip("."))
    elif is_dataclass(given) and not isinstance(given, type):
        for each in fields(given):
            yield from flat(getattr(given, each.name), f"{name}.{each.name}".lstrip("."))
    elif isinstance(given, tuple | list) and any(not isinstance(each, float | int | str) for each in given):
        for at, value in enumerate(given, 1):
            yield from flat(value, f"{name}.{at}".lstrip("."))
    elif isinstance(given, Mapping):
        for key, value in given.items():
            yield from flat(value, f"{name}.{key}".lstrip("."))
    else:
        yield name, _plain(given)


def _plain(given: Any) -> Any:
    if isinstance(given, np.ndarray | np.generic):
        given = given.tolist()
    if isinstance(given, tuple):
        given = list(given)
    if isinstance(given, float) and np.isnan(given):
        return None
    return given if given is None or isinstance(given, bool | int | float | str | list) else str(given)


def _units_of(sum_: Calculator, plain: Mapping[str, Any]) -> dict[str, str]:
    """One unit stands for all figures, several each for its own; else that which a figure's own name ends with, or
    which is given beside it."""
    units = sum_.units
    if len(units) == 1:
        units *= len(plain)
    if len(units) != len(plain):
        units = tuple(_unit_of(sum_, name, plain) for name in plain)
    return {name: "" if isinstance(value, str | bool) else unit
            for (name, value), unit in zip(plain.items(), units, strict=True)}


def _unit_of(sum_: Calculator, name: str, plain: Mapping[str, Any]) -> str:
    beside = plain.get(f"{name.rpartition('.')[0]}.unit")
    if isinstance(beside, str):
        return written_unit(beside)
    parts = (part or sum_.name for part in reversed(name.split(".")))
    places = {each.partition(".")[0] for each in plain}
    if name.isdigit() and len(places) == len(sum_.units):
        return sum_.units[int(name) - 1]
    bare = "1" if name and "1" in sum_.units else ""
    return next((unit for part in parts if (unit := carried_unit(part, sum_.units))), bare)


def refused(worked: Worked) -> str:
    """What is to be told of draws that the formula refused; empty: none."""
    return say("calc.impossible", many=worked.impossible, of=DRAWS) if worked.impossible else ""
