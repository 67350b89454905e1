"""Taking in a property's filled field sheet, in another process."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.records.people import Bounds

if TYPE_CHECKING:
    from rootcase.fieldbook.intake.importer import ImportResult


def take_sheet(path: Path, practice_id: str, property_id: str, file: Path, by: str, within: Bounds,
               now: datetime) -> ImportResult:
    """What came of it; now: by the clock of the desk."""
    from rootcase.services.observe import import_readings

    with open_fieldbook(path, practice_id=practice_id, now=lambda: now) as fieldbook:
        return import_readings(fieldbook.under(by).within(within), file, property_id)
