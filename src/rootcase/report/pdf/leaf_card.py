"""The card that leaves are photographed on, to be printed at its size."""

from __future__ import annotations

from datetime import date

from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.report.pdf.typeset import PAPER, typeset
from rootcase.tables.load import table


def leaf_card_pdf(system: System, made_on: date) -> bytes:
    """Return the card on one sheet, with what to do with it."""
    parts: dict[str, list[dict[str, object]]] = {"card": [], "marker": [], "patch": [], "bar": []}
    for row in table("photo/card").rows:
        parts[row["part"]].append({"left": row["left_mm"], "top": row["top_mm"], "width": row["width_mm"],
                                   "height": row["height_mm"], "code": row["code"] or ""})
    document = {"lang": say("report.language"), "paper": PAPER[system], "title": say("photo.card.title"),
                "card": parts["card"][0], "markers": parts["marker"], "patches": parts["patch"],
                "bar": parts["bar"][0], "length": say("photo.card.bar"),
                "steps": say("photo.card.steps").split(" | "), "foot": say("photo.card.patches")}
    return typeset("leaf_card.typ", document, made_on)
