"""The cells of a laboratory's sheet before they are read: depths parted, ratings taken off, limits put in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.lab.cells import lab_cell
from rootcase.fieldbook.intake.lab.sample import depths_mm, matrix_of
from rootcase.fieldbook.intake.lists.checks import keep, leave
from rootcase.fieldbook.intake.lists.columns import Mapped, Theirs
from rootcase.fieldbook.intake.lists.entry import Entry
from rootcase.fieldbook.intake.lists.laboratory import Laboratory, depth_unit, other_matrix
from rootcase.fieldbook.intake.lists.troubles import Trouble
from rootcase.ground.words import say

_FOUND = ("number", "share")
"""Values a laboratory finds, as against those that tell a sample from others."""


def prepare_samples(rows: Sequence[Entry], mapped: Mapped, sheet: Laboratory,
                    units: Sequence[str]) -> Iterator[Trouble]:
    """Part the cells of every row, and yield what cannot be parted; units: of each column, as a row of units says."""
    for entry in rows:
        for theirs in mapped.columns:
            cell = entry.cells[theirs.at]
            if not cell.text:
                continue
            if theirs.target == "depth":
                entry.depth_mm = depths_mm(cell.text, depth_unit(theirs.header) or units[theirs.at])
                if entry.depth_mm is None:
                    yield _trouble(entry, theirs, "depth", say("lists.no_depth"), say("lists.right_depth"))
            elif theirs.target == "sample_matrix":
                if what := other_matrix(cell.text, sheet):
                    yield Trouble(entry.row.number, theirs.header, cell.text, "matrix", what, say("lists.right_matrix"))
                entry.cells[theirs.at] = Cell(matrix_of(cell.text) or cell.text)
            elif theirs.kind and theirs.kind.value_type in _FOUND:
                yield from _found(entry, theirs, cell)


def _found(entry: Entry, theirs: Theirs, cell: Cell) -> Iterator[Trouble]:
    """A value with the laboratory's own word for it beside, or none because it lies under a limit."""
    parted = lab_cell(cell.text)
    if parted.asked:
        entry.accepted.add(theirs.at)
        yield _trouble(entry, theirs, "not_detected", parted.asked)
        return
    entry.cells[theirs.at] = Cell(parted.text, cell.form)
    if parted.rating:
        entry.kept[say("lists.rating", name=theirs.header)] = parted.rating


def _trouble(entry: Entry, theirs: Theirs, cause: str, what: str, right: str = "") -> Trouble:
    text = entry.cells[theirs.at].text
    return Trouble(entry.row.number, theirs.header, text, cause, what, right, (keep(), leave()), typed=True, key=text)
