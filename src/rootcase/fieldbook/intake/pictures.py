"""Pictures that a sheet's cells name: looked for beside the sheet, looked at inside the fence, kept with the import.

A cell names a file and no way to one. HEIC is known by its first bytes.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from rootcase.fieldbook.events import Body, ReadingTaken
from rootcase.fieldbook.intake.desk import Desk
from rootcase.fieldbook.intake.fence import each_fenced
from rootcase.fieldbook.intake.foreign.limits import FILE_BYTES
from rootcase.fieldbook.photos import Photos, ending_of, mark_of
from rootcase.ground.errors import FileError
from rootcase.ground.words import say
from rootcase.tables.readings import kinds

_START = 16


def lay_pictures(desk: Desk) -> None:
    """Lay the pictures that drafts name on the desk; where there is none the name stays, with a doubt."""
    if desk.folder is None:
        return
    named = {slot: draft for slot, draft in desk.drafts.items() if _names_picture(draft)}
    paths = {draft.choice: desk.folder / draft.choice for draft in named.values() if draft.choice}
    why = {name: _no_file(desk.folder, name) for name in paths}
    why |= _no_picture({name: path for name, path in paths.items() if not why[name]})
    for slot, draft in named.items():
        name = draft.choice or ""
        if why[name]:
            desk.drafts[slot] = replace(draft, doubts=(*draft.doubts, why[name]))
        else:
            mark = mark_of(paths[name])
            desk.pictures[mark] = paths[name]
            desk.drafts[slot] = replace(draft, attributes={**draft.attributes, "photo": mark})


def keep_pictures(pictures: Mapping[str, Path], photos: Photos) -> None:
    """Keep what was laid on the desk, before any reading that names it is kept."""
    for mark, path in pictures.items():
        with path.open("rb") as file:
            kept = photos.keep(file)
        if kept != mark:
            photos.drop(kept)
            raise FileError(say("pictures.changed"), where=str(path), right=say("pictures.again"))


def _names_picture(draft: Body) -> bool:
    kind = kinds().get(draft.kind) if isinstance(draft, ReadingTaken) else None
    return kind is not None and kind.value_type == "photo" and isinstance(draft, ReadingTaken) and bool(draft.choice)


def _no_file(folder: Path, name: str) -> str:
    """Why a name names no file of this folder; empty where it does."""
    if any(sign in name for sign in "/\\:\x00") or name in (".", ".."):
        return say("pictures.a_way", name=name)
    try:
        form = os.lstat(folder / name)
    except OSError:
        return say("pictures.not_beside", name=name)
    if not stat.S_ISREG(form.st_mode):
        return say("pictures.a_link", name=name)
    return say("pictures.too_large", name=name, most=FILE_BYTES // 10**6) if form.st_size > FILE_BYTES else ""


def _no_picture(paths: Mapping[str, Path]) -> dict[str, str]:
    """Why a file is no picture that is taken; all are looked at by one process."""
    asked = {name: path for name, path in paths.items() if not _is_heic(path)}
    answers = zip(asked, each_fenced("photo", list(asked.values())), strict=True)
    return {name: f"{name}: {found.what}" for name, found in answers if isinstance(found, FileError)}


def _is_heic(path: Path) -> bool:
    with path.open("rb") as file:
        return ending_of(file.read(_START)) == "heic"
