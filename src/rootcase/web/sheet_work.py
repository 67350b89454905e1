"""Taking in a property's filled field sheet, in another process."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rootcase.records.people import Bounds
from rootcase.web.elsewhere import Elsewhere

if TYPE_CHECKING:
    from rootcase.fieldbook.intake.importer import ImportResult


def take_sheet(at: Elsewhere, property_id: str, file: Path, by: str, within: Bounds) -> ImportResult:
    """What came of it."""
    from rootcase.services.observe import import_readings

    with at.opened() as fieldbook:
        return import_readings(fieldbook.under(by).within(within), file, property_id)
