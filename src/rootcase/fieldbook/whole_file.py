"""A file is written whole or not at all: what stood there stays until the new one is complete."""

from __future__ import annotations

from pathlib import Path


def write_whole(path: Path, data: bytes) -> None:
    """Write a file and the folders above it; where that fails nothing is left half written."""
    unfinished = path.with_name(path.name + ".part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        unfinished.write_bytes(data)
        unfinished.replace(path)
    except OSError as error:
        if unfinished.is_file():
            unfinished.unlink()
        error.filename = str(path)  # a full disk does not tell which file it was
        raise
