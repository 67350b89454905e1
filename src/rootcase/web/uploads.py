"""Files that somebody sends, in a folder of their own while they are worked on."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path, PurePosixPath, PureWindowsPath
from tempfile import TemporaryDirectory

from fastapi import UploadFile

_LONGEST_NAME = 120


@contextmanager
def kept_for_work(sent: UploadFile) -> Iterator[Path]:
    """A copy under the sender's name for it, so far as that is a plain name; it goes with the with block."""
    with TemporaryDirectory(prefix="rootcase-") as folder:
        path = Path(folder) / plain_name(sent.filename or "")
        with path.open("wb") as file:
            shutil.copyfileobj(sent.file, file)
        yield path


@contextmanager
def all_kept_for_work(sent: Mapping[str, UploadFile | None]) -> Iterator[tuple[Path, dict[str, str]]]:
    """Copies in one folder, and the name of each by what it was sent as; an empty field sends none."""
    with TemporaryDirectory(prefix="rootcase-") as folder:
        names = {}
        for field, each in sent.items():
            if each is not None and each.filename:
                names[field] = f"{field}-{plain_name(each.filename)}"
                with (Path(folder) / names[field]).open("wb") as file:
                    shutil.copyfileobj(each.file, file)
        yield Path(folder), names


def plain_name(sent: str) -> str:
    """The last part of a name, without signs that mean something to a file system.

    >>> plain_name("C:\\\\lists\\\\My trees (2).csv"), plain_name("../../etc/passwd"), plain_name("..")
    ('My trees (2).csv', 'passwd', 'file')
    """
    last = PureWindowsPath(PurePosixPath(sent.replace("\0", "")).name).name
    return re.sub(r"[^\w .,()+-]", "_", last).strip(". ")[-_LONGEST_NAME:] or "file"
