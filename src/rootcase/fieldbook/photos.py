"""Pictures beside the fieldbook's file, each under the SHA-256 of its bytes, which are kept exactly as given.

A picture is on the disk before the reading that names it is in the file: a reading never names what a pulled plug took.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from threading import get_ident
from typing import BinaryIO

from rootcase.fieldbook.whole_file import sync_folder

_PIECE_BYTES = 2**20
# The first bytes of each form: JPEG (ITU-T T.81 B.1.1.3, SOI), PNG (W3C PNG, 3rd edition, 5.2), WebP (RFC 9649, 2.4),
# HEIC (ISO 14496-12, 4.3: the box `ftyp` and its brand), GIF (GIF89a, 17), TIFF (TIFF 6.0, section 2) (memory).
_FORMS = (("jpg", rb"\xff\xd8\xff"), ("png", rb"\x89PNG\r\n\x1a\n"), ("webp", rb"RIFF....WEBP"),
          ("heic", rb"....ftyp(?:hei[cmsx]|hev[cmsx]|mif1|msf1)"), ("gif", rb"GIF8[79]a"),
          ("tif", rb"II\*\x00|MM\x00\*"))
ENDINGS = (*(ending for ending, _ in _FORMS), "bin")


class Photos:
    """The pictures of one fieldbook."""

    def __init__(self, fieldbook: Path) -> None:
        self.folder = fieldbook.with_name(f"{fieldbook.name}.photos")

    def keep(self, source: BinaryIO) -> str:
        """Keep the bytes that are left in a source and return their mark; once, and over a damaged copy."""
        self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        part = self.folder / f"{os.getpid()}-{get_ident()}.part"
        try:
            with part.open("wb") as file:
                mark, ending = sha256(), ""
                for piece in pieces(source):
                    ending = ending or ending_of(piece)
                    mark.update(piece)
                    file.write(piece)
                file.flush()
                os.fsync(file.fileno())
            name = mark.hexdigest()
            if self.sound(name) is None:
                place = self.folder / name[:2] / f"{name}.{ending or ENDINGS[-1]}"
                place.parent.mkdir(exist_ok=True)
                part.replace(place)
                for folder in (place.parent, self.folder, self.folder.parent):
                    sync_folder(folder)
            return name
        finally:
            with suppress(FileNotFoundError):
                part.unlink()

    def find(self, mark: str) -> Path | None:
        """Where a picture is."""
        if not re.fullmatch("[0-9a-f]{64}", mark):
            return None
        there = (self.folder / mark[:2] / f"{mark}.{ending}" for ending in ENDINGS)
        return next((path for path in there if path.is_file()), None)

    def sound(self, mark: str) -> Path | None:
        """Where a picture is, if its bytes are still those it was kept for."""
        path = self.find(mark)
        return path if path is not None and mark_of(path) == mark else None

    def marks(self) -> Iterator[str]:
        """The mark of each picture that is there."""
        for path in self.folder.glob("??/*.*"):
            if self.find(path.stem) == path:
                yield path.stem

    def drop(self, mark: str) -> None:
        """Take a picture away that no reading names."""
        path = self.find(mark)
        if path is not None:
            path.unlink()


def mark_of(path: Path) -> str:
    """SHA-256 of a file's bytes."""
    mark = sha256()
    with path.open("rb") as file:
        for piece in pieces(file):
            mark.update(piece)
    return mark.hexdigest()


def pieces(source: BinaryIO) -> Iterator[bytes]:
    """The bytes that are left in a source, a piece at a time."""
    while piece := source.read(_PIECE_BYTES):
        yield piece


def ending_of(start: bytes) -> str:
    """How a file with this beginning is called.

    >>> ending_of(bytes.fromhex("ffd8ffe000104a464946")), ending_of(b"something else")
    ('jpg', 'bin')
    """
    return next((ending for ending, form in _FORMS if re.match(form, start, re.DOTALL)), ENDINGS[-1])
