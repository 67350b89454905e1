"""What the whole app shares: which fieldbook it shows, the clock, where results are kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from threading import Lock

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.services import demo
from rootcase.services.run import Run

OWN = "own"
"""The practice of a fieldbook that one practice has to itself."""


@dataclass(slots=True)
class Desk:
    """One fieldbook's file and how it is worked on; every practice in it is reached by its id alone."""

    path: Path
    now: Callable[[], datetime]
    results: Path
    """The folder where results are kept."""
    demo: bool = False
    """Whether this is the invented fieldbook, which anyone at this machine may look at."""
    own_path: Path | None = None
    """Of the demo: where the practice's own fieldbook is made by the first-run page."""
    first_run_key: str = ""
    """What the terminal printed, and the first-run page asks for."""
    public_url: str = ""
    """The address that clients see; empty: the one a page was asked by."""
    _books: dict[str, Fieldbook] = field(default_factory=dict)
    _turn: Lock = field(default_factory=Lock)

    def book(self, practice_id: str) -> Fieldbook:
        """The open fieldbook of a practice."""
        with self._turn:
            if practice_id not in self._books:
                self._books[practice_id] = open_fieldbook(self.path, practice_id=practice_id, now=self.now)
            return self._books[practice_id]

    def today(self) -> date:
        """The day; the invented properties have their own."""
        return demo.DAY if self.demo else self.now().astimezone().date()

    def run(self) -> Run:
        """How this desk has its computing done."""
        return Run(self.today(), seed=demo.SEED if self.demo else 1, results=self.results)

    def close(self) -> None:
        with self._turn:
            for book in self._books.values():
                book.close()
            self._books.clear()
