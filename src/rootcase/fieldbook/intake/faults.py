"""What is wrong with a cell or a row, in one line, and the row it stands in."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.ground.errors import FileError, RootcaseError
from rootcase.ground.words import say


class Refused(RootcaseError):
    """A cell or a row that cannot be taken; the rest of the sheet goes on."""


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that has to be mended."""

    sheet: str
    row: int
    column: str
    """Empty where the whole row is at fault."""
    value: str
    what: str
    right: str = ""
    cells: tuple[tuple[str, str], ...] = ()
    """Columns of the row that are at fault together, each with what stands there."""

    @property
    def where(self) -> str:
        if self.column:
            return say("intake.cell", sheet=self.sheet, row=self.row, column=self.column)
        return say("intake.row", sheet=self.sheet, row=self.row)

    @property
    def line(self) -> str:
        """One line: where, what, the value, what would be right."""
        return str(RootcaseError(self.what, where=self.where, value=self.value, right=self.right))

    @property
    def note(self) -> str:
        """The same inside its own row, where sheet and row are plain to see."""
        return str(RootcaseError(self.what, where=self.column, value=self.value, right=self.right))

    @property
    def beside(self) -> str:
        """The same beside its own field, whose name stands there."""
        return str(RootcaseError(self.what, value=self.value, right=self.right))


class PageRefused(FileError):
    """A page of which nothing can be taken because of one fault."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault.what, where=fault.where, value=fault.value, right=fault.right)
        self.fault = fault
