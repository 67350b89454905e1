"""Taking in a property's filled field sheet, in another process."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rootcase.fieldbook.fieldbook import open_fieldbook

if TYPE_CHECKING:
    from rootcase.fieldbook.intake.importer import ImportResult


def take_sheet(path: Path, practice_id: str, property_id: str, file: Path, by: str) -> ImportResult:
    """What came of it."""
    from rootcase.services.observe import import_readings

    with open_fieldbook(path, practice_id=practice_id) as fieldbook:
        return import_readings(fieldbook.under(by), file, property_id)
