"""Backups of a fieldbook: made whole or not at all, while others read and write, and read back before they count.

The order is what makes it whole: first the marker's row, then the database as it stands, then the pictures. A picture
is on the disk before the event that names it, so whatever the copied events name is there to be copied.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from zipfile import ZipFile

from sqlalchemy import insert, select, update

from rootcase import __version__
from rootcase.fieldbook.backup.copied import Copied, look_through
from rootcase.fieldbook.own_zip import MANIFEST, PHOTOS, add_file, entry, sound_zip
from rootcase.fieldbook.people.tokens import read_moment, written
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.keeping import backups
from rootcase.fieldbook.store.links import standing
from rootcase.fieldbook.store.schema import HEAD, events, practices
from rootcase.fieldbook.whole_file import private_file, whole_file
from rootcase.ground.errors import FileError
from rootcase.ground.words import say

FORMAT, VERSION = "rootcase backup", 1
TOLD = {"marker": str, "made_at": str, "missing": list}
"""What a backup's manifest tells beside what every zip of ours does."""
DATABASE = "fieldbook.sqlite"


@dataclass(frozen=True, slots=True)
class BackedUp:
    """A backup that is whole, in its place, and was read back."""

    file: Path
    marker: str
    made_at: datetime
    practices: int
    events: int
    photos: int
    size_bytes: int
    told: tuple[str, ...]


class Keeping:
    """The whole file, every practice in it, as it is copied."""

    def __init__(self, store: Store, photos: Photos, now: Callable[[], datetime], new_id: Callable[[], str]) -> None:
        self._store, self._photos, self._now, self._new_id = store, photos, now, new_id

    def back_up(self, folder: Path) -> BackedUp:
        """Copy all into one new file of this folder, and read it back."""
        now, marker = self._now(), self._new_id()
        path = folder / f"rootcase-{now.astimezone(UTC):%Y%m%d-%H%M%S}Z.zip"
        if path.exists():
            raise FileError(say("backup.there"), where=str(path), right=say("backup.wait_a_second"))
        with self._store.whole_file(writes=True) as file:
            file.execute(insert(backups).values(id=marker, made_at=written(now)))
        with _scratch(path) as copy:
            self._store.copy_into(copy)
            held = look_through(copy, marker, str(path))
            done = self._write(path, copy, marker, now, held)
        with self._store.whole_file(writes=True) as file:
            file.execute(update(backups).where(backups.c.id == marker).values(
                checked_at=written(self._now()), size_bytes=done.size_bytes))
        return done

    def newest_backup(self) -> datetime | None:
        """When the newest backup that was read back was begun: what came later is not in it."""
        asked = select(backups.c.made_at).where(backups.c.checked_at.is_not(None))
        with self._store.whole_file() as file:
            newest = file.scalar(asked.order_by(backups.c.made_at.desc()).limit(1))
        return read_moment(newest) if newest else None

    def first_arrival(self) -> datetime | None:
        """When the first thing came into this practice; None where nothing has."""
        asked = select(events.c.made_at).where(events.c.practice_id == self._store.practice_id)
        with self._store.whole_file() as file:
            first = file.scalar(asked.order_by(events.c.received).limit(1))
        return read_moment(first) if first else None

    def is_alone(self) -> bool:
        """Whether no other practice is in the file; whoever takes a copy of it takes all."""
        with self._store.whole_file() as file:
            return not file.scalar(select(practices.c.practice_id).where(
                practices.c.practice_id != self._store.practice_id).limit(1))

    def _write(self, path: Path, copy: Path, marker: str, now: datetime, held: Copied) -> BackedUp:
        marks = sorted({*held.pictures, *self._photos.marks()})
        sound = {mark: place for mark in marks if (place := self._photos.sound(mark)) is not None}
        missing = [mark for mark in marks if mark not in sound]
        with whole_file(path, private=True) as file:
            with ZipFile(file, "w") as made:
                readme = say("backup.readme").encode("utf-8")
                made.writestr(entry("README.txt"), readme)
                marked = {"README.txt": sha256(readme).hexdigest(), DATABASE: add_file(made, DATABASE, copy)}
                for place in sound.values():
                    name = f"{PHOTOS}{place.parent.name}/{place.name}"
                    marked[name] = add_file(made, name, place)
                manifest = {"format": FORMAT, "version": VERSION, "program": __version__, "schema": HEAD,
                            "marker": marker, "made_at": written(now), "missing": missing,
                            "records": {one: standing(walked) for one, walked in held.records.items()},
                            "files": marked}
                made.writestr(entry(MANIFEST), json.dumps(manifest, indent=1).encode("utf-8"))
            size = file.tell()
            file.flush()
            with sound_zip(Path(file.name), FORMAT, VERSION, TOLD):
                pass  # read back to the last byte, or refused
        told = (*(say("backup.no_photo", mark=mark) for mark in missing), *broken_chains(held))
        return BackedUp(path, marker, now, held.practices, held.events, len(sound), size, told)


def broken_chains(held: Copied) -> tuple[str, ...]:
    """A line for each practice whose record of what was put on does not hold."""
    return tuple(say("log.chain.broken", number=walked.number, why=say(f"log.chain.fault.{walked.fault}"))
                 for walked in held.records.values() if walked.fault is not None)


@contextmanager
def _scratch(path: Path) -> Iterator[Path]:
    """An empty file beside this one that only its owner can read; gone when the block ends."""
    scratch = path.with_name(f"{path.name}.sqlite")
    try:
        private_file(scratch).close()
        yield scratch
    finally:
        with suppress(OSError):
            os.unlink(scratch)
