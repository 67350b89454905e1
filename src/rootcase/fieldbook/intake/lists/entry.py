"""A row of a list on its way in, and all of them with what is wrong with some."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from rootcase.fieldbook.intake.grid import Cell, Row
from rootcase.fieldbook.intake.lists.troubles import Trouble


@dataclass
class Entry:
    """One row of the list on its way in."""

    row: Row
    cells: dict[int, Cell]
    """By their column; mended."""
    written: dict[int, Cell] = field(default_factory=dict)
    """What was written in the place of the file's text, by column."""
    label: str = ""
    place: str = ""
    ground: str = ""
    day: date | None = None
    stems: dict[int, tuple[str, ...]] = field(default_factory=dict)
    """Trunks that stood in one cell, for the column they stood in."""
    kept: dict[str, str] = field(default_factory=dict)
    """Texts that are no values of ours, by their header."""
    depth_mm: tuple[float, float] | None = None
    """Top and bottom of a sample."""
    accepted: set[int] = field(default_factory=set)
    """Columns whose text is not checked: it is taken as it stands, or asked about already."""
    position: tuple[float, float] | None = None
    stem: int = 0
    """Which of several trunks of the tree its diameter is of; 0 where it has but one."""
    joins: bool = False
    """Whether it is one more row of the tree that bears its label."""
    has_place: bool = False
    """Whether the row itself names its place."""
    tree: str = ""
    """Label of the tree a sample was taken at."""


@dataclass
class Entries:
    """All rows, and what is wrong with some of them."""

    rows: list[Entry]
    troubles: list[Trouble] = field(default_factory=list)
    told: list[str] = field(default_factory=list)

    def ready(self) -> list[Entry]:
        bad = {trouble.row for trouble in self.troubles}
        return [entry for entry in self.rows if entry.row.number not in bad]
