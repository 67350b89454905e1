"""An archive of a fieldbook brought back: looked through to the last byte first, then taken whole or not at all."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Set
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, BinaryIO, cast
from zipfile import ZipFile

from sqlalchemy import Table

from rootcase.fieldbook.events import Event, read_body
from rootcase.fieldbook.own_zip import PHOTOS, refuse, sound_zip
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.state import Row, row_line, state_hash
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.gate import ORDERED
from rootcase.fieldbook.store.links import standing
from rootcase.fieldbook.store.schema import events, metadata, record_links
from rootcase.fieldbook.store.store import Writing
from rootcase.fieldbook.store.weather import TYPICAL_YEAR
from rootcase.ground.errors import FileError, RootcaseError, StoreError
from rootcase.ground.words import say

FORMAT, VERSION = "rootcase archive", 1
LINES = "lines/"
_TOLD = {"practice": str, "state": str, "public": bool}
_CHAINED = "0009"
"""The form of the file since which there is a chain."""
_AT_ONCE = 1000
_MOST_WHOLE = 2**63 - 1


@dataclass(frozen=True, slots=True)
class Archive:
    """An archive whose every file is what its manifest says."""

    path: Path
    zip: ZipFile
    practice_id: str
    state: str
    public: bool
    """A public copy; it is not all and cannot come back."""
    files: Mapping[str, str]
    """SHA-256 of each file by its name."""
    marks: Set[str]
    """SHA-256 of each picture."""
    records: Mapping[str, object] | None
    """How the chain of what was put on stood; None: it had none yet."""
    schema: str
    """The form of the file it was made from."""

    def rows(self) -> Iterator[Row]:
        """Every row that is to be held, checked against the tables."""
        for table in metadata.sorted_tables:
            name = f"{LINES}{table.name}.jsonl"
            if name in self.files:
                with self.zip.open(name) as lines:
                    for number, line in enumerate(lines, 1):
                        yield table.name, _row(line, table, self.practice_id, f"{self.path}, {name}, {number}")

    def photos(self) -> Iterator[tuple[str, BinaryIO]]:
        """Mark and bytes of each picture."""
        for name, mark in self.files.items():
            if name.startswith(PHOTOS):
                with self.zip.open(name) as source:
                    yield mark, cast(BinaryIO, source)


@dataclass(frozen=True, slots=True)
class Restored:
    """What came back."""

    counts: Mapping[str, int]
    """Rows of each table."""
    photos: int
    state: str


@contextmanager
def open_archive(path: Path) -> Iterator[Archive]:
    """An archive to be brought back; one that is cut, damaged, edited or a bomb is refused and its file named."""
    with sound_zip(path, FORMAT, VERSION, _TOLD) as (found, manifest):
        files = cast(dict[str, str], manifest["files"])
        marks = {mark for name, mark in files.items() if name.startswith(PHOTOS)}
        yield Archive(path, found, manifest["practice"], manifest["state"], manifest["public"], files, marks,
                      manifest.get("records") if manifest["schema"] >= _CHAINED else None, manifest["schema"])


def refuse_public(archive: Archive) -> None:
    """Refuse a public copy: it is not all, and cannot come back."""
    if archive.public:
        refuse(archive.path, "", "export.public_stays")


def restore(archive: Archive, store: Store, photos: Photos) -> Restored:
    """Bring all of an archive into an empty fieldbook: its state is the archive's then, or nothing has been kept."""
    refuse_public(archive)
    if archive.practice_id != store.practice_id:
        raise StoreError(say("export.other_practice"), where=str(archive.path), value=archive.practice_id)
    new: list[str] = []
    try:
        with store.writing() as turn:
            if not turn.is_empty():
                raise StoreError(say("export.not_empty"), right=say("export.into_a_new_one"))
            for mark, source in archive.photos():
                new += [mark] if photos.find(mark) is None else []
                photos.keep(source)
            with turn.letting_in(archive.schema):
                counts = _put(archive, turn.put_rows)
            rows = ((table.name, row) for table in metadata.sorted_tables for row in turn.rows(table))
            if state_hash(rows, lambda mark: photos.sound(mark) is not None) != archive.state:
                refuse(archive.path, "", "export.other_state")
            _hold_chain(archive, turn)
    except BaseException:
        for mark in new:
            photos.drop(mark)
        raise
    return Restored(counts, len(archive.marks), archive.state)


def _hold_chain(archive: Archive, turn: Writing) -> None:
    """Raise unless the chain of what was put on stands as the archive says; one from before there was any gets one."""
    if archive.records is None:
        turn.link_the_old()
    walked = turn.walk_chain()
    if archive.records is not None and standing(walked) != archive.records:
        raise FileError(say("log.chain.other"), where=str(archive.path),
                        value=say("log.chain.link", number=walked.number), right=say("log.chain.another"))


def _put(archive: Archive, put: Callable[[Table, list[Mapping[str, Any]]], None]) -> dict[str, int]:
    """Hand the rows over, some at a time, and count them; what is asked in the order received comes last, in it."""
    counts: dict[str, int] = {}
    waiting: list[Mapping[str, Any]] = []
    ordered: list[Mapping[str, Any]] = []
    links: list[Mapping[str, Any]] = []
    name = ""
    for table, row in archive.rows():
        if table == record_links.name:
            links.append(row)
            counts[table] = counts.get(table, 0) + 1
            continue
        if table == events.name and row["kind"] in ORDERED:
            ordered.append(row)
            counts[table] = counts.get(table, 0) + 1
            continue
        if waiting and (table != name or len(waiting) == _AT_ONCE):
            put(metadata.tables[name], waiting)
            waiting = []
        name = table
        waiting.append(row)
        counts[table] = counts.get(table, 0) + 1
    if waiting:
        put(metadata.tables[name], waiting)
    if ordered:
        put(events, sorted(ordered, key=lambda row: int(str(row["received"]))))
    if links:
        put(record_links, sorted(links, key=lambda row: int(str(row["number"]))))
    return counts


def _row(line: bytes, table: Table, practice_id: str, where: str) -> dict[str, Any]:
    """One row as the table wants it; an event is what its hash says."""
    try:
        row = json.loads(line)
        for column in table.columns:
            value = row.get(column.name)
            unknown = value is None and column.nullable
            if not unknown and (type(value) is not column.type.python_type
                                or (isinstance(value, int) and abs(value) > _MOST_WHOLE)):
                raise ValueError(column.name)
        own = row["practice_id"] == practice_id and row.keys() <= set(table.columns.keys())
        if not own or row_line(row) + b"\n" != line:
            raise ValueError("not as it was written")
        if table.name == "events" and row["hash"] != _event(row).hash:
            raise ValueError("hash")
        _days(row)
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError, RootcaseError):
        raise FileError(say("export.bad_line"), where=where, right=say("export.take_whole")) from None
    return cast(dict[str, Any], row)


def _days(row: Mapping[str, Any]) -> None:
    """Raise ValueError unless the days of a row of weather are days."""
    for day in (row.get("day", ""), f"{TYPICAL_YEAR}-{row['month_day']}" if "month_day" in row else ""):
        if day and date.fromisoformat(day).isoformat() != day:
            raise ValueError("day")


def _event(row: Mapping[str, Any]) -> Event:
    return Event(row["id"], row["practice_id"], row["property_id"], row["made_at"], row["device"],
                 read_body(row["kind"], row["body"]))
