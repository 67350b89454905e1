"""Unsent entries that a phone saved as a file, taken in at the desk: the way out of a phone that sends no more.

What of it is sound is taken; what is not is told one by one and holds nothing else up.
"""

from __future__ import annotations

import json
from base64 import b64decode
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from io import BytesIO
from itertools import chain
from pathlib import Path
from typing import Any, TypeVar

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.phones import phones_of, to_look_through
from rootcase.fieldbook.store.sent import Sent
from rootcase.fieldbook.taking_in import TakenIn
from rootcase.ground.errors import FileError, ImpossibleValue, RootcaseError
from rootcase.ground.words import say
from rootcase.records.people import UNBOUND, Bounds
from rootcase.services.sealing import SealedTaken, sent_events, take_sealed

MOST_BYTES = 400 * 2**20
"""JUDGEMENT: a hundred photos as a phone takes them, written as text."""
_FORM = 1
_Read = TypeVar("_Read")


@dataclass(frozen=True, slots=True)
class FileTaken:
    """What became of a file."""

    events: tuple[TakenIn, ...]
    photos: int
    damaged: tuple[str, ...] = ()
    """What of it could not be read or opened, and was not taken."""

    def count(self, *states: str) -> int:
        return sum(each.state in states for each in self.events)

    @property
    def refused(self) -> tuple[TakenIn, ...]:
        """What does not fit."""
        return tuple(each for each in self.events if each.state in ("refused", "conflict"))


def take_phone_file(fieldbook: Fieldbook, path: Path, now: datetime, *, within: Bounds = UNBOUND) -> FileTaken:
    """Take in what a phone saved; the same file again adds nothing. within: what whoever brings it may tell."""
    told = _read(path)
    if (told.events or told.photos) and told.practice != fieldbook.store.practice_id:
        raise ImpossibleValue(say("phones.other_practice"), where=path.name)
    for data in told.photos:
        fieldbook.photos.keep(BytesIO(data))
    taken = fieldbook.taking_in.take(told.events, now, within=within,
                                     to_look_through=to_look_through(phones_of(fieldbook.store), now))
    packs, closed = _opened(fieldbook, told.sealed, within, now)
    return FileTaken(tuple(chain(taken, *(each.events for each in packs))),
                     len(told.photos) + sum(len(each.photos) for each in packs), (*told.damaged, *closed))


@dataclass(frozen=True, slots=True)
class _Told:
    """What a file holds."""

    practice: str
    events: tuple[Sent, ...]
    photos: tuple[bytes, ...]
    sealed: tuple[bytes, ...]
    damaged: tuple[str, ...]


def _read(path: Path) -> _Told:
    if path.stat().st_size > MOST_BYTES:
        raise _no_file(path)
    try:
        told = json.loads(path.read_bytes())
        if told["rootcase_field"] != _FORM:
            raise _no_file(path)
        events, odd = _each(told["events"], lambda each: sent_events([each])[0], "phones.damaged_entry")
        photos, spoilt = _each(told["photos"], _photo, "phones.damaged_photo")
        sealed, cut = _each(told.get("sealed", ()), _bytes, "phones.damaged_pack")
        return _Told(str(told["practice"]), events, photos, sealed, (*odd, *spoilt, *cut))
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise _no_file(path) from None


def _each(found: Iterable[Any], read: Callable[[Any], _Read], words: str) -> tuple[tuple[_Read, ...], list[str]]:
    """All that can be read, and of the others which they are."""
    sound, damaged = [], []
    for number, each in enumerate(found, 1):
        try:
            sound.append(read(each))
        except (ValueError, KeyError, TypeError, AttributeError):
            damaged.append(say(words, number=number))
    return tuple(sound), damaged


def _photo(told: dict[str, str]) -> bytes:
    data = _bytes(told["base64"])
    if sha256(data).hexdigest() != told["mark"]:
        raise ValueError
    return data


def _opened(fieldbook: Fieldbook, packs: Iterable[bytes], within: Bounds, now: datetime) -> tuple[
        list[SealedTaken], list[str]]:
    """What was in each pack; and why one stays closed."""
    taken, closed = [], []
    for pack in packs:
        try:
            taken.append(take_sealed(fieldbook, pack, within, now))
        except RootcaseError as trouble:
            closed.append(str(trouble))
    return taken, closed


def _bytes(text: str) -> bytes:
    return b64decode(text, validate=True)


def _no_file(path: Path) -> FileError:
    return FileError(say("phones.no_file"), where=path.name, right=say("phones.file_right"))
