"""The papers of the rounds, drawn in other processes."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from rootcase.ground.quantity import System
from rootcase.report.pdf.shopping import shopping_pdf
from rootcase.report.text.shopping import shopping_told
from rootcase.services.shopping import shopping_of
from rootcase.services.week import proposed, whole_week
from rootcase.services.week_known import gather, names_of
from rootcase.web.elsewhere import Elsewhere


def shopping(at: Elsewhere, today: date, results: Path, system: System) -> bytes:
    """The shopping list of the week as it stands."""
    with at.opened() as book:
        found = gather(book, today)
        listed = shopping_of(book, found, whole_week(found.known, proposed(found.known, results)))
        return shopping_pdf(shopping_told(listed, names_of(found).jobs, system), book.practice(), system, today)
