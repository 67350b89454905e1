"""Records as canonical bodies hold them, and back: numbers and days as text, what is the default left out."""

from __future__ import annotations

import types
import typing
from collections.abc import Sequence
from dataclasses import MISSING, fields, is_dataclass
from datetime import date
from functools import cache
from typing import Any

from rootcase.fieldbook.canonical import number_text


def plain_body(record: Any) -> dict[str, object]:
    """Only what differs from the default, so that a field added later does not change old hashes."""
    plain: dict[str, object] = {}
    hints = _hints(type(record))
    for each in fields(record):
        value = getattr(record, each.name)
        default = each.default_factory() if each.default_factory is not MISSING else each.default
        if value != default:
            plain[each.name] = _untyped(hints[each.name], value)
    return plain


def _untyped(hint: Any, value: Any) -> object:
    """A typed value as canonical bodies hold it: numbers and days as text."""
    if is_dataclass(hint):
        return plain_body(value)
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return None if value is None else _untyped(inner[0], value)
    if hint is float:
        return number_text(value)
    if hint is date:
        return value.isoformat()
    if origin is tuple:
        return [_untyped(kind, part) for kind, part in zip(_kinds(inner, value), value, strict=True)]
    return value


def typed(hint: Any, plain: Any) -> Any:
    """A plain value as its type wants it; what a record does not know is passed over, what is not told is its default.

    >>> typed(tuple[date, ...], ["2015-11-04"])
    (datetime.date(2015, 11, 4),)
    """
    if hint is str:  # most are
        return plain
    if is_dataclass(hint):
        return hint(**{name: typed(kind, plain[name]) for name, kind in _hints(hint).items()  # type: ignore[operator]
                       if name in plain})
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return None if plain is None else typed(inner[0], plain)
    if hint is float:
        return float(plain)
    if hint is date:
        return date.fromisoformat(plain)
    if origin is tuple:
        return tuple(typed(kind, part) for kind, part in zip(_kinds(inner, plain), plain, strict=True))
    return plain


def _kinds(inner: tuple[Any, ...], parts: Sequence[object]) -> tuple[Any, ...]:
    """Type of each part of a tuple."""
    return inner[:1] * len(parts) if inner[-1] is Ellipsis else inner


@cache
def _hints(record: type) -> dict[str, Any]:
    """Types of the fields by name."""
    return {name: hint for name, hint in typing.get_type_hints(record).items() if name != "KIND"}
