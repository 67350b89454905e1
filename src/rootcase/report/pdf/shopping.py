"""The shopping list of the week on one page."""

from __future__ import annotations

from datetime import date
from typing import Any

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.observe import Practice
from rootcase.report.lettering import printable
from rootcase.report.pdf.typeset import PAPER, typeset
from rootcase.report.text.figures import sentence
from rootcase.report.text.shopping import ShoppingRow, ShoppingTold


def shopping_pdf(shown: ShoppingTold, practice: Practice, system: System, made_on: date) -> bytes:
    """Return the list, with room to write what the yard has."""
    document: dict[str, Any] = {
        "lang": say("report.language"), "paper": PAPER[system], "page": say("report.page"), "of": say("report.of"),
        "title": shown.title, "head": printable(practice.name), "finding": shown.finding,
        "heads": [say(f"shopping.{head}_head") for head in ("product", "total", "have", "buy")],
        "rows": [[sentence(row.name), row.total, _under(row, shown.days)] for row in shown.rows],
        "batches_title": say("shopping.batches"), "batches": list(shown.batches), "notes": list(shown.notes),
        "foot": say("shopping.foot", day=show_date(made_on)),
    }
    return typeset("shopping.typ", document, made_on)


def _under(row: ShoppingRow, days: tuple[str, ...]) -> str:
    """By day, the containers, and what is not known."""
    by_day = [say("shopping.on", day=day, amount=cell) for day, cell in zip(days, row.cells, strict=True) if cell]
    return ". ".join(part for part in ("; ".join(by_day), row.carried, sentence(row.note)) if part)
