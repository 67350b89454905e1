"""Lines of text of one width: headings on a ground line, wrapped paragraphs, columns."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

_BOLD, _QUIET, _END = "\x1b[1m", "\x1b[2m", "\x1b[0m"
_GROUND, _HAIR = "━", "─"


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
        """Cells set under each other, the columns named in `right` to their right edge; a wide last cell wraps."""
        if not rows:
            return
        count = len(rows[0])
        widths = [max(len(row[i]) for row in rows) for i in range(count)]
        last = max(10, self.width - sum(widths[:-1]) - 2 * (count - 1))
        for number, row in enumerate(rows):
            cells = [cell.rjust(widths[i]) if i in right else cell.ljust(widths[i]) for i, cell in enumerate(row[:-1])]
            ending = textwrap.wrap(row[-1], last, break_long_words=False) or [""]
            if count - 1 in right:
                ending = [ending[0].rjust(min(widths[-1], last))]
            lead = "  ".join(cells)
            self.line("  ".join([*cells, ending[0]]), quiet=head and number == 0)
            self._lines.extend(" " * (len(lead) + 2) + part for part in ending[1:])

    def _ends(self, left: str, right: str) -> None:
        room = self.width - len(left) - len(right)
        self._lines.append(self._dressed(left, bold=True, quiet=False) + (" " * max(room, 2) + right if right else ""))

    def _dressed(self, text: str, bold: bool, quiet: bool) -> str:
        if not self._colour or not (bold or quiet):
            return text
        return f"{_BOLD if bold else _QUIET}{text}{_END}"
