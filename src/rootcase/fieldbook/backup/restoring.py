"""A backup brought back to a place where nothing is: looked through first, then all of it is there or nothing."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any, BinaryIO, cast
from uuid import uuid4
from zipfile import ZipFile

from sqlalchemy import delete, func, select, update

from rootcase.fieldbook.backup.copied import Copied, look_through
from rootcase.fieldbook.backup.keeping import DATABASE, FORMAT, TOLD, VERSION, broken_chains
from rootcase.fieldbook.own_zip import MANIFEST, PHOTOS, refuse, sound_zip
from rootcase.fieldbook.people.tokens import read_moment
from rootcase.fieldbook.photos import Photos, pieces
from rootcase.fieldbook.store import open_store
from rootcase.fieldbook.store.applied_gate import missing_link_gate
from rootcase.fieldbook.store.door import client_links, invitations, sessions
from rootcase.fieldbook.store.engine import refuse_shared_folder
from rootcase.fieldbook.store.gate import missing_gate, unfit_load
from rootcase.fieldbook.store.keeping import backups, generations
from rootcase.fieldbook.store.links import standing
from rootcase.fieldbook.whole_file import private_file, sync_folder
from rootcase.ground.errors import FileError, StoreError
from rootcase.ground.words import say

_BESIDE = ("", "-wal", "-shm", "-journal")
"""What SQLite lays beside a file; an old one beside a new file would be taken for its own."""


@dataclass(frozen=True, slots=True)
class BroughtBack:
    """What came back of a backup."""

    made_at: datetime
    """When it was made; what came later is not in it."""
    practices: int
    events: int
    photos: int
    sessions_ended: int
    links_open: int
    """Clients' links that are open again as they were then, those ended since among them."""
    missing: tuple[str, ...]
    """Pictures that were missing already when it was made."""
    told: tuple[str, ...]
    """Of the record of what was put on: what did not hold already when it was made."""


def restore_backup(path: Path, fieldbook: Path) -> BroughtBack:
    """Bring a backup back as a new fieldbook; refused where the place is not empty or the backup is not whole."""
    refuse_shared_folder(fieldbook)
    photos = Photos(fieldbook)
    _refuse_taken(fieldbook, photos)
    with sound_zip(path, FORMAT, VERSION, TOLD) as (found, manifest):
        marker, made_at = str(manifest["marker"]), _moment(path, manifest["made_at"])
        names = [name for name in manifest["files"] if name.startswith(PHOTOS)]
        with _whole(fieldbook, photos) as part:
            _unpack(path, found, part)
            held = look_through(part, marker, str(path))
            _hold_chains(path, held, manifest.get("records", {}))
            kept = {_keep(path, found, name, photos) for name in names}
            for mark in sorted(held.pictures - kept - set(manifest["missing"])):
                refuse(path, f"{PHOTOS}{mark[:2]}/{mark}", "backup.picture_missing")
            ended, links = _as_new(part, marker, path)
    return BroughtBack(made_at, held.practices, held.events, len(kept), ended, links, tuple(manifest["missing"]),
                       broken_chains(held))


def _hold_chains(path: Path, held: Copied, told: Mapping[str, object]) -> None:
    """Raise unless each practice's record of what was put on stands as the backup's manifest says."""
    for practice, walked in held.records.items():
        if standing(walked) != told.get(practice):
            raise FileError(say("log.chain.other"), where=str(path), value=say("log.chain.link", number=walked.number),
                            right=say("backup.another"))


def _refuse_taken(fieldbook: Path, photos: Photos) -> None:
    there = [each for ending in _BESIDE if (each := fieldbook.with_name(fieldbook.name + ending)).exists()]
    there += [photos.folder] if photos.folder.exists() and any(photos.folder.iterdir()) else []
    if there:
        raise StoreError(say("backup.taken"), where=str(there[0]), right=say("export.into_a_new_one"))


@contextmanager
def _whole(fieldbook: Path, photos: Photos) -> Iterator[Path]:
    """A file to be filled that becomes the fieldbook when the block ends well; else nothing is left of it."""
    part = fieldbook.with_name(f"{fieldbook.name}.part")
    fieldbook.parent.mkdir(parents=True, exist_ok=True)
    try:
        private_file(part).close()
        yield part
        part.replace(fieldbook)
        sync_folder(fieldbook.parent)
    except BaseException:
        shutil.rmtree(photos.folder, ignore_errors=True)
        raise
    finally:
        for ending in _BESIDE:
            with suppress(OSError):
                part.with_name(part.name + ending).unlink()


def _moment(path: Path, text: str) -> datetime:
    try:
        return read_moment(text)
    except ValueError:
        refuse(path, MANIFEST, "export.no_manifest")


def _unpack(path: Path, found: ZipFile, part: Path) -> None:
    if DATABASE not in found.namelist():
        refuse(path, DATABASE, "export.file_missing")
    with found.open(DATABASE) as source, part.open("wb") as target:
        for piece in pieces(cast(BinaryIO, source)):
            target.write(piece)
        target.flush()
        os.fsync(target.fileno())


def _fault_of_gates(ask: Callable[[str], Any]) -> str:
    return missing_gate(ask) or missing_link_gate(ask) or unfit_load(ask)


def _keep(path: Path, found: ZipFile, name: str, photos: Photos) -> str:
    """Keep a picture, which has to be the one it is named for."""
    with found.open(name) as source:
        mark = photos.keep(cast(BinaryIO, source))
    if Path(name).stem != mark:
        refuse(path, name, "export.file_changed")
    return mark


def _as_new(part: Path, marker: str, path: Path) -> tuple[int, int]:
    """Bring the copy to the newest form and end what must not live again; the sessions ended, the links open.

    A copy without the gate that keeps unfit loads out, or with such a load, is refused: the name of the trigger or the
    id of the load's event is told.
    """
    store = open_store(part, "")
    try:
        with store.whole_file(writes=True) as file:
            if fault := _fault_of_gates(file.exec_driver_sql):
                raise FileError(say("backup.gate"), where=str(path), value=fault, right=say("backup.another"))
            ended = file.execute(delete(sessions)).rowcount
            file.execute(delete(invitations))
            file.execute(update(generations).values(id=str(uuid4())))
            file.execute(update(backups).where(backups.c.id == marker).values(checked_at=backups.c.made_at))
            links = file.scalar(select(func.count()).select_from(client_links).where(client_links.c.ended_at.is_(None)))
        store.empty_journal()
    finally:
        store.close()
    return ended, int(links or 0)
