"""Files are written whole or not at all: what stood there stays until every new one is complete."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO


def write_whole(files: Mapping[Path, bytes]) -> None:
    """Write files and the folders above them; where that fails nothing is left half written."""
    unfinished = {path: path.with_name(path.name + ".part") for path in files}
    path = Path()
    try:
        for path, data in files.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            with _fresh(unfinished[path]) as file:
                file.write(data)
        for path, part in unfinished.items():
            part.replace(path)
    except OSError as error:
        for part in unfinished.values():
            with suppress(OSError):
                part.unlink()
        error.filename = str(path)  # a full disk does not tell which file it was
        raise


@contextmanager
def whole_file(path: Path, *, private: bool = False) -> Iterator[BinaryIO]:
    """A file written piece by piece: on the disk and in its place when the block ends well, else nothing is left.

    private: whether nobody but its owner may read it.
    """
    part = path.with_name(path.name + ".part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with private_file(part) if private else _fresh(part) as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
        sync_folder(path.parent)
    except OSError as error:
        error.filename = error.filename or str(path)
        raise
    finally:
        with suppress(OSError):
            part.unlink()


def _fresh(part: Path) -> BinaryIO:
    """A new file of this name: what a broken-off run left is taken away, a link put there by others not followed."""
    part.unlink(missing_ok=True)
    return part.open("x+b")


def private_file(path: Path) -> BinaryIO:
    """A new file that nobody but its owner may read or write; as with `_fresh`, no link is followed."""
    path.unlink(missing_ok=True)
    return open(path, "x+b", opener=lambda name, flags: os.open(name, flags, 0o600))


def sync_folder(folder: Path) -> None:
    """Make what a folder lists durable; Windows does not let a folder be opened, and needs it not."""
    with suppress(PermissionError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
