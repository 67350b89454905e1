"""What the app has done in other processes: plain functions of a fieldbook's file, a practice and a property."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.services.kept import make_casework
from rootcase.services.run import Progress, Run


def casework(progress: Progress, path: Path, practice_id: str, property_id: str, run: Run) -> None:
    """Think a property through, and keep that; pages find it on the shelf."""
    with open_fieldbook(path, practice_id=practice_id) as fieldbook:
        ground = fieldbook.record(property_id).property
        make_casework(fieldbook, ground, replace(run, progress=progress))
