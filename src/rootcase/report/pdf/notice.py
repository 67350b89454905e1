"""The notice for the people of a ground, on one sheet to be posted."""

from __future__ import annotations

from typing import Any

from rootcase.ground.words import say
from rootcase.records.apply.notice import Notice
from rootcase.report.lettering import printable
from rootcase.report.pdf.typeset import PAPER, typeset
from rootcase.report.text.notice import notice_told


def notice_pdf(notice: Notice) -> bytes:
    """Return the notice, with lines to write when it was posted."""
    told = notice_told(notice)
    document: dict[str, Any] = {
        "lang": say("report.language"), "paper": PAPER[notice.system], "page": say("report.page"),
        "of": say("report.of"), "title": told.title, "head": printable(notice.practice.name), "lede": told.lede,
        "invented": say("report.invented") if notice.record.property.invented else "",
        "parts": [{"title": say(key), "lines": list(lines)} for key, lines in (
            ("client.called_back", told.recalled), ("notice.planned", told.planned), ("notice.done", told.done),
            ("notice.to_do", told.to_do)) if lines],
        "label": told.label, "posted": told.posted, "by": list(told.by), "law": list(told.law),
        "foot": say("notice.foot"),
    }
    return typeset("notice.typ", document, notice.day)
