"""A folder that came as one zip: its files, side by side, by count and not by what it says of itself."""

from __future__ import annotations

import io
import zipfile
from base64 import b64encode

from rootcase.fieldbook.intake.foreign.limits import MEMBERS, UNPACKED_BYTES, Refusal
from rootcase.fieldbook.intake.foreign.package import member_bytes, require_room

_NOT_OURS = ("__macosx", ".ds_store", "thumbs.db", "desktop.ini")
"""What systems put beside the files of a folder."""


def folder_files(raw: bytes) -> list[tuple[str, str]]:
    """Name and bytes, in base 64, of each file; Refusal where they are too many, too large, or not side by side."""
    try:
        members = [each for each in zipfile.ZipFile(io.BytesIO(raw)).infolist() if not each.is_dir() and not _is_left(
            each.filename)]
    except (zipfile.BadZipFile, ValueError, NotImplementedError):
        raise Refusal("fence.no_zip", "fence.right_zip") from None
    if len(members) > MEMBERS:
        raise Refusal("fence.many_members", "fence.right_zip", f"{len(members):,}", most=f"{MEMBERS:,}")
    require_room(sum(member.file_size for member in members), len(raw))
    folders = {each.filename.replace("\\", "/").rpartition("/")[0] for each in members}
    if len(folders) > 1 or any("/" in folder for folder in folders):
        raise Refusal("fence.deep_folder", "fence.right_zip")
    found: dict[str, str] = {}
    room = UNPACKED_BYTES
    for member in members:
        content = member_bytes(raw, member, room)
        room -= len(content)
        name = member.filename.replace("\\", "/").rpartition("/")[2]
        if name in found or name in (".", ".."):
            raise Refusal("fence.damaged", "fence.right_zip")
        found[name] = b64encode(content).decode("ascii")
    return list(found.items())


def _is_left(name: str) -> bool:
    parts = name.lower().replace("\\", "/").split("/")
    return any(part in _NOT_OURS for part in parts) or parts[-1].startswith("._")
