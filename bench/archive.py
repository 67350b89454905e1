"""The whole fieldbook out and back: readings in their thousands, and bombs up to their refusal."""

from __future__ import annotations

import json
import struct
import tempfile
import zipfile
from collections.abc import Callable, Mapping
from hashlib import sha256
from itertools import count
from pathlib import Path

from bench.work import Work
from rootcase.fieldbook.events import Event, ReadingTaken
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.intake.archive import open_archive
from rootcase.fieldbook.store import open_store
from rootcase.ground.errors import FileError
from tests.fieldbook.sheets import whole_property

READINGS, BOMB_BYTES = 10_000, 500_000_000


def about() -> Work:
    return Work(what=f"A fieldbook of {READINGS:,} readings into an archive, read back, and into an empty fieldbook; "
                     "archives made to burst until they are refused.", unit="reading", units=READINGS)


def run() -> Mapping[str, Callable[[], object]]:
    folder = Path(tempfile.mkdtemp(prefix="rootcase-bench-"))
    store = open_store(folder / "book.sqlite", "own")
    with store.writing() as turn:
        turn.add([*whole_property(), *(Event(f"r{n}", "own", "p", "2016-01-15T12:00:00.000Z", "desk", ReadingTaken(
            slot=f"r{n}", kind="dbh", of=f"t{n % 12}", visit="v1", typed=f"{n % 90 / 10} in", value=n % 90 * 2.54,
            source=f"trees.xlsx, trees, row {n}")) for n in range(READINGS))])
    book, numbers = open_fieldbook(folder / "book.sqlite"), count()
    book.export(folder / "all.zip")
    bombs(folder)

    def back() -> None:
        with open_archive(folder / "all.zip") as archive, open_fieldbook(folder / f"new{next(numbers)}.sqlite") as new:
            new.restore(archive)

    return {"out, read back": lambda: book.export(folder / "out.zip"), "back": back,
            "state": book.state_hash,
            "zip bomb": lambda: refused(folder / "bomb.zip"),
            "zip bomb that lies": lambda: refused(folder / "lies.zip")}


def refused(path: Path) -> None:
    try:
        with open_archive(path):
            raise AssertionError(path)
    except FileError:
        return


def bombs(folder: Path) -> None:
    """Zeros without end under a name that is on the list, and the same with another size told."""
    manifest = {"format": "rootcase archive", "version": 1, "practice": "own", "state": "", "schema": "0001",
                "public": False, "files": {"README.txt": sha256(b"").hexdigest()}}
    with zipfile.ZipFile(folder / "bomb.zip", "w", zipfile.ZIP_DEFLATED) as package:
        with package.open("README.txt", "w") as text:
            for _ in range(BOMB_BYTES // 1_000_000):
                text.write(bytes(1_000_000))
        package.writestr("manifest.json", json.dumps(manifest))
    honest = (folder / "bomb.zip").read_bytes()
    (folder / "lies.zip").write_bytes(honest.replace(struct.pack("<I", BOMB_BYTES), struct.pack("<I", 1000)))
