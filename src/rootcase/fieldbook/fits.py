"""Whether a body that somebody sends is of the types its kind says; what this program writes itself always is."""

from __future__ import annotations

import typing
from collections.abc import Mapping
from dataclasses import MISSING, Field, fields
from datetime import date
from functools import cache
from math import isfinite
from types import NoneType, UnionType
from typing import Any, Literal

from rootcase.fieldbook.canonical import read_canonical
from rootcase.fieldbook.events import Body
from rootcase.fieldbook.plain import typed
from rootcase.ground.errors import UnreadableValue
from rootcase.ground.words import say

_FIRST_YEAR, _LAST_YEAR = 1900, 2199
_PART, _MOST_PARTS = "part", 999
"""Of what is put on: which part of a job. Every other whole number is a year."""
_FARTHEST_M = 100_000.0
"""JUDGEMENT: nothing at a property is farther from its origin, or deeper."""


def fitting_body(kind: type[Body], text: str) -> Body:
    """The body of this kind that a canonical text says, or what in it does not fit."""
    plain = read_canonical(text)
    hints, known = _fields(kind)
    if not isinstance(plain, dict) or (odd := sorted(plain.keys() - known.keys())):
        raise UnreadableValue(say("taking_in.field"), value=", ".join(odd)[:200] if isinstance(plain, dict) else "",
                              right=", ".join(known))
    for name, each in known.items():
        if name not in plain:
            if each.default is MISSING and each.default_factory is MISSING:
                raise UnreadableValue(say("taking_in.no_field"), value=name)
        elif not _fits(hints[name], plain[name], name) or (name.endswith("_m") and not _near(plain[name])):
            raise UnreadableValue(say("taking_in.type"), where=name, value=str(plain[name])[:60])
    body: Body = typed(kind, plain)
    return body


@cache
def _fields(kind: type[Body]) -> tuple[dict[str, Any], dict[str, Field[Any]]]:
    """What each field of a kind holds, and the fields."""
    return typing.get_type_hints(kind), {each.name: each for each in fields(kind)}


def _fits(hint: Any, plain: Any, name: str = "") -> bool:
    """Whether a plain value can be read as this type, within what can be at all."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (UnionType, typing.Union):
        return any(_fits(each, plain) for each in inner)
    if origin is Literal:
        return plain in inner
    if origin is tuple:
        return isinstance(plain, list) and inner[-1] is Ellipsis and all(_fits(inner[0], each) for each in plain)
    if origin is not None and issubclass(origin, Mapping):
        return isinstance(plain, dict) and all(isinstance(each, str) for each in plain.values())
    if hint in (float, date):
        return isinstance(plain, str) and _reads(hint, plain)
    if hint is int:
        first, last = (0, _MOST_PARTS) if name == _PART else (_FIRST_YEAR, _LAST_YEAR)
        return type(plain) is int and first <= plain <= last
    return isinstance(plain, NoneType if hint is NoneType else hint)


def _near(metres: str | None) -> bool:
    return metres is None or abs(float(metres)) <= _FARTHEST_M


def _reads(hint: type, text: str) -> bool:
    try:
        if hint is date:
            return _FIRST_YEAR <= date.fromisoformat(text).year <= _LAST_YEAR
        return isfinite(float(text))
    except ValueError:
        return False
