"""The fieldbook's part about what is brought in whole: field sheets, lists, and taking the newest of them back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import copy
from datetime import datetime
from pathlib import Path
from typing import Self

from rootcase.fieldbook.events import Body, Event, ImportUndone
from rootcase.fieldbook.intake.importer import ImportResult, Written, import_sheet
from rootcase.fieldbook.intake.lists.listing import Given, Listing, import_list
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.undo import Undone, newest_import, undo_newest
from rootcase.records.people import UNBOUND, Bounds


class BroughtIn:
    """What can be brought in."""

    _store: Store
    _photos: Photos
    _now: Callable[[], datetime]
    _device: str
    _event: Callable[[Event, Body], Event]
    _within: Bounds = UNBOUND
    _by: str = ""

    def under(self, code: str) -> Self:
        """The same fieldbook; in what comes in by it the code of who brings it stands beside the device."""
        other = copy(self)
        other._device, other._by = f"{self._device} {code}".strip(), code
        return other

    def within(self, bounds: Bounds) -> Self:
        """The same fieldbook; by sheet and form it takes in what this person may tell."""
        other = copy(self)
        other._within = bounds
        return other

    def import_sheet(self, path: Path, *, property_id: str | None = None, rejects: Path | None = None,
                     written: Written | None = None, keep: bool = True, only: Sequence[str] = ()) -> ImportResult:
        """Take in a field sheet: an XLSX, a CSV, or a folder of CSVs. Good rows are kept, bad ones named and set aside.

        property_id: which property a sheet without a property page belongs to; needed where there are several.
        rejects: where the bad rows go; beside the sheet where it is not said. written: cells mended since the file was
        made. keep: False only says what would come of it. only: the pages that are read, where not all are.
        """
        return import_sheet(self._store, self._photos, path, now=self._now(), device=self._device,
                            property_id=property_id, rejects=rejects, written=written, keep=keep, only=only,
                            within=self._within, by=self._by)

    def import_list(self, path: Path, given: Given) -> Listing:
        """Say how a list that is not our field sheet is read; kept is what is ready, where `given` asks for it."""
        return import_list(self._store, path, given, now=self._now(), device=self._device)

    def newest_import(self, property_id: str) -> Undone | None:
        """The import of a property that would be undone next, if there is one."""
        with self._store.reading() as look:
            return newest_import(look.events(property_id))

    def undo_import(self, property_id: str, reason: str) -> Undone:
        """Undo the newest import of a property in one step; its events stay in the file and say nothing any more.

        Refused while something rests on it: a correction of one of its readings, or what another import or a phone said
        of a thing that only it had opened. Days of weather and contacts that came with it stay.
        """
        with self._store.writing() as turn:
            return undo_newest(turn, property_id, lambda note: self._event(
                note, ImportUndone(slot=note.body.slot, supersedes=note.id, reason=reason)))
