"""A sum and its answer in words: on the command line and on its page."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from typing import Any

from rootcase.ground.quantity import System, interval, number, show, show_interval
from rootcase.ground.units import is_unit, unit_label
from rootcase.ground.words import say
from rootcase.services.calculators.both import both
from rootcase.services.calculators.contract import Calculator, Entry, without_unit
from rootcase.services.calculators.reading import Off, Value, wanted
from rootcase.services.calculators.shelf import formula
from rootcase.services.calculators.working import Figure, Worked, refused

_FIGURES = 4
_MOST_LISTED = 24
_FINE_G = 0.28
"""Below a hundredth of an ounce a scale shows grams alone."""
_SMALL = {"m": (0.3048, ("in", "cm")), "m2": (0.09290304, ("in2", "cm2")), "kg": (0.45359237, ("oz", "g")),
          "g": (_FINE_G, ("g", "g")), "mL": (1.0, ("mL", "mL"))}
"""Below a foot, a square foot, a pound: in units that leave no 0.04 ft2."""
_BY_THE_TAPE = ("trunk", "stem", "diameter", "depth")
"""Told in inches, however many."""
_MOST_INCHES_M = 3.048


def answer_lines(worked: Worked, system: System) -> list[str]:
    """What came of a sum, a line each."""
    lines = [_line(each, name, system) for name, each in zip(_names(worked), worked.figures, strict=True)
             if each.value not in ("", [])] or [say("calc.nothing")]
    for name, shares in worked.shares.items():
        told = (say("calc.share", what=_word(what), share=number(100.0 * share)) for what, share in shares.items())
        lines.append(say("calc.of_draws", name=_named(name), told=", ".join(told)))
    return [*lines, refused(worked)] if worked.impossible else lines


def _names(worked: Worked) -> list[str]:
    """As the figures are told: two numbers that are called nothing are the ends of what lies between them."""
    names = [each.name for each in worked.figures]
    if names == ["1", "2"] and all(isinstance(each.value, float) for each in worked.figures):
        return [say("calc.lower_end"), say("calc.upper_end")]
    return names


def taken_lines(sum_: Calculator, worked: Worked, system: System, *, labeled: bool = False) -> list[str]:
    """What it was worked out from, as it was understood; labeled: with the words above its boxes, not what is typed."""
    taken = [_taken(each, label(each) if labeled else each.name, worked, system)
             for each in sum_.entries if each.name in worked.taken]
    return [say("calc.from"), *taken] if taken else []


def _taken(entry: Entry, name: str, worked: Worked, system: System) -> str:
    value = _amount(worked.taken[entry.name], entry.unit, system, entry.name)
    if entry.name in worked.alone:
        return say("calc.taken_alone", name=name, value=value, unit=unit_label(entry.unit))
    return say("calc.taken", name=name, value=value)


def formula_lines(sum_: Calculator) -> list[str]:
    """How it is reckoned, a line each, or where the steps stand."""
    lines = formula(sum_)
    return [say("calc.formula"), *(say("calc.formula_line", line=line) for line in lines)] if lines else [
        say("calc.steps", file=f"{sum_.module.replace('.', '/')}.py")]


def entry_line(entry: Entry) -> str:
    """One thing a sum asks for: name, what may be typed, what it is."""
    return say("calc.entry", name=entry.name, wanted=entry_help(entry))


def label(entry: Entry) -> str:
    """What stands above its box: the name without the unit that it carries in the code.

    >>> from rootcase.services.calculators.shelf import calculator
    >>> [label(each) for each in calculator("share_of_saturation_pct").entries]
    ['Oxygen', 'Saturation']
    """
    return without_unit(entry.name.replace(".", "_")).capitalize()


def entry_help(entry: Entry) -> str:
    """What stands below its box."""
    need = "" if entry.needed else say("calc.not_needed")
    return f"{say('calc.about', about=entry.about.replace('`', '')) if entry.about else ''}{wanted(entry)}{need}"


def choices_of(entry: Entry) -> list[tuple[str, str]]:
    """All it may be, with words to show; empty: it is typed."""
    if entry.kind == "yes":
        return [(each, say(f"calc.{each}")) for each in ("yes", "no")]
    return [*([] if entry.needed else [("", "")]), *((each, each.replace("_", " ")) for each in entry.choices)]


def in_words(text: str) -> str:
    """Names of the code as words, for a page where nobody types them.

    >>> in_words("see told_dose_mg_mg")
    'see told dose mg mg'
    """
    return re.sub(r"\b[a-z0-9]+(?:_[a-z0-9]+)+\b", lambda name: name[0].replace("_", " "), text)


def paragraphs(text: str) -> list[str]:
    """The paragraphs of a docstring's section, without its marks of code."""
    return [" ".join(each.split()).replace("`", "") for each in re.split(r"\n\s*\n", text)
            if each.strip() not in ("", "None.")]


def answer_json(sum_: Calculator, worked: Worked) -> dict[str, Any]:
    """The answer with every figure as it was computed; None for what is not known or has no end."""
    taken = {name: _for_json([value.low, value.high] if isinstance(value, Off) else value)
             for name, value in worked.taken.items()}
    figures = [{"name": each.name, "value": _for_json(each.value), "unit": each.unit, "low": _for_json(each.low),
                "high": _for_json(each.high)} for each in worked.figures]
    return {"sum": sum_.name, "taken": taken, "answer": figures, "shares": dict(worked.shares),
            "refused_draws": worked.impossible, "formula": list(formula(sum_)),
            "notes": " ".join(paragraphs(sum_.notes)), "source": " ".join(paragraphs(sum_.sources))}


def _for_json(value: Value) -> Any:
    if isinstance(value, list):
        return [_for_json(each) for each in value]
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    return value if value is None or isinstance(value, int | str) else str(value)


def _line(figure: Figure, name: str, system: System) -> str:
    name = _named(name)
    amount = _amount(figure.value, figure.unit, system)
    if figure.low is None or figure.high is None:
        return say("calc.answer", name=name, value=amount)
    if _in_words(figure.unit):
        pair = _pair(figure.high, figure.unit)
        between = show_interval(figure.low, figure.high, figure.unit, system, pair, 3)
    else:
        between = f"{interval(figure.low, figure.high, 3)} {_label(figure.unit)}".strip()
    return say("calc.answer_between", name=name, value=amount, between=between)


def _named(name: str) -> str:
    return say("calc.named", name=without_unit(name)) if name else ""


def _amount(value: Value, unit: str, system: System, name: str = "") -> str:
    if isinstance(value, Off):
        return say("calc.off", low=_amount(value.low, unit, system, name), high=_amount(value.high, unit, system, name))
    if isinstance(value, list):
        more = say("calc.more", many=len(value) - _MOST_LISTED) if len(value) > _MOST_LISTED else ""
        return ", ".join(_amount(each, unit, system, name) for each in value[:_MOST_LISTED]) + more
    if value is None:
        return say("quantity.not_known")
    if isinstance(value, bool | str) or not isinstance(value, int | float):
        return _word(value)
    if _in_words(unit):
        return show(value, unit, system, _pair(value, unit, name), _FIGURES)
    if unit == "year":
        return say("calc.year" if value == 1 else "calc.years", many=number(value, _FIGURES))
    return f"{number(value, _FIGURES)} {_label(unit)}".strip()


def _in_words(unit: str) -> bool:
    """Whether it is written in both systems; what is a bare number stays one, for it may be more than a share."""
    return unit not in ("", "1", "year") and is_unit(unit)


def _pair(value: float, unit: str, name: str = "") -> tuple[str, str] | None:
    below, pair = _SMALL.get(unit, (0.0, None))
    if unit == "m" and any(each in name for each in _BY_THE_TAPE):
        below = _MOST_INCHES_M
    return pair if 0.0 < abs(value) < below else both(unit)


def _label(unit: str) -> str:
    return "" if unit == "1" or "unit" in unit.split() else unit


def _word(value: object) -> str:
    if value in (True, "True"):
        return say("calc.yes")
    return say("calc.no") if value in (False, "False") else in_words(str(value))


def by_subject(names: Mapping[str, Calculator]) -> Iterator[tuple[str, list[str]]]:
    """Names of sums under each subject, in order."""
    found: dict[str, list[str]] = {}
    for name, each in names.items():
        found.setdefault(each.subject, []).append(name)
    yield from found.items()
