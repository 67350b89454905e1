"""The catalogue of every word shown to a person; another language is one more file in words/."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from rootcase.ground.errors import Missing

_spoken: ContextVar[str] = ContextVar("spoken", default="en")


def say(key: str, /, **values: object) -> str:
    """Return the words of a dotted key in the language spoken, its {fields} filled in.

    >>> say("dates.shown", day=4, month="November", year=2015)
    '4 November 2015'
    """
    spoken = _spoken.get()
    try:
        template = catalogue(spoken)[key]
    except KeyError:
        raise Missing("no words under this key", where=f"words/{spoken}.toml", value=key,
                      right="add the key to the file") from None
    try:
        return template.format_map(values)
    except KeyError as missing:
        raise Missing("the words need a field that was not given", where=f"words/{spoken}.toml {key}",
                      value=str(missing.args[0]), right=f'pass it to say("{key}")') from None


@contextmanager
def language(code: str) -> Iterator[None]:
    """Speak another language inside the with block; each thread and task has its own."""
    catalogue(code)
    token = _spoken.set(code)
    try:
        yield
    finally:
        _spoken.reset(token)


@cache
def catalogue(code: str) -> Mapping[str, str]:
    """All words of one language by dotted key.

    >>> catalogue("en")["dates.shown"]
    '{day} {month} {year}'
    """
    file = files("rootcase.ground").joinpath("words", f"{code}.toml")
    if not file.is_file():
        raise Missing("no words in this language", value=code, right=f"write words/{code}.toml")
    return MappingProxyType(dict(_flat("", tomllib.loads(file.read_text(encoding="utf-8")))))


def _flat(prefix: str, branch: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for name, value in branch.items():
        if isinstance(value, dict):
            yield from _flat(f"{prefix}{name}.", value)
        else:
            yield f"{prefix}{name}", str(value)
