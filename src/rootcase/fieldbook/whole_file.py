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
def whole_file(path: Path) -> Iterator[BinaryIO]:
    """A file written piece by piece: on the disk and in its place when the block ends well, else nothing is left."""
    part = path.with_name(path.name + ".part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with _fresh(part) as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
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
