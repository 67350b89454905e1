"""Nothing lost: copies of the whole file, how old the newest is, and back from one."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from rootcase.fieldbook.backup.keeping import FORMAT, BackedUp
from rootcase.fieldbook.backup.restoring import BroughtBack, restore_backup
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.own_zip import form_of
from rootcase.ground.errors import FileError
from rootcase.ground.words import say

WARNED_AFTER_DAYS = 7
"""JUDGEMENT: a week's readings can be taken again, a month's cannot."""


def back_up(fieldbook: Fieldbook, folder: Path) -> BackedUp:
    """Copy all of the file, every practice in it, into one new file of a folder, which is made where it is not there,
    and read it back."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise FileError(say("fieldbook.no_folder"), where=str(folder), value=error.strerror or "") from None
    return fieldbook.keeping.back_up(folder)


def is_backup(path: Path) -> bool:
    """Whether a file is a backup, by what it says of itself."""
    return form_of(path) == FORMAT


def bring_back(path: Path, fieldbook: Path) -> BroughtBack:
    """Make a fieldbook of a backup, where none is yet."""
    return restore_backup(path, fieldbook)


def days_since_backup(fieldbook: Fieldbook, now: datetime) -> int | None:
    """Whole days without a backup: since the newest, else since the first thing came in; None where nothing has."""
    keeping = fieldbook.keeping
    since = keeping.newest_backup() or keeping.first_arrival()
    return None if since is None else max((now - since).days, 0)


def days_overdue(fieldbook: Fieldbook, now: datetime) -> int | None:
    """Whole days without a backup where they are too many; None where they are not."""
    days = days_since_backup(fieldbook, now)
    return days if days is not None and days >= WARNED_AFTER_DAYS else None
