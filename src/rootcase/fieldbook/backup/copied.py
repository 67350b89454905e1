"""A copy of the database looked through: sound, the one that was meant, and every event what its hash says."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rootcase.fieldbook.events import Event, read_body
from rootcase.fieldbook.state import photo_marks
from rootcase.fieldbook.store.engine import sqlite_driver
from rootcase.fieldbook.store.links import Walked, walk
from rootcase.fieldbook.store.schema import HEAD
from rootcase.ground.errors import FileError, RootcaseError, StoreError
from rootcase.ground.words import say

_EVENTS = "SELECT id, practice_id, property_id, made_at, device, kind, body, hash FROM events"


@dataclass(frozen=True, slots=True)
class Copied:
    """What is in a copy."""

    practices: int
    events: int
    pictures: frozenset[str]
    """SHA-256 of each picture that an event names."""
    records: Mapping[str, Walked]
    """By practice, the chain of what was put on; none in a copy from before there was any."""


def look_through(file: Path, marker: str, where: str) -> Copied:
    """What a copy of the database holds; refused unless it is sound in every row and has the marker's row.

    marker: id of the row written just before it was made; where: what to call it when it is refused.
    """
    driver = sqlite_driver()
    try:
        # Nobody writes in a copy, so nothing has to be laid beside it to read it.
        with closing(driver.connect(f"{file.resolve().as_uri()}?immutable=1", uri=True)) as look:
            return _looked_through(look, marker, where)
    except driver.DatabaseError as error:
        raise FileError(say("backup.not_sound"), where=where, value=str(error), right=say("backup.another")) from None


def _looked_through(look: Any, marker: str, where: str) -> Copied:
    fault = look.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if fault != "ok" or look.execute("PRAGMA foreign_key_check").fetchone():
        raise FileError(say("backup.not_sound"), where=where, value=fault, right=say("backup.another"))
    revision, = look.execute("SELECT version_num FROM alembic_version").fetchone()
    if revision > HEAD:
        raise StoreError(say("fieldbook.newer_file"), where=where, right=say("fieldbook.newer_program"))
    if not look.execute("SELECT 1 FROM backups WHERE id = ?", (marker,)).fetchone():
        raise FileError(say("backup.no_marker"), where=where, value=marker, right=say("backup.another"))
    practices, = look.execute("SELECT count(*) FROM practices").fetchone()
    events, pictures = 0, set[str]()
    for an_id, body in _sound_events(look, where):
        events += 1
        pictures.update(photo_marks("events", {"id": an_id, "body": body}))
    chained = look.execute("SELECT 1 FROM sqlite_master WHERE name = 'record_links'").fetchone()
    own = look.execute("SELECT practice_id FROM practices ORDER BY practice_id").fetchall() if chained else []
    return Copied(practices, events, frozenset(pictures), {one: walk(one, look.execute) for one, in own})


def _sound_events(look: Any, where: str) -> Iterator[tuple[str, str]]:
    """Id and body of each event, every one held against its hash."""
    for an_id, practice_id, property_id, made_at, device, kind, body, content in look.execute(_EVENTS):
        try:
            sound = Event(an_id, practice_id, property_id, made_at, device, read_body(kind, body)).hash == content
        except RootcaseError:
            sound = False
        if not sound:
            raise FileError(say("backup.bad_event"), where=where, value=an_id, right=say("backup.another"))
        yield an_id, body
