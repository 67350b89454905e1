"""Sheets with the analytes down the rows, turned so that the samples stand down the rows."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rootcase.fieldbook.intake.grid import Grid


def turned(grid: Grid) -> Grid | None:
    """The sheet with a row for each sample, or None where it does not have its analytes down the rows."""
    return None
