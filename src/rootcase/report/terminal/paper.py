"""Lines of text of one width: headings on a ground line, wrapped paragraphs, columns."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from itertools import zip_longest

_BOLD, _QUIET, _END = "\x1b[1m", "\x1b[2m", "\x1b[0m"
_GROUND, _HAIR = "━", "─"
_GAP, _NARROWEST = 2, 6


class Paper:
    """Collects lines; colour only thickens or thins letters, it carries no meaning."""

    def __init__(self, width: int, colour: bool) -> None:
        self.width, self._colour = width, colour
        self._lines: list[str] = []

    def text(self) -> str:
        """Everything written, a newline at its end."""
        return "\n".join(line.rstrip() for line in self._lines) + "\n"

    def gap(self) -> None:
        if self._lines and self._lines[-1]:
            self._lines.append("")

    def title(self, left: str, right: str = "") -> None:
        """A heading that stands on the ground line."""
        self._ends(left, right)
        self._lines.append(_GROUND * self.width)

    def heading(self, left: str, right: str = "") -> None:
        self.gap()
        self._ends(left, right)
        self._lines.append(_HAIR * self.width)

    def say(self, text: str, indent: int = 0, bold: bool = False, quiet: bool = False) -> None:
        """A paragraph; nothing where there is nothing to say."""
        for line in textwrap.wrap(text, self.width - indent, break_long_words=False, break_on_hyphens=False):
            self._lines.append(" " * indent + self._dressed(line, bold, quiet))

    def item(self, mark: str, text: str) -> None:
        """A paragraph that hangs from its mark."""
        for number, line in enumerate(textwrap.wrap(text, self.width - len(mark) - 1, break_long_words=False)):
            self._lines.append(f"{mark if number == 0 else ' ' * len(mark)} {line}")

    def line(self, text: str, bold: bool = False, quiet: bool = False) -> None:
        self._lines.append(self._dressed(text, bold, quiet))

    def columns(self, rows: Sequence[Sequence[str]], right: Sequence[int] = (), head: bool = False) -> None:
        """Cells under each other, the columns named in `right` to their right edge; the widest column wraps first."""
        if not rows:
            return
        widths = [max(1, *(len(row[i]) for row in rows)) for i in range(len(rows[0]))]
        while sum(widths) + 2 * (len(widths) - 1) > self.width and max(widths) > _NARROWEST:
            widths[widths.index(max(widths))] -= 1
        for number, row in enumerate(rows):
            cells = [textwrap.wrap(cell, width) or [""] for cell, width in zip(row, widths, strict=True)]
            for parts in zip_longest(*cells, fillvalue=""):
                shown = (part.rjust(width) if i in right else part.ljust(width)
                         for i, (part, width) in enumerate(zip(parts, widths, strict=True)))
                self.line("  ".join(shown).rstrip(), quiet=head and number == 0)

    def _ends(self, left: str, right: str) -> None:
        room = self.width - len(left) - len(right)
        if right and room >= _GAP:
            self._lines.append(self._dressed(left, bold=True, quiet=False) + " " * room + right)
            return
        self.say(left, bold=True)
        self.say(right)

    def _dressed(self, text: str, bold: bool, quiet: bool) -> str:
        if not self._colour or not (bold or quiet):
            return text
        return f"{_BOLD if bold else _QUIET}{text}{_END}"
