"""The catalogue of every word shown to a person; another language is one more folder in words/."""

from __future__ import annotations

import string
import tomllib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from rootcase.ground.errors import Missing


class _Counting(string.Formatter):
    """Of a field {count:one|several} the words that fit how many there are."""

    def format_field(self, value: Any, spec: str) -> str:
        one, bar, several = spec.partition("|")
        if bar:
            return one if value == 1 else several
        return str(super().format_field(value, spec))


_COUNTING = _Counting()
_spoken: ContextVar[str] = ContextVar("spoken", default="en")


def say(key: str, /, **values: object) -> str:
    """Return the words of a dotted key in the language spoken, its {fields} filled in.

    >>> say("dates.shown", day=4, month="November", year=2015)
    '4 November 2015'

    A field that counts may hold the words for one and for several: {count:tree|trees}.

    >>> say("people.people.finding", count=1), say("people.people.finding", count=3)
    ('1 person in this practice', '3 people in this practice')
    """
    spoken = _spoken.get()
    try:
        template = catalogue(spoken)[key]
    except KeyError:
        raise Missing("no words under this key", where=f"words/{spoken}", value=key,
                      right="add the key to one of its files") from None
    try:
        return _COUNTING.vformat(template, (), values) if "|" in template else template.format_map(values)
    except KeyError as missing:
        raise Missing("the words need a field that was not given", where=f"words/{spoken} {key}",
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
    folder = files("rootcase.ground").joinpath("words", code)
    if not folder.is_dir():
        raise Missing("no words in this language", value=code, right=f"write the files of words/{code}/")
    said: dict[str, str] = {}
    for file in sorted(folder.iterdir(), key=lambda each: each.name):
        for key, words in _flat("", tomllib.loads(file.read_text(encoding="utf-8"))):
            if key in said:
                raise Missing("two files have words under one key", where=f"words/{code}/{file.name}", value=key,
                              right="keep one")
            said[key] = words
    return MappingProxyType(said)


def _flat(prefix: str, branch: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    for name, value in branch.items():
        if isinstance(value, dict):
            yield from _flat(f"{prefix}{name}.", value)
        else:
            yield f"{prefix}{name}", str(value)
