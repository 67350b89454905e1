"""What a laboratory's sheet says of the sample itself: its name, days, depth, and whether it is soil or leaf."""

from __future__ import annotations

from typing import Literal

from rootcase.fieldbook.intake.lab.words import Matrix

Identity = Literal["sample", "lab_and_number", "visit_day", "received", "depth", "sample_depth_top",
                   "sample_depth_bottom", "sample_matrix", "tree", "place"]


def identity(header: str) -> Identity | None:
    """Which fact of the sample a column holds; None where it holds none."""
    return None


def matrix_of(text: str) -> Matrix | None:
    """Soil or leaf, from a sample type as printed.

    """
    return None


def depths_mm(text: str, unit: str = "") -> tuple[float, float] | None:
    """Top and bottom of a depth as printed, such as "0-6 in"; None where it is no stretch of depth with a unit."""
    return None
