"""What a laboratory's cell says beside its number: under the limit, and the laboratory's own rating."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LabCell:
    """A cell taken apart."""

    text: str
    """What is read as the value; empty where the cell holds none."""
    rating: str = ""
    """The laboratory's own word, such as L or Optimum; kept, never read as a value."""
    said: str = ""
    """What was decided; to be told back."""
    asked: str = ""
    """What has to be asked before the cell is a value; the text is kept until then."""


def lab_cell(text: str, limit: str = "") -> LabCell:
    """Part a cell into value and rating; limit: the detection limit as the sheet prints it, if it does."""
    return LabCell(text)
