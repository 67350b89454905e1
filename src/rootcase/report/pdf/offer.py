"""An offer as a page for the client: options side by side, the work of each, three answers of one size."""

from __future__ import annotations

from typing import Any

from rootcase.ground.words import say
from rootcase.records.report import Author
from rootcase.report.lettering import fitted, printable
from rootcase.report.pdf.typeset import PAPER, typeset
from rootcase.report.text.offer import (
    BLOCKS,
    Shown,
    block,
    head_of,
    option_name,
    row_name,
    side_by_side,
    tax_line,
    title_of,
    trial_lines,
    valid_line,
    who_lines,
    work_lines,
)
from rootcase.report.text.offered_choice import chosen_against, since_signing
from rootcase.report.text.offered_trees import tree_lines

_BLANK = "_" * 22
_HEAD_PT, _HEAD_ROOM_PT = 8.5, 330.0


def offer_pdf(shown: Shown, author: Author) -> bytes:
    """Return the offer of a property."""
    offer, record, practice = shown.offer, shown.record, shown.practice
    heads, *rows = side_by_side(shown)
    trial = trial_lines(shown)
    document: dict[str, Any] = {
        "lang": say("report.language"), "paper": PAPER[record.property.system], "title": title_of(shown),
        "head": fitted(printable(f"{record.property.name} · {head_of(shown)}"), _HEAD_ROOM_PT, _HEAD_PT),
        "page": say("report.page"), "of": say("report.of"),
        "invented": say("report.invented") if record.property.invented else "",
        "letterhead": [part for part in (practice.name, practice.address, practice.reach) if part],
        "valid": valid_line(offer), "tax": tax_line(offer), "heads": heads, "rows": rows,
        "strong": [row_name("to_pay", offer), row_name("five_years", offer)],
        "options": [{"title": option_name(option),
                     "lines": [{"work": line.work, "cost": line.cost} for line in work_lines(option, shown)]}
                    for option in offer.options if option.work],
        "trees": {"title": say("offer.tree.title"), "lines": tree_lines(shown)},
        "since": since_signing(record, shown.changes),
        "against": {"title": say("offer.against.title"),
                    "lines": chosen_against(shown.signed, shown.labels, offer.currency)},
        "trial": {"title": trial[0], "lines": trial[1:]} if trial else None,
        "blocks": [{"title": say(f"offer.block.{name}"), "dotted": name == "not_known", "lines": block(name, shown)}
                   for name in BLOCKS],
        "boxes": [say(f"report.answer.{answer}") for answer in ("yes", "question", "no")],
        "lines": [say("offer.answer_name"), say("offer.answer_day"), say("offer.answer_option")],
        "foot": [say("report.foot.author", name=author.name or _BLANK, credential=author.credential or _BLANK),
                 *who_lines(shown)],
        "terms": {"title": say("offer.terms"), "text": [line for line in offer.terms.split("\n") if line.strip()]},
    }
    return typeset("offer.typ", document, offer.made_on)
