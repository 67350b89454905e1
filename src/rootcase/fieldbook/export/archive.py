"""All of a fieldbook in one archive that can be read without us and brought back whole.

The JSON lines are the truth and come back byte for byte; the CSVs say the same for people. The same fieldbook gives the
same bytes: files stand in order, under one time, packed alike (another zlib may pack to other bytes; what is in it is
the same).
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

from rootcase import __version__
from rootcase.fieldbook.events import ReadingTaken
from rootcase.fieldbook.export.tables import Clerk, csv_bytes
from rootcase.fieldbook.intake.archive import FORMAT, LINES, VERSION, open_archive
from rootcase.fieldbook.own_zip import MANIFEST, MOST_RATIO, PHOTOS, add_file, entry
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.state import Row, held, photo_marks, row_line, state_hash
from rootcase.fieldbook.store.links import standing
from rootcase.fieldbook.store.schema import HEAD
from rootcase.fieldbook.store.store import Reading
from rootcase.fieldbook.whole_file import whole_file
from rootcase.ground.errors import FileError
from rootcase.ground.words import say

_LEVEL = 6


@dataclass(frozen=True, slots=True)
class Exported:
    """What was taken out."""

    readings: int
    """Superseded ones among them."""
    files: int
    photos: int
    size_bytes: int
    state: str
    public: bool
    told: tuple[str, ...]


def write_archive(look: Reading, practice_id: str, photos: Photos, path: Path, *, public: bool = False) -> Exported:
    """Write everything the practice holds, read it back, and put it in its place only if it is all there."""
    rows = list(held(look))
    events = look.events()
    marks = sorted({mark for table, row in rows for mark in photo_marks(table, row)})
    sound = {mark: place for mark in marks if (place := photos.sound(mark)) is not None}
    state = state_hash(rows, lambda mark: mark in sound)
    told = [] if public else [say("export.no_photo", mark=mark) for mark in marks if mark not in sound]
    clerk = Clerk(events, public=public)
    with whole_file(path) as file:
        with ZipFile(file, "w") as made:
            written = {}
            for name, data in _texts(clerk, rows, public):
                written[name] = _add(made, name, data)
            for place in () if public else sound.values():
                name = f"{PHOTOS}{place.parent.name}/{place.name}"
                written[name] = add_file(made, name, place)
            manifest = {"format": FORMAT, "version": VERSION, "program": __version__, "schema": HEAD,
                        "practice": "" if public else practice_id, "public": public, "state": "" if public else state,
                        "records": None if public else standing(look.walk_chain()), "files": written}
            _add(made, MANIFEST, json.dumps(manifest, indent=1, ensure_ascii=False).encode("utf-8"))
        size = file.tell()
        file.flush()
        _compare(Path(file.name), "" if public else state)
    return Exported(sum(isinstance(event.body, ReadingTaken) for event in events), len(written) + 1,
                    0 if public else len(sound), size, state, public, tuple(told))


def _texts(clerk: Clerk, rows: list[Row], public: bool) -> Iterator[tuple[str, bytes]]:
    """Name and bytes of every file but pictures and manifest."""
    yield "README.txt", say("export.readme_public" if public else "export.readme").encode("utf-8")
    by_table: dict[str, list[Mapping[str, Any]]] = {}
    for table, row in () if public else rows:
        by_table.setdefault(table, []).append(row)
    for table, found in by_table.items():
        yield f"{LINES}{table}.jsonl", b"".join(row_line(row) + b"\n" for row in found)
    cells = clerk.tables() | {f"records/{table}.csv": [clerk.row(row) for row in found]
                              for table, found in by_table.items() if table not in ("practices", "events")}
    for name in sorted(cells):
        yield name, csv_bytes(cells[name])
    yield from _sources(files("rootcase.tables"), "tables/")


def _sources(folder: Traversable, prefix: str) -> Iterator[tuple[str, bytes]]:
    """The tables that the program works by, with their sources."""
    for each in sorted(folder.iterdir(), key=lambda found: found.name):
        if each.is_dir():
            yield from _sources(each, f"{prefix}{each.name}/")
        elif each.name.endswith((".csv", ".toml")):
            yield f"{prefix}{each.name}", each.read_bytes()


def _add(made: ZipFile, name: str, data: bytes) -> str:
    """Add a text, packed unless it would look like a bomb, and return its mark."""
    packed = len(data) * 2 <= MOST_RATIO * len(zlib.compress(data, _LEVEL))
    made.writestr(entry(name), data, ZIP_DEFLATED if packed else ZIP_STORED, _LEVEL)
    return sha256(data).hexdigest()


def _compare(path: Path, state: str) -> None:
    """Read an archive back; raise FileError unless it holds what was held."""
    with open_archive(path) as archive:
        if state and state_hash(archive.rows(), archive.marks.__contains__) != state:
            raise FileError(say("export.not_equal"), where=str(path))
