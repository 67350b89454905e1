"""The client's report: casework in, the bytes of a tagged PDF out, the same for the same casework."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.prove import Proof
from rootcase.records.report import Casework
from rootcase.report.lettering import fitted, printable
from rootcase.report.pdf import behind
from rootcase.report.pdf.course import course_page
from rootcase.report.pdf.front import first_page, second_page
from rootcase.report.pdf.laboratory import laboratory_pages
from rootcase.report.pdf.pests import pest_page
from rootcase.report.pdf.proof import proof_pages
from rootcase.report.pdf.tree_page import others_table, tree_page, weighed_table
from rootcase.report.pdf.typeset import PAPER, placed, typeset
from rootcase.report.pictures import draw_frontier, draw_plan, draw_section, draw_shares
from rootcase.report.pictures.plan import on_the_map
from rootcase.report.pictures.shares import worth_drawing
from rootcase.report.text.cases import TreeCase, tree_cases
from rootcase.report.text.ledger import Ledger, results_of
from rootcase.report.text.signed import arms_of

_HEAD_PT, _HEAD_ROOM_PT = 8.5, 380.0


def report_pdf(casework: Casework, record_line: str = "", proofs: Sequence[Proof] = ()) -> bytes:
    """Return the report of a property. record_line: the head of the record of what was put on, as its last line.
    proofs: of this property's own trials."""
    document, pictures = _document(casework, _ledger(casework))
    document["record"] = record_line
    document["tried"] = proof_pages(pictures, casework.record, proofs)
    return typeset("report.typ", document, casework.made_on, pictures)


def report_marks(casework: Casework) -> dict[str, str]:
    """Return the name of the result behind each small mark of this report, such as a12."""
    ledger = _ledger(casework)
    _document(casework, ledger)
    return ledger.named()


def _ledger(casework: Casework) -> Ledger:
    return Ledger(results_of(casework, tree_cases(casework)))


def _document(casework: Casework, ledger: Ledger) -> tuple[Any, dict[str, bytes]]:
    """Everything the template sets, in reading order, and the pictures it places."""
    record, cases = casework.record, tree_cases(casework)
    pictures: dict[str, bytes] = {}

    first = first_page(cases, casework, ledger) | _shares(pictures, casework)

    def place(number: int, case: TreeCase) -> dict[str, Any]:
        """The tree's section, where there is anything to draw."""
        if case.comparison is None or case.explanation is None:
            return {}
        picture = draw_section(record, case.tree.id, case.comparison, case.explanation, "column")
        return {"section": placed(pictures, f"section-{number}", picture)}

    ground, lagging = record.property, [case for case in cases if case.needs_page]
    rest = [case for case in cases if not case.needs_page]
    document: dict[str, Any] = {
        "lang": say("report.language"), "paper": PAPER[ground.system],
        "title": say("report.title", property=ground.name),
        "head": fitted(printable(say("report.head", property=ground.name, day=show_date(casework.made_on))),
                       _HEAD_ROOM_PT, _HEAD_PT),
        "page": say("report.page"), "of": say("report.of"),
        "invented": say("report.invented") if ground.invented else "",
        "first": first, "second": second_page(cases, casework, ledger),
        "trees": [tree_page(case, casework, ledger) | place(number, case) for number, case in enumerate(lagging, 1)],
        "others": others_table(rest, ledger) if rest else None,
        "course": course_page(casework), "weighed": weighed_table(lagging),
        "laboratory": laboratory_pages(casework, ledger),
        "pests": pest_page(casework),
        "fall_heads": [*_heads("points", "nine_in_ten"), ""],
        "remedy_heads": ["", "", *_heads("points", "nine_in_ten"),
                         say("report.column.cost_in", currency=casework.plan.currency), ""],
    }
    document["second"]["flows"] = not on_the_map(record)
    if record.trees:
        plan = draw_plan(record, casework.plan, "column", arms_of(casework))
        document["second"]["plan"] = placed(pictures, "plan", plan)
    if document["course"] and document["course"]["budgets"]:
        document["course"]["picture"] = placed(pictures, "frontier", draw_frontier(record, casework.plan, "column"))
    document["behind"] = _behind(casework, ledger)
    return document, pictures


def _shares(pictures: dict[str, bytes], casework: Casework) -> dict[str, Any]:
    """The trees against their kind."""
    drawn, note = worth_drawing(casework.comparison)
    if not drawn.trees:
        return {}
    found = {"picture": placed(pictures, "shares", draw_shares(casework.record, drawn))}
    return found | {"picture_note": note} if note else found



def _behind(casework: Casework, ledger: Ledger) -> dict[str, Any]:
    tables = behind.marks_and_readings(ledger, casework.record)
    return {
        "marks_title": say("report.behind.marks_title"), "marks_intro": say("report.behind.marks_intro"),
        "marks_heads": _heads("mark", "figure_of", "figure", "nine_in_ten", "from"),
        "readings_title": say("report.behind.readings_title"), "readings_intro": say("report.behind.readings_intro"),
        "readings_heads": _heads("row", "read_at", "kind", "when", "as_typed", "source"),
        "sources_title": say("report.behind.sources_title"), "sources_intro": say("report.behind.sources_intro"),
        "sources_heads": _heads("table", "what", "source", "version"),
        "sources": behind.sources(casework), "signs": behind.unprintable(casework.record), **tables}


def _heads(*columns: str) -> list[str]:
    return [say(f"report.column.{column}") for column in columns]
