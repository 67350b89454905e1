"""What people type at a tree, read into a value, a range or one of the three kinds of nothing.

Nothing is guessed: a text that can mean two things is refused with both named, unless the limits of the reading leave
only one of them possible; then the result says so in `said`.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import zip_longest
from typing import Literal

from rootcase.ground.errors import UnknownUnit, UnreadableValue
from rootcase.ground.quantity import number, with_unit
from rootcase.ground.units import convert, in_us_units, unit_name
from rootcase.ground.words import say

Nothing = Literal["none seen", "not looked", "not read"]
Sign = Literal["=", "<", ">", "~"]

_MOST_DIGITS = 60
"""No quantity or range has more; a longer one is a slip of the hand, and may be too great for any number of ours."""


@dataclass(frozen=True, slots=True)
class Typed:
    """What was typed: a value, or low and high of a range, or a kind of nothing."""

    text: str
    value: float | None = None
    low: float | None = None
    high: float | None = None
    sign: Sign = "="
    unit: str | None = None
    """Our name of the unit, None where no unit was typed."""
    nothing: Nothing | None = None
    said: str = ""
    """What was decided on reading and is to be told back; empty when nothing was."""

    def to(self, unit: str, box_unit: str) -> Typed:
        """The same in another unit; where none was typed, `box_unit` is what the box shows.

        >>> read("3 1/2").to("mm", "in").value, read("18 F").to("degC_diff", "degF_diff").value
        (88.9, 10.0)
        """
        if self.nothing:
            return self
        name, said = self.unit or box_unit, self.said
        if unit.endswith("_diff") and f"{name}_diff" in ("degC_diff", "degF_diff"):
            name = f"{name}_diff"
            said = said or say("typed.difference", typed=self.text)

        def turned(number_typed: float | None) -> float | None:
            return None if number_typed is None else convert(number_typed, name, unit)

        return replace(self, value=turned(self.value), low=turned(self.low), high=turned(self.high), unit=unit,
                       said=said)


@dataclass(frozen=True, slots=True)
class Limits:
    """The hard limits of a reading, in `unit`; they decide a comma that can mean two things."""

    lower: float | None
    upper: float | None
    unit: str
    box_unit: str
    """What a number without a unit is taken in."""

    def allow(self, numbers: tuple[Fraction, ...], unit: str | None) -> bool:
        """Whether all these numbers lie inside."""
        inside = (convert(n, unit or self.box_unit, self.unit) for n in numbers)
        return all((self.lower is None or n >= self.lower) and (self.upper is None or n <= self.upper) for n in inside)


_Numbers = tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class _Quantity:
    """Every way to read one quantity (one number, or two of a range), with its unit."""

    options: tuple[_Numbers, ...]
    unit: str | None
    said: str = ""


def read(text: str, limits: Limits | None = None) -> Typed | None:
    """Return what was typed, or None for a blank and its like (-, n/a, ?), which are no reading.

    >>> read("1½ in").value, read("5'6\\"").value, read("3-4 in").high, read("<1").sign, read("1.250,5").value
    (1.5, 66.0, 4.0, '<', 1250.5)
    >>> read("n/a") is None, read("none seen").nothing, read("10,600 ft²").value
    (True, 'none seen', 10600.0)
    """
    form = _plain(text)
    if form.lower() in _listed("typed.blank"):
        return None
    kinds: tuple[tuple[Nothing, str], ...] = (("none seen", "typed.none_seen"), ("not looked", "typed.not_looked"),
                                              ("not read", "typed.not_read"))
    for nothing, key in kinds:
        if form.lower() in _listed(key):
            return Typed(text, nothing=nothing)
    if sum(map(str.isdigit, form)) > _MOST_DIGITS:
        raise UnreadableValue(say("typed.unreadable"), value=f'"{text}"', right=say("typed.right"))
    sign, body = _sign(form)
    quantity = _quantity_or_range(text, body)
    numbers, said = _decide(text, quantity, limits)
    if len(numbers) == 1:
        return Typed(text, value=float(numbers[0]), sign=sign, unit=quantity.unit, said=said)
    if sign in "<>" or numbers[0] > numbers[1]:
        raise UnreadableValue(say("typed.bad_range"), value=f'"{text}"', right=say("typed.right"))
    return Typed(text, low=float(numbers[0]), high=float(numbers[1]), sign=sign, unit=quantity.unit, said=said)


def sign_of(text: str) -> Sign:
    """The sign before a number, or after it, as it was typed.

    >>> sign_of("<1"), sign_of("less than 10"), sign_of("5+"), sign_of("3")
    ('<', '<', '>', '=')
    """
    return _sign(_plain(text))[0]


_SIGNS = {"″": '"', "”": '"', "“": '"', "''": '"', "′": "'", "’": "'", "‘": "'", "−": "-", "–": "-", "—": "-", "‐": "-",
          "‑": "-", "≤": "<=", "≥": ">=", "≈": "~", "×": "x", "⁄": "/"}


def _plain(text: str) -> str:
    """One spelling for quotes, dashes, spaces and fractions in one sign (½ becomes 1/2)."""
    for sign, plain in _SIGNS.items():
        text = text.replace(sign, plain)
    parts = (f" {unicodedata.normalize('NFKC', sign).replace('⁄', '/')}" if "FRACTION" in unicodedata.name(sign, "")
             else sign for sign in text)
    return " ".join("".join(parts).split())


def _listed(key: str) -> list[str]:
    return say(key).split("|")


def _sign(form: str) -> tuple[Sign, str]:
    """Take the sign, or the words for it, off the front (or a plus off the end)."""
    words: tuple[tuple[Sign, str], ...] = (("<", "typed.under"), (">", "typed.over"), ("~", "typed.about"),
                                           ("=", "typed.equal"))
    for sign, key in words:
        for start in _listed(key):
            if form.lower().startswith(start) and re.match(r"[\s\d.,(-]", form[len(start):]):
                return sign, form[len(start):].strip()
    return (">", form[:-1].strip()) if re.search(r"[\d ]\+$", form) else ("=", form)


_DECIMAL = r"\d{1,3}(?: \d{3})+(?:[.,]\d+)?(?!\d)|\d[\d.,]*|[.,]\d+"
_FRACTION = r"(?:(\d+)[ -])?(\d+)/(\d+)(?![\d/])"
_EXPONENT = r"[eE]([+-]?\d+)| ?[xX*] ?10\^?([+-]?\d+)"
_NUMBER = re.compile(rf"(-?)\s*(?:{_FRACTION}|({_DECIMAL})(?:{_EXPONENT})?)")
_FEET_AND_INCHES = re.compile(  # not "5 ft2", which are square feet
    r"(\d+) ?(?:'|ft\.?(?![23]$)|feet|foot) ?(\d[\d./ -]*?) ?(?:\"|in\.?|inch|inches)?", re.IGNORECASE)
_DATE_LIKE = re.compile(r"\d{4}-\d{1,2}-\d{1,2}( 00:00(:00)?)?|\d{1,2}/\d{1,2}/\d{2,4}|"
                        r"\d{1,2}[-/ ][A-Za-z]{3,9}\.?([-/ ]\d{2,4})?|[A-Za-z]{3}[-/ ]\d{1,2}")


def _quantity_or_range(text: str, body: str) -> _Quantity:
    """One quantity, else the first place where the text parts into two."""
    if _DATE_LIKE.fullmatch(body) and _has_month(body):
        raise UnreadableValue(say("typed.date"), value=f'"{text}"', right=say("typed.right_date"))
    try:
        return _quantity(text, body)
    except (UnreadableValue, UnknownUnit) as whole:
        for part in re.finditer(rf"-|\.\.| (?:{'|'.join(_listed('typed.to'))}) ", body):
            try:
                low, high = _quantity(text, body[:part.start()].strip()), _quantity(text, body[part.end():].strip())
            except (UnreadableValue, UnknownUnit):
                continue
            if low.unit not in (None, high.unit):
                raise UnreadableValue(say("typed.two_units"), value=f'"{text}"', right=say("typed.right")) from None
            pairs = zip_longest(low.options, high.options)
            return _Quantity(tuple((a or low.options[0])[:1] + (b or high.options[0])[:1] for a, b in pairs), high.unit)
        raise whole


def _has_month(body: str) -> bool:
    """Whether a text that looks like a date really holds a month's name or a whole date in figures."""
    letters = re.sub(r"[^A-Za-z]", "", body).lower()
    return not letters or any(month.startswith(letters) for month in say("dates.months").lower().split())


def _quantity(text: str, body: str) -> _Quantity:
    if found := _FEET_AND_INCHES.fullmatch(body):
        inches = _number(text, found[2])[0]
        if len(_number(text, found[2])) > 1 or inches >= 12:
            raise UnreadableValue(say("typed.inches"), value=f'"{text}"', right=say("typed.right_inches"))
        whole = 12 * int(found[1]) + inches
        metres = with_unit(number(convert(whole, "in", "m"), 3), "m")
        said = say("typed.feet_inches", typed=text, feet=found[1], inches=number(float(inches), 4), metres=metres)
        return _Quantity(((whole,),), "in", said)
    found_number = _NUMBER.match(body)
    if not found_number:
        raise UnreadableValue(say("typed.unreadable"), value=f'"{text}"', right=say("typed.right"))
    rest = body[found_number.end():].strip()
    if rest and rest[0] in "0123456789.,-/":
        raise UnreadableValue(say("typed.unreadable"), value=f'"{text}"', right=say("typed.right"))
    options = _number(text, found_number[0])
    return _Quantity(tuple((option,) for option in options), unit_name(rest) if rest else None)


def _number(text: str, written: str) -> _Numbers:
    """The ways to read a written number: one, or a decimal and a thousand when a comma can be either."""
    found = _NUMBER.fullmatch(written.strip())
    wrong = UnreadableValue(say("typed.unreadable"), value=f'"{text}"', right=say("typed.right"))
    if not found:
        raise wrong
    sign = -1 if found[1] else 1
    if found[4]:
        if int(found[4]) == 0 or (found[2] and int(found[3]) >= int(found[4])):
            raise wrong
        return (sign * (int(found[2] or 0) + Fraction(int(found[3]), int(found[4]))),)
    options = _decimals(found[5].replace(" ", ""))
    if not options:
        raise wrong
    exponent = int(found[6] or found[7] or 0)
    if abs(exponent) > 30:
        raise wrong
    return tuple(sign * option * Fraction(10) ** exponent for option in options)


def _decimals(digits: str) -> _Numbers:
    """Read figures with commas and points; with both present the last one is the decimal."""
    comma_last = digits.rfind(",") > digits.rfind(".")
    decimal, group = (",", ".") if comma_last else (".", ",")
    if digits.count(decimal) == 1:
        whole, behind = digits.split(decimal)
        if group in whole and not re.fullmatch(rf"\d{{1,3}}(?:{re.escape(group)}\d{{3}})+", whole):
            return ()
        read_decimal = Fraction(f"{whole.replace(group, '') or '0'}.{behind or '0'}")
        if comma_last and not behind:
            return ()
        if comma_last and len(behind) == 3 and re.fullmatch(r"[1-9]\d{0,2}", whole):
            return read_decimal, Fraction(whole + behind)
        return (read_decimal,)
    if digits.isdigit():
        return (Fraction(digits),)
    grouped = re.fullmatch(rf"[1-9]\d{{0,2}}(?:{re.escape(decimal)}\d{{3}})+", digits)
    return (Fraction(digits.replace(decimal, "")),) if grouped else ()


def _decide(text: str, quantity: _Quantity, limits: Limits | None) -> tuple[_Numbers, str]:
    """The one reading there is, or the only possible one of several."""
    options, unit = quantity.options, quantity.unit
    if len(options) == 1:
        return options[0], quantity.said
    possible = [option for option in options if limits and limits.allow(option, unit)]
    first, second = (" to ".join(number(float(n), 9) for n in option) for option in options)
    if len(possible) == 1:
        taken = first if possible[0] == options[0] else second
        return possible[0], say("typed.comma_taken", typed=text, first=first, second=second, taken=taken)
    if _parts_thousands(unit, limits):
        return options[1], quantity.said
    raise UnreadableValue(say("typed.comma", first=first, second=second), value=f'"{text}"',
                          right=say("typed.right_comma", first=first, second=second.replace(",", "")))


def _parts_thousands(unit: str | None, limits: Limits | None) -> bool:
    """Whether a comma before three figures is no decimal: in US units, unless the box is in others."""
    box = limits.box_unit if limits else unit
    return all(each is not None and in_us_units(each) for each in (unit or box, box))
