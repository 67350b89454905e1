"""Unsent entries that a phone saved as a file, taken in at the desk: the way out of a phone that sends no more."""

from __future__ import annotations

import json
from base64 import b64decode
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from datetime import datetime
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.taking_in import Sent, TakenIn, take_in
from rootcase.ground.errors import FileError, ImpossibleValue
from rootcase.ground.words import say
from rootcase.records.people import UNBOUND, Bounds

MOST_BYTES = 400 * 2**20
"""JUDGEMENT: a hundred photos as a phone takes them, written as text."""
_FORM = 1
_SENT = tuple(each.name for each in fields(Sent))


@dataclass(frozen=True, slots=True)
class FileTaken:
    """What became of a file."""

    events: tuple[TakenIn, ...]
    photos: int

    def count(self, *states: str) -> int:
        return sum(each.state in states for each in self.events)

    @property
    def refused(self) -> tuple[TakenIn, ...]:
        """What does not fit."""
        return tuple(each for each in self.events if each.state in ("refused", "conflict"))


def take_phone_file(fieldbook: Fieldbook, path: Path, now: datetime, *, within: Bounds = UNBOUND) -> FileTaken:
    """Take in what a phone saved; the same file again adds nothing. within: what whoever brings it may tell."""
    told = _read(path)
    if told["practice"] != fieldbook.store.practice_id:
        raise ImpossibleValue(say("phones.other_practice"), where=path.name)
    try:
        pictures = [(each["mark"], b64decode(each["base64"], validate=True)) for each in told["photos"]]
    except (KeyError, TypeError, ValueError):
        raise _no_file(path) from None
    for mark, data in pictures:
        if sha256(data).hexdigest() != mark:
            raise ImpossibleValue(say("phones.pack_broken"), where=path.name, value=str(mark)[:8])
    for _, data in pictures:
        fieldbook.photos.keep(BytesIO(data))
    return FileTaken(take_in(fieldbook.store, sent_events(told["events"]), now, within=within), len(pictures))


def sent_events(events: Iterable[Mapping[str, Any]]) -> tuple[Sent, ...]:
    """Events as a program sends them; what is no text is no event."""
    found = tuple(Sent(**{name: each[name] for name in _SENT if name in each}) for each in events)
    if any(not isinstance(getattr(each, name), str) for each in found for name in _SENT):
        raise TypeError
    return found


def _read(path: Path) -> dict[str, Any]:
    if path.stat().st_size > MOST_BYTES:
        raise _no_file(path)
    try:
        told = json.loads(path.read_bytes())
        whole = told["rootcase_field"] == _FORM and isinstance(told["practice"], str) and bool(
            sent_events(told["events"]) or told["photos"])
    except (ValueError, KeyError, TypeError, RecursionError):
        whole = False
    if not whole:
        raise _no_file(path)
    return told  # type: ignore[no-any-return]


def _no_file(path: Path) -> FileError:
    return FileError(say("phones.no_file"), where=path.name, right=say("phones.file_right"))
