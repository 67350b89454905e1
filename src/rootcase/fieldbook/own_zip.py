"""Zips of ours, archives and backups: written alike, and looked through to the last byte before anything is used."""

from __future__ import annotations

import json
import struct
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import Any, BinaryIO, Never, cast
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo

from rootcase.fieldbook.photos import pieces
from rootcase.fieldbook.store.schema import HEAD
from rootcase.ground.errors import FileError
from rootcase.ground.words import say

MANIFEST, PHOTOS = "manifest.json", "photos/"
MOST_RATIO = 100
"""JUDGEMENT: readings pack ten to twenty times. The writer packs nothing that shrinks further than half of this."""
_FREE_BYTES = 128 * 2**20
"""JUDGEMENT: so much is read in a second, however well it was packed by whoever packed it again."""
_MOST_LIST_BYTES = 64 * 2**20
"""JUDGEMENT: the list of half a million files; more is no fieldbook, and would be read for minutes."""
_MOST_MANIFEST_BYTES = 32 * 2**20
"""JUDGEMENT: the names and hashes of a quarter of a million files."""
_SPOILT = (BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError, struct.error)
"""What a zip that is not sound may end in."""
_TIME = (1980, 1, 1, 0, 0, 0)
"""The first that a zip can say."""
_READABLE = 0o644 << 16
_UNIX = 3


def entry(name: str) -> ZipInfo:
    """A file's head in a zip, the same whenever and wherever it is written."""
    made = ZipInfo(name, _TIME)
    made.create_system, made.external_attr, made.compress_type = _UNIX, _READABLE, ZIP_STORED
    return made


def add_file(made: ZipFile, name: str, place: Path) -> str:
    """Add a file as it is, not packed, and return its mark."""
    head, mark = entry(name), sha256()
    head.file_size = place.stat().st_size
    with place.open("rb") as source, made.open(head, "w") as target:
        for piece in pieces(source):
            mark.update(piece)
            target.write(piece)
    return mark.hexdigest()


def form_of(path: Path) -> str:
    """What a zip says that it is; empty where it says nothing of the kind."""
    try:
        with ZipFile(path) as found:
            return str(_manifest(path, found).get("format", ""))
    except (*_SPOILT, FileError):
        return ""


@contextmanager
def sound_zip(path: Path, form: str, version: int, wanted: Mapping[str, type]
              ) -> Iterator[tuple[ZipFile, dict[str, Any]]]:
    """A zip of ours and its manifest; one that is cut, damaged, edited or a bomb is refused and its file named.

    form, version: what it has to be, and the newest of it that this program reads; wanted: what the manifest tells.
    """
    if not path.is_file():
        refuse(path, "", "export.no_archive")
    _refuse_long_list(path)
    try:
        opened = ZipFile(path)
    except _SPOILT:
        refuse(path, "", "export.not_whole")
    with opened as found:
        members = _members(path, found)
        manifest = _manifest(path, found)
        told = {"format": str, "version": int, "schema": str, "files": dict, **wanted}
        if (not all(isinstance(manifest.get(name), kind) for name, kind in told.items()) or manifest["format"] != form
                or not all(isinstance(mark, str) for mark in manifest["files"].values())):
            refuse(path, MANIFEST, "export.no_manifest")
        if manifest["version"] > version or manifest["schema"] > HEAD:
            refuse(path, "", "export.newer_archive")
        _refuse_changed(path, found, members, manifest["files"])
        yield found, manifest


def refuse(path: Path, name: str, key: str, **values: object) -> Never:
    """Refuse a zip, naming the file of it that is at fault."""
    raise FileError(say(key, **values), where=f"{path}, {name}" if name else str(path), right=say("export.take_whole"))


def _members(path: Path, found: ZipFile) -> dict[str, ZipInfo]:
    """The files of a zip by name, which together cannot grow beyond measure."""
    members: dict[str, ZipInfo] = {}
    size = path.stat().st_size
    for each in found.infolist():
        if each.filename in members:
            refuse(path, each.filename, "export.file_added")
        if each.compress_type not in (ZIP_STORED, ZIP_DEFLATED):
            refuse(path, each.filename, "export.not_whole")
        members[each.filename] = each
    grown = sum(each.file_size for each in members.values())
    if grown > max(_FREE_BYTES, MOST_RATIO * size) or sum(each.compress_size for each in members.values()) > size:
        refuse(path, "", "export.bomb", most=MOST_RATIO)  # in the second case files lie in one another
    return members


def _manifest(path: Path, found: ZipFile) -> dict[str, Any]:
    try:
        if found.getinfo(MANIFEST).file_size <= _MOST_MANIFEST_BYTES:
            manifest = json.loads(found.read(MANIFEST))
            if isinstance(manifest, dict):
                return manifest
    except (*_SPOILT, KeyError, RecursionError):
        pass
    return refuse(path, MANIFEST, "export.no_manifest")


def _refuse_changed(path: Path, found: ZipFile, members: Mapping[str, ZipInfo], files: Mapping[str, str]) -> None:
    """Refuse unless the zip holds just the files of its list, each with the bytes that it says."""
    for name in (*files, *members):
        if (name in files) != (name in members and name != MANIFEST):
            refuse(path, name, "export.file_missing" if name in files else "export.file_added")
    for name, mark in files.items():
        if _mark(path, found, name) != mark:
            refuse(path, name, "export.file_changed")


def _mark(path: Path, found: ZipFile, name: str) -> str:
    mark = sha256()
    try:
        with found.open(name) as file:
            for piece in pieces(cast(BinaryIO, file)):
                mark.update(piece)
    except _SPOILT:
        refuse(path, name, "export.file_changed")
    return mark.hexdigest()


def _refuse_long_list(path: Path) -> None:
    """Refuse a zip whose list of files alone is beyond reading (APPNOTE 6.3, 4.3.14 and 4.3.16, memory)."""
    with path.open("rb") as file:
        file.seek(max(0, path.stat().st_size - 66_000))
        tail = file.read()
    ends = [int.from_bytes(tail[at + skip:at + skip + size], "little") for mark, skip, size in
            ((b"PK\x05\x06", 12, 4), (b"PK\x06\x06", 40, 8)) if (at := tail.rfind(mark)) >= 0]
    if any(_MOST_LIST_BYTES < size < 2**32 - 1 or size > 2**32 - 1 for size in ends):
        refuse(path, "", "export.bomb", most=MOST_RATIO)
