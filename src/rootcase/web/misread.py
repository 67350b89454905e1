"""What cannot be read as it was sent, told as every other refusal: what, where, what came, what would be right."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rootcase.ground.errors import RootcaseError, UnreadableValue
from rootcase.ground.words import say

_KINDS = {
    "missing": "missing", "extra_forbidden": "unknown", "json_invalid": "json", "literal_error": "choice",
    "string_pattern_mismatch": "form", "string_too_long": "long", "string_too_short": "short", "too_long": "many",
    "greater_than_equal": "small", "less_than_equal": "large",
    **dict.fromkeys(("string_type", "string_unicode"), "text"),
    **dict.fromkeys(("int_parsing", "int_type", "int_from_float", "int_parsing_size"), "whole"),
    **dict.fromkeys(("float_parsing", "float_type", "finite_number"), "number"),
    **dict.fromkeys(("bool_parsing", "bool_type"), "yes_or_no"),
    **dict.fromkeys(("date_from_datetime_parsing", "date_parsing", "date_type"), "day"),
    **dict.fromkeys(("dict_type", "model_attributes_type", "model_type"), "object"), "list_type": "list"}
"""Ours by the framework's own name of what it finds."""
_BOUND = ("max_length", "min_length", "ge", "le", "expected")
_PARTS_OF_A_REQUEST = ("body", "query", "path", "header")
_MOST_SHOWN = 60


def misread(error: Mapping[str, Any]) -> RootcaseError:
    """The first thing that is wrong with a request, in words."""
    kind = _KINDS.get(error["type"], "other")
    bound = next((error["ctx"][name] for name in _BOUND if name in error.get("ctx", {})), "")
    place = [str(part) for part in error["loc"]]
    if len(place) > 1 and place[0] in _PARTS_OF_A_REQUEST:
        place = place[1:]
    return UnreadableValue(say(f"people.misread.{kind}"), where=".".join(place), value=_shown(error.get("input")),
                           right=say(f"people.misread.right_{kind}", bound=bound))


def _shown(came: Any) -> str:
    """What came, short; of long words how many signs they have, and nothing of what is no single value."""
    if isinstance(came, str):
        return f'"{came}"' if 0 < len(came) <= _MOST_SHOWN else say("people.signs", count=len(came)) if came else ""
    return f"{came}" if isinstance(came, int | float) else ""
