"""Unsent entries that a phone saved as a file, taken in at the desk: the way out of a phone that sends no more."""

from __future__ import annotations

import json
from base64 import b64decode
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from io import BytesIO
from itertools import chain
from pathlib import Path

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.sound import Sent
from rootcase.fieldbook.taking_in import TakenIn
from rootcase.ground.errors import FileError, ImpossibleValue
from rootcase.ground.words import say
from rootcase.records.people import UNBOUND, Bounds
from rootcase.services.sealing import sent_events, take_sealed

MOST_BYTES = 400 * 2**20
"""JUDGEMENT: a hundred photos as a phone takes them, written as text."""
_FORM = 1


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
    if told.events and told.practice != fieldbook.store.practice_id:
        raise ImpossibleValue(say("phones.other_practice"), where=path.name)
    for mark, data in told.photos:
        if sha256(data).hexdigest() != mark:
            raise ImpossibleValue(say("phones.pack_broken"), where=path.name, value=mark[:8])
    for _, data in told.photos:
        fieldbook.photos.keep(BytesIO(data))
    taken = fieldbook.taking_in.take(told.events, now, within=within)
    packs = [take_sealed(fieldbook, each, within, now) for each in told.sealed]
    return FileTaken(tuple(chain(taken, *(each.events for each in packs))),
                     len(told.photos) + sum(len(each.photos) for each in packs))


@dataclass(frozen=True, slots=True)
class _Told:
    """What a file holds."""

    practice: str
    events: tuple[Sent, ...]
    photos: tuple[tuple[str, bytes], ...]
    sealed: tuple[bytes, ...]


def _read(path: Path) -> _Told:
    if path.stat().st_size > MOST_BYTES:
        raise _no_file(path)
    try:
        told = json.loads(path.read_bytes())
        if told["rootcase_field"] != _FORM:
            raise _no_file(path)
        return _Told(str(told["practice"]), sent_events(told["events"]),
                     tuple((str(each["mark"]), _bytes(each["base64"])) for each in told["photos"]),
                     tuple(_bytes(each) for each in told.get("sealed", ())))
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise _no_file(path) from None


def _bytes(text: str) -> bytes:
    return b64decode(text, validate=True)


def _no_file(path: Path) -> FileError:
    return FileError(say("phones.no_file"), where=path.name, right=say("phones.file_right"))
