"""Files are written whole or not at all: what stood there stays until every new one is complete."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path


def write_whole(files: Mapping[Path, bytes]) -> None:
    """Write files and the folders above them; where that fails nothing is left half written."""
    unfinished = {path: path.with_name(path.name + ".part") for path in files}
    path = Path()
    try:
        for path, data in files.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            unfinished[path].write_bytes(data)
        for path, part in unfinished.items():
            part.replace(path)
    except OSError as error:
        for part in unfinished.values():
            with suppress(OSError):
                part.unlink()
        error.filename = str(path)  # a full disk does not tell which file it was
        raise
