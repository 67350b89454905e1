"""The packed file that a workbook is, unpacked by count, not by what it says of itself."""

from __future__ import annotations

import io
import struct
import zipfile
import zlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rootcase.fieldbook.intake.foreign.limits import (
    MB,
    MEMBERS,
    RATIO_FROM_BYTES,
    UNPACKED_BYTES,
    UNPACKED_RATIO,
    Refusal,
)

_LOCAL_HEADER = struct.Struct("<26xHH")
_CHUNK = 1 * MB
_NOT_PAGES = ("media", "embeddings", "pictures", "thumbnails", "drawings")
"""Folders of pictures and of other files within: never unpacked."""


@dataclass(frozen=True, slots=True)
class Package:
    """The pages of a workbook, unpacked, by their path within it."""

    pages: Mapping[str, bytes]

    def stored(self) -> bytes:
        """The pages as a package that is not packed: its reader has nothing left to unpack."""
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as package:
            for name, page in self.pages.items():
                package.writestr(zipfile.ZipInfo(name), page)
        return out.getvalue()


def unpacked(raw: bytes) -> Package:
    """The pages; Refusal where they are more than a workbook's, locked, damaged, or define words of their own."""
    try:
        members = zipfile.ZipFile(io.BytesIO(raw)).infolist()
    except (zipfile.BadZipFile, ValueError, NotImplementedError):
        raise Refusal("intake.not_a_sheet", "intake.right_file") from None
    if len(members) > MEMBERS:
        raise Refusal("fence.many_members", "fence.right_resave", f"{len(members):,}", most=f"{MEMBERS:,}")
    wanted = [member for member in members if _is_page(member.filename)]
    require_room(sum(member.file_size for member in wanted), len(raw))
    if len({member.filename for member in wanted}) < len(wanted):
        raise Refusal("fence.damaged", "fence.right_resave")
    return Package(dict(_pages(raw, wanted)))


def _is_page(name: str) -> bool:
    folders = name.lower().split("/")
    if set(folders[:-1]) & set(_NOT_PAGES):
        return False
    return name == "mimetype" or folders[-1].endswith((".xml", ".rels", ".bin"))


def _pages(raw: bytes, members: Iterable[zipfile.ZipInfo]) -> Iterable[tuple[str, bytes]]:
    room = UNPACKED_BYTES
    for member in members:
        page = member_bytes(raw, member, room)
        room -= len(page)
        if b"<!DOCTYPE" in page or b"<!ENTITY" in page:  # the standard of these files forbids both
            raise Refusal("fence.own_words", "fence.right_resave")
        yield member.filename, page


def member_bytes(raw: bytes, member: zipfile.ZipInfo, room: int) -> bytes:
    """One file of it, chunk by chunk, so that a size that lies is found out by counting."""
    if member.flag_bits & 1:
        raise Refusal("fence.locked", "fence.right_locked")
    start = member.header_offset
    if raw[start:start + 4] != b"PK\x03\x04":
        raise Refusal("fence.damaged", "fence.right_resave")
    start += 30 + sum(_LOCAL_HEADER.unpack(raw[start:start + 30]))
    packed = raw[start:start + member.compress_size]
    if member.compress_type == zipfile.ZIP_STORED:
        page = packed
    elif member.compress_type == zipfile.ZIP_DEFLATED:
        page = _inflated(packed, room, len(raw))
    else:
        raise Refusal("fence.packing", "fence.right_resave")
    if len(page) != member.file_size or zlib.crc32(page) != member.CRC:
        raise Refusal("fence.damaged", "fence.right_resave")
    return page


def _inflated(packed: bytes, room: int, all_packed: int) -> bytes:
    inflating, chunks, size = zlib.decompressobj(-zlib.MAX_WBITS), [], 0
    try:
        while not inflating.eof:
            chunk = inflating.decompress(packed, _CHUNK)
            if not chunk:
                break
            packed = inflating.unconsumed_tail
            chunks.append(chunk)
            size += len(chunk)
            require_room(size + UNPACKED_BYTES - room, all_packed)
    except zlib.error:
        raise Refusal("fence.damaged", "fence.right_resave") from None
    return b"".join(chunks)


def require_room(size: int, packed: int) -> None:
    if size > UNPACKED_BYTES or (size > RATIO_FROM_BYTES and size > UNPACKED_RATIO * packed):
        raise Refusal("fence.bomb", "fence.right_split", f"{size / MB:,.0f} MB", most=UNPACKED_BYTES // MB,
                      ratio=UNPACKED_RATIO)
