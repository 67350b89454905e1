"""What people type into a sum: with or without a unit, one or several, with how far it may be off."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from rootcase.ground.errors import Missing, OutOfRange, RootcaseError, UnknownUnit, UnreadableValue
from rootcase.ground.quantity import show
from rootcase.ground.typed import Limits, Typed, read
from rootcase.ground.units import convert, convertible, is_unit
from rootcase.ground.words import say
from rootcase.services.calculators.alone import ask_where_mixed
from rootcase.services.calculators.contract import Calculator, Entry

_ANSWERS = {"yes": True, "no": False, "true": True, "false": False}
_NO_FIGURE = {"nan": math.nan, "not known": math.nan, "inf": math.inf}
"""A gap in a list of readings, and no end."""
_OFF_BY = re.compile(r"\s*(?:±|\+/?-)\s*")
_RATIO = re.compile(r"(\d+(?:\.\d+)?) ?: ?(\d*\.?\d*[1-9]\d*)")
"""1:10 as people say it of a mix; what it comes to is a number alone."""
_PERCENT = 100.0
_RANGE_FIGURES = 4
_HALF_ZONE = re.compile(r"(\d+) ?[abAB]")
"""A zone of the hardiness map with its half, which no formula of ours tells apart."""
_COUNTED = re.compile(r"([\d.,eE+-]+) ?(?:/|per ) ?([a-zA-Z].*)")
"""5000/cm2: so many to one."""
_SHARED_OUT = re.compile(r"(.*\d.*[^\d\s].*?)\s*(?:/|\bper\b|\bon\b|\bover\b)\s*(\d[\d.,]*\s*[^\d\s].*)")
"""120 gal/900ft2: one quantity over another."""


@dataclass(frozen=True, slots=True)
class Off:
    """A figure that is not known exactly; between its ends nine times in ten."""

    middle: float
    low: float
    high: float


Value = Any
"""A number, a list, a word, a yes, a time, or Off."""


def read_all(sum_: Calculator, typed: Mapping[str, str]) -> dict[str, Value]:
    """What was typed by entry, each in the unit of the formula."""
    told = told_by_entry(sum_, typed)
    missing = [entry for entry in sum_.entries if entry.needed and entry.name not in told]
    if missing:
        raise Missing(say("calc.missing", names=", ".join(each.name for each in missing)),
                      right="; ".join(f"{each.name}={wanted(each)}" for each in missing), about=missing[0].name)
    _in_one_unit(told[entry.name] for entry in sum_.entries if entry.name in told and _in_any_unit(entry))
    values = {entry.name: value_of(entry, told[entry.name]) for entry in sum_.entries if entry.name in told}
    ask_where_mixed(sum_, told)
    return values


def told_by_entry(sum_: Calculator, typed: Mapping[str, str]) -> dict[str, str]:
    """What was typed, by the full name of what it is for; each once, empty boxes left out."""
    told: dict[str, str] = {}
    for name, text in typed.items():
        entry = entry_named(sum_, name)
        if entry.name in told:
            raise UnreadableValue(say("calc.twice"), where=entry.name, value=f"{name}={text}", about=entry.name,
                                  right=say("calc.once"))
        if text.strip():
            told[entry.name] = text
    return told


def _in_any_unit(entry: Entry) -> bool:
    return not entry.known_unit and "unit" in entry.unit.split()


def _in_one_unit(texts: Iterable[str]) -> None:
    """Figures that may be in any unit are all in the same."""
    parts = (part for text in texts for each in _parts(text) for part in _OFF_BY.split(each))
    units = {typed.unit for part in parts if part.lower() not in _NO_FIGURE and (typed := read(part)) and typed.unit}
    if len(units) > 1:
        raise UnreadableValue(say("calc.more_units"), value=", ".join(sorted(units)),
                              right=say("calc.more_units_right"))


def entry_named(sum_: Calculator, name: str) -> Entry:
    """The entry of this name, or the only one that begins with it, or else has it in it."""
    plain = name.strip().replace("-", "_")
    found = [each for each in sum_.entries if each.name == plain]
    for fits in (str.startswith, str.__contains__):
        found = found or [each for each in sum_.entries if plain and fits(each.name, plain)]
    if not sum_.entries:
        raise Missing(say("calc.asks_nothing"), where=sum_.name, value=name, right=say("calc.asks_nothing_right"))
    if len(found) != 1:
        raise Missing(say("calc.no_entry"), where=sum_.name, value=name,
                      right=say("calc.entries", names=", ".join(each.name for each in found or sum_.entries)))
    return found[0]


def value_of(entry: Entry, text: str) -> Value:
    """One entry as the formula takes it; else one line that says what would be right."""
    try:
        return _value(entry, text.strip())
    except RootcaseError as wrong:
        if wrong.about:
            raise
        raise type(wrong)(wrong.what, where=entry.name, value=wrong.value or f'"{text}"',
                          right=say("calc.type", wanted=wanted(entry)), about=entry.name) from None


def _value(entry: Entry, text: str) -> Value:
    if not _parts(text):
        raise UnreadableValue(say("calc.nothing_typed"))
    if entry.kind in ("yes", "yeses"):
        answers = [bool(_one_of(each, _ANSWERS)) for each in _parts(text)]
        return answers[0] if entry.kind == "yes" or len(answers) == 1 else answers
    if entry.kind in ("word", "words"):
        words = [_word(entry, each) for each in _parts(text)]
        return words[0] if entry.kind == "word" or len(words) == 1 else words
    if entry.kind == "time":
        try:
            return datetime.fromisoformat(text)
        except ValueError:
            raise UnreadableValue(say("calc.no_time")) from None
    parts = _parts(text)
    if entry.kind == "number" or (";" not in text and len(parts) == 1):
        one = _number(entry, text)
        return [one] if entry.several and not isinstance(one, Off) else one
    if entry.kind == "whole":
        raise UnreadableValue(say("calc.one_only"))
    if off := next((each for each in parts if _OFF_BY.search(each)), None):
        raise UnreadableValue(say("calc.no_list_of_doubts"), value=off)
    return [_number(entry, each) for each in parts]


def _parts(text: str) -> list[str]:
    return [each.strip() for each in re.split(r";|,\s|(?<=[a-zA-Z\"']),", text) if each.strip()]


def _word(entry: Entry, text: str) -> str:
    if entry.choices:
        return str(_one_of(text, {each: each for each in entry.choices}))
    return next((each for each in entry.listed if _plain_word(each) == _plain_word(text)), text)


def _plain_word(text: str) -> str:
    return re.sub(r"[^a-z0-9.]+", "_", text.lower()).strip("_")


def _one_of(text: str, choices: Mapping[str, Value]) -> Value:
    for each, meant in choices.items():
        if text == each or _plain_word(text) == _plain_word(each):
            return meant
    raise UnreadableValue(say("calc.no_choice"), value=text)


def _number(entry: Entry, text: str) -> Value:
    if text.lower() in _NO_FIGURE:
        return _NO_FIGURE[text.lower()]
    middle, *off = _OFF_BY.split(text, maxsplit=1) if not text.startswith(("+", "-")) else [text]
    first, unit = _read(entry, middle, "")
    if off:
        half, behind = _read(entry, off[0], unit, width=True)
        if behind and not unit:  # 68+-9 F: the unit behind stands for both
            first, _ = _read(entry, f"{middle} {behind}", "")
        return Off(first[0], first[0] - abs(half[0]), first[0] + abs(half[0]))
    if len(first) == 2:
        return Off(sum(first) / 2, *first)
    if entry.kind in ("whole", "wholes"):
        if first[0] != round(first[0]):
            raise UnreadableValue(say("calc.not_whole"))
        return int(first[0])
    return first[0]


def _read(entry: Entry, text: str, unit: str, *, width: bool = False) -> tuple[list[float], str]:
    """Low and high, or one, in the formula's unit; and the unit that was typed. width: how far off, no value."""
    own = entry.known_unit
    if entry.unit and not own and text.endswith(entry.unit):
        text = text.removesuffix(entry.unit)
    bare = own in ("", "1")
    if ratio := _RATIO.fullmatch(text) if bare else None:
        return [_ratio(entry, float(ratio[1]), float(ratio[2]))], ""
    if _in_any_unit(entry) or (entry.unit.startswith("% ") and text.endswith("%")):
        typed = read(text)
        return [each for each in (typed.value, typed.low, typed.high) if each is not None] if typed else [], ""
    if entry.name == "month" and (month := _month(text)):
        return [month], ""
    if (counted := _COUNTED.fullmatch(text)) and is_unit(name := f"1/{counted[2]}") and convertible(name, own or "1"):
        return [convert(each, name, own) for each in _read(entry, counted[1], own)[0]], own
    if bare:
        text = text.removesuffix("x")
        if entry.name == "hardiness_zone" and (zone := _HALF_ZONE.fullmatch(text)):
            text = zone[1]
    try:
        typed = _read_in(text, own, None if width else Limits(entry.low, entry.high, own, own)) if own else read(text)
    except UnknownUnit:
        if (shared := _shared_out(text, own)) is None:
            raise
        return [shared], own
    if typed is None or typed.nothing or typed.sign != "=":
        raise UnreadableValue(say("calc.no_number"))
    found = [each for each in (typed.value, typed.low, typed.high) if each is not None]
    name = typed.unit or unit
    if not name:
        if bare:
            _no_percents(entry, found)
        return found, ""
    if entry.unit and not own:
        raise UnknownUnit(say("calc.own_only", own=entry.unit, unit=name))
    if bare and name not in ("1", "%"):
        raise UnknownUnit(say("calc.bare", unit=name))
    if width and own in ("degC", "K"):
        return [convert(each, f"{name}_diff" if name != "K" else "degC_diff", "degC_diff") for each in found], name
    if own.endswith("_diff") and is_unit(f"{name}_diff"):  # a swing of 20 F
        return [convert(each, f"{name}_diff", own) for each in found], name
    return [convert(each, name, own) for each in found], name


def _ratio(entry: Entry, one: float, other: float) -> float:
    """1:10 is a tenth; of what is thinned so many times, where a tenth cannot be, ten."""
    low, high = entry.low or 0.0, entry.high or math.inf
    return other / one if one and not low <= one / other <= high and low <= other / one <= high else one / other


def _month(text: str) -> float | None:
    names = [each.lower() for each in say("dates.months").split()]
    return next((float(at) for at, name in enumerate(names, 1) if name.startswith(text.lower().rstrip("."))), None)


def _shared_out(text: str, own: str) -> float | None:
    """One quantity over another, in the unit of a rate; None where it is none."""
    above, _, below = own.partition("/")
    parts = _SHARED_OUT.fullmatch(text)
    if not parts or not below or not (is_unit(above) and is_unit(below)):
        return None
    first, second = (read(each) for each in parts.groups())
    if first is None or second is None or not (first.value and second.value and first.unit and second.unit):
        return None
    return convert(first.value, first.unit, above) / convert(second.value, second.unit, below)


def _read_in(text: str, own: str, limits: Limits | None) -> Typed | None:
    """With a unit that may be the formula's own spelling; a comma in US units parts thousands, as in our own ranges."""
    try:
        return read(text, limits)
    except UnknownUnit:
        if not text.lower().endswith(own.lower()):
            raise
        return read(text[:-len(own)], limits)
    except UnreadableValue:
        return read(text)


def _no_percents(entry: Entry, found: list[float]) -> None:
    """40 where a share from 0 to 1 is asked for is most likely 40 %."""
    if (entry.low, entry.high) == (0.0, 1.0) and any(1.0 < each <= _PERCENT for each in found):
        raise OutOfRange(say("calc.share_wanted"), value=f"{found[0]:g}", about=entry.name, where=entry.name,
                         right=say("calc.share_right", share=f"{found[0] / _PERCENT:g}", percent=f"{found[0]:g}"))


def wanted(entry: Entry) -> str:
    """What may be typed, in a few words: unit, range, choices."""
    if entry.choices:
        return say("readings.or").join(entry.choices)
    if entry.listed:
        return say("calc.listed_words", words=say("calc.list_end").join(entry.listed))
    if entry.kind in ("yes", "yeses", "time", "word", "words"):
        return say(f"calc.kind.{ {'yeses': 'yes', 'words': 'word'}.get(entry.kind, entry.kind)}")
    what = say("calc.kind.several" if entry.kind in ("numbers", "wholes") else "calc.kind.one")
    unit = say("calc.in_unit", unit=_unit_told(entry.unit)) if entry.unit not in ("", "1") else ""
    limits = say("calc.between", low=_end(entry.low), high=_end(entry.high)) if entry.low is not None else ""
    return f"{what}{unit}{limits}"


def _unit_told(unit: str) -> str:
    return say("calc.difference", unit=unit.removesuffix("_diff")) if unit.endswith("_diff") else unit


def _end(limit: float | None) -> str:
    """The end of a range as it is written, every figure of it."""
    return "" if limit is None else f"{limit:,.12g}" if abs(limit) >= 0.001 or not limit else f"{limit:g}"


def in_both_systems(sum_: Calculator, error: OutOfRange) -> OutOfRange:
    """The same refusal with the ends of the range in the units of the United States too, where they have one."""
    entry = next((each for each in sum_.entries if each.name == wrong_entry(sum_, error)), None)
    if entry is None or entry.low is None or entry.high is None or not entry.known_unit:
        return error
    ends = [show(end, entry.unit, "us", None, _RANGE_FIGURES) for end in (entry.low, entry.high)]
    if f"between {entry.low:g} and {entry.high:g}" not in error.right or not ends[1].endswith(")"):
        return error
    low, high = (end.partition(" (")[0] for end in ends)
    low = low.rpartition(" ")[0] or low
    return OutOfRange(error.what, where=error.where, value=error.value, about=error.about,
                      right=say("calc.in_range", range=error.right, low=low, high=high))


def wrong_entry(sum_: Calculator, error: RootcaseError) -> str:
    """The entry an error speaks of; empty: none alone."""
    about = error.about or error.what.partition(" ")[0]
    return about if about in {each.name for each in sum_.entries} else ""
