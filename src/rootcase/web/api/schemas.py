"""What the API answers, described from the records themselves: a field that comes or goes is described at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from os import PathLike
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import numpy as np

Schema = dict[str, Any]

NAMED: dict[str, Schema] = {}
"""Schemas of the records met so far, by name, as the description of the API lists them."""
_kinds: dict[str, type] = {}
_PLAIN: Mapping[type, Schema] = {
    str: {"type": "string"}, bool: {"type": "boolean"}, int: {"type": "integer"},
    float: {"type": ["number", "null"]},  # what is not a number, or has no end, is written as null
    date: {"type": "string", "format": "date"}, datetime: {"type": "string", "format": "date-time"},
    NoneType: {"type": "null"}}


def schema_of(kind: Any) -> Schema:
    """The schema of a type as stage_json writes it.

    >>> schema_of(tuple[date, ...] | None)
    {'anyOf': [{'type': 'array', 'items': {'type': 'string', 'format': 'date'}}, {'type': 'null'}]}
    """
    if kind in _PLAIN:
        return dict(_PLAIN[kind])
    if isinstance(kind, type) and is_dataclass(kind):
        return _named(kind)
    of = get_args(kind)
    origin = get_origin(kind) or kind
    if origin in (Union, UnionType):
        return {"anyOf": [schema_of(each) for each in of]}
    if origin is Literal:
        return {"enum": list(of)}
    if origin is tuple and of[-1] is not Ellipsis:
        return {"type": "array", "prefixItems": [schema_of(each) for each in of], "minItems": len(of),
                "maxItems": len(of)}
    if isinstance(origin, type) and issubclass(origin, Mapping):
        return {"type": "object", "additionalProperties": schema_of(of[1])}
    if isinstance(origin, type) and issubclass(origin, Sequence):
        return {"type": "array", "items": schema_of(of[0])}
    if isinstance(origin, type) and issubclass(origin, PathLike):
        return {"type": "string"}
    raise TypeError(f"no schema for {kind}")


def closed(properties: Mapping[str, Schema], description: str = "") -> Schema:
    """An object of these fields, all of them there, and no others."""
    told = {"description": description} if description else {}
    return {"type": "object", **told, "properties": dict(properties), "required": list(properties),
            "additionalProperties": False}


def _named(kind: type) -> Schema:
    name = kind.__name__
    if _kinds.setdefault(name, kind) is not kind:
        name = f"{kind.__module__.rpartition('.')[2]}.{name}"
    if name not in NAMED:
        NAMED[name] = {}  # a record may hold others of its kind
        hints = get_type_hints(kind)
        told = {each.name: hints[each.name] for each in fields(kind)}
        NAMED[name] = closed({each: schema_of(hint) for each, hint in told.items() if not _array(hint)},
                             " ".join((kind.__doc__ or "").split()))
        NAMED[name]["properties"] |= {each: {"type": "null"} for each, hint in told.items()  # where there are no draws
                                      if _array(hint) and NoneType in get_args(hint)}
    return {"$ref": f"#/components/schemas/{name}"}


def _array(hint: Any) -> bool:
    """Draws, which no answer holds."""
    return any(get_origin(each) is np.ndarray for each in (hint, *get_args(hint)))
