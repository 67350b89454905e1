"""The two pages of the property: the finding, four blocks in plain words, what it means, the answer."""

from __future__ import annotations

from typing import Any

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.report import Casework
from rootcase.report.text import whole_property
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.ledger import Ledger
from rootcase.report.text.meaning import meaning
from rootcase.report.text.naming import month_of, names
from rootcase.report.text.signed import mark_of_plan, mark_shown, signature_of
from rootcase.report.text.statements import Statement

Page = dict[str, Any]
_BLANK = "_" * 22


def first_page(cases: tuple[TreeCase, ...], casework: Casework, ledger: Ledger) -> Page:
    """Return the finding and the four blocks; the last one, what is not known, stands under a dotted line."""
    blocks = [
        ("found", whole_property.found(cases, casework)), ("proposed", whole_property.proposed(cases, casework)),
        ("if_nothing", whole_property.if_nothing(cases)), ("not_known", whole_property.not_known(cases, casework)),
    ]
    return {
        "headline": whole_property.headline(cases), "causes": whole_property.causes(cases),
        "sure": whole_property.sureness(cases),
        "caption": say("report.first.caption"), "caption_marks": ledger.marks(["property/shares"]),
        "blocks": [{"title": say(f"report.heading.{name}"), "dotted": name == "not_known",
                    "lines": lines(statements, ledger)} for name, statements in blocks],
    }


def second_page(cases: tuple[TreeCase, ...], casework: Casework, ledger: Ledger) -> Page:
    """Return what it means for the client, the three answers of one weight, and who stands behind the page."""
    author = casework.author
    until = casework.made_on.replace(year=casework.made_on.year + 1, day=1)
    read_on = max((visit.day for visit in casework.record.visits), default=casework.made_on)
    trees = names([case.tree.label for case in cases])
    return {
        "title": say("report.heading.meaning"),
        "rows": [{"title": title, **line(statement, ledger)} for title, statement in meaning(cases, casework)],
        "plan_title": say("report.heading.plan_picture"),
        "boxes": [say(f"report.answer.{answer}") for answer in ("yes", "question", "no")],
        "lines": [say("report.sign.owner"), say("report.sign.day"),
                  say("report.sign.plan", mark=mark_shown(mark_of_plan(casework)))],
        "foot": [
            say("report.foot.author", name=author.name or _BLANK, credential=author.credential or _BLANK),
            *filter(None, [signature_of(casework)]),
            say("report.foot.scope", trees=trees, day=show_date(read_on), until=month_of(until)),
            say("report.foot.limits"), say("report.foot.marks"),
        ],
    }


def lines(statements: list[Statement], ledger: Ledger) -> list[dict[str, Any]]:
    return [line(statement, ledger) for statement in statements]


def line(statement: Statement, ledger: Ledger) -> dict[str, Any]:
    """A sentence and the marks of the results it speaks of."""
    return {"text": statement.text, "marks": ledger.bundle(statement.text, statement.about)}
