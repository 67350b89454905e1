"""One text for one meaning: the bytes an event is hashed by, the same wherever they are written.

Objects with their names sorted by UTF-16 code units, as RFC 8785 sorts them (memory); text in Unicode form NFC; UTF-8;
no spaces. No fractions: a number that is not whole, or does not fit into 53 bits, travels as decimal text, so that no
reader's way of printing a float enters a hash. tests/vectors/canonical.json holds examples for readers in other
languages.
"""

from __future__ import annotations

import json
import math
import unicodedata
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, Never

from rootcase.ground.errors import UnreadableValue
from rootcase.ground.words import say

_WHOLE_LIMIT = 2**53 - 1


def canonical(body: object) -> bytes:
    """Return the canonical bytes of a body made of objects, lists, text, whole numbers, true, false and null.

    >>> canonical({"b": [1, None], "a": "Linde\\u0301"}).decode()
    '{"a":"Lindé","b":[1,null]}'
    """
    text = json.dumps(_plain(body), ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    try:
        return text.encode("utf-8")
    except UnicodeEncodeError:
        raise UnreadableValue(say("fieldbook.half_a_sign"), value=ascii(text)) from None


def read_canonical(text: str) -> Any:
    """Read a body back; whatever canonical would not write is refused.

    >>> read_canonical('{"a":"1.5"}')
    {'a': '1.5'}
    """
    try:
        return json.loads(text, parse_float=_refuse, parse_int=_whole, parse_constant=_refuse,
                          object_pairs_hook=_object)
    except json.JSONDecodeError:
        raise UnreadableValue(say("fieldbook.not_canonical"), value=text[:60]) from None


def number_text(value: float) -> str:
    """Shortest decimal text that reads back as the same number, never with an exponent.

    >>> number_text(0.1), number_text(25.0), number_text(2.5e-7)
    ('0.1', '25', '0.00000025')
    """
    if not math.isfinite(value) or (value == 0 and math.copysign(1, value) < 0):
        _refuse(repr(value))
    text = format(Decimal(repr(float(value))), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def _plain(value: object) -> object:
    """The same value with text in NFC and names in order; what has no canonical form is refused."""
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, int):
        return value if abs(value) <= _WHOLE_LIMIT else _refuse(str(value))
    if isinstance(value, Mapping):
        named = _object([(unicodedata.normalize("NFC", name), _plain(inner)) for name, inner in value.items()])
        return dict(sorted(named.items(), key=lambda pair: pair[0].encode("utf-16-be", "surrogatepass")))
    if isinstance(value, Sequence):
        return [_plain(inner) for inner in value]
    return _refuse(repr(value))


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    named = dict(pairs)
    if len(named) < len(pairs):
        raise UnreadableValue(say("fieldbook.name_twice"), value=", ".join(name for name, _ in pairs))
    return named


def _whole(text: str) -> int:
    return _refuse(text) if text == "-0" or abs(int(text)) > _WHOLE_LIMIT else int(text)


def _refuse(text: str) -> Never:
    raise UnreadableValue(say("fieldbook.no_such_number"), value=text, right=say("fieldbook.write_as_text"))
