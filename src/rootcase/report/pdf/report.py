"""The client's report: casework in, the bytes of a tagged PDF out, the same for the same casework."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, time
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, cast

import typst

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.report import Casework
from rootcase.report.lettering import FAMILY, fitted, printable, wide_signs
from rootcase.report.pdf import behind
from rootcase.report.pdf.front import first_page, second_page
from rootcase.report.pdf.laboratory import laboratory_pages
from rootcase.report.pdf.ledger import Ledger, results_of
from rootcase.report.pdf.pests import pest_page
from rootcase.report.pdf.tree_page import others_table, tree_page, weighed_table
from rootcase.report.pictures import draw_plan, draw_section, draw_shares
from rootcase.report.svg import Picture
from rootcase.report.text.cases import TreeCase, tree_cases
from rootcase.report.text.signed import arms_of
from rootcase.report.wide_face import WIDE_FAMILY, wide_part

_PAPER = {"us": "us-letter", "metric": "a4"}
_HEAD_PT, _HEAD_ROOM_PT = 8.5, 380.0
_MOST_DRAWN, _DRAWN = 24, 12
"""Up to how many trees the first page draws, and how many of more. JUDGEMENT: two rows are read at a glance."""
_STANDARD = ["ua-1"]
"""PDF/UA-1: tagged, readable aloud, every picture with its words."""


class ReportError(RuntimeError):
    """The typesetter warned: the template is wrong, not the casework."""


def report_pdf(casework: Casework) -> bytes:
    """Return the report of a property.

    What people typed goes to the typesetter as data, never as markup.
    """
    document, pictures = _document(casework)
    template = files("rootcase.report.pdf")
    inputs = {name: template.joinpath(name).read_bytes() for name in ("report.typ", "parts.typ")}
    inputs["main.typ"] = inputs.pop("report.typ")
    inputs |= pictures | {"document.json": json.dumps(document, ensure_ascii=False).encode()}
    made = datetime.combine(casework.made_on, time(12), UTC)
    with TemporaryDirectory(prefix="rootcase-") as folder:
        if wide := document["wide"]:
            Path(folder, "wide.ttf").write_bytes(wide_part(wide))
        pdf, warnings = cast(Any, typst).compile_with_warnings(
            inputs, format="pdf", pdf_standards=_STANDARD, ignore_system_fonts=True,
            font_paths=[str(files("rootcase.report").joinpath("fonts")), folder], timestamp=int(made.timestamp()))
    if warnings:
        raise ReportError("; ".join(str(warning) for warning in warnings))
    return bytes(pdf)


def _document(casework: Casework) -> tuple[Any, dict[str, bytes]]:
    """Everything the template sets, in reading order, and the pictures it places."""
    record, cases = casework.record, tree_cases(casework)
    ledger = Ledger(results_of(casework, cases))
    pictures: dict[str, bytes] = {}

    first = first_page(cases, casework, ledger) | _shares(pictures, casework)

    def place(number: int, case: TreeCase) -> dict[str, Any]:
        """The tree's section, where there is anything to draw."""
        if case.comparison is None or case.explanation is None:
            return {}
        picture = draw_section(record, case.tree.id, case.comparison, case.explanation, "column")
        return {"section": _placed(pictures, f"section-{number}", picture)}

    ground, lagging = record.property, [case for case in cases if case.needs_page]
    rest = [case for case in cases if not case.needs_page]
    document: dict[str, Any] = {
        "lang": say("report.language"), "paper": _PAPER[ground.system],
        "title": say("report.title", property=ground.name),
        "head": fitted(printable(say("report.head", property=ground.name, day=show_date(casework.made_on))),
                       _HEAD_ROOM_PT, _HEAD_PT),
        "page": say("report.page"), "of": say("report.of"),
        "invented": say("report.invented") if ground.invented else "",
        "first": first, "second": second_page(cases, casework, ledger),
        "trees": [tree_page(case, casework, ledger) | place(number, case) for number, case in enumerate(lagging, 1)],
        "others": others_table(rest, ledger) if rest else None,
        "weighed": weighed_table(lagging), "laboratory": laboratory_pages(casework, ledger),
        "pests": pest_page(casework),
        "fall_heads": [*_heads("points", "nine_in_ten"), ""],
        "remedy_heads": ["", "", *_heads("points", "nine_in_ten"),
                         say("report.column.cost_in", currency=casework.plan.currency), ""],
    }
    if record.trees:
        plan = draw_plan(record, casework.plan, "column", arms_of(casework))
        document["second"]["plan"] = _placed(pictures, "plan", plan)
    document["behind"] = _behind(casework, ledger)
    printed = _printed(document)
    shown = json.dumps(printed, ensure_ascii=False) + b"".join(pictures.values()).decode()
    printed["wide"] = wide_signs(shown)
    printed["fonts"] = [FAMILY, WIDE_FAMILY] if printed["wide"] else [FAMILY]
    return printed, pictures


def _shares(pictures: dict[str, bytes], casework: Casework) -> dict[str, Any]:
    """The trees against their kind; of very many only those furthest behind, and it says so."""
    comparison = casework.comparison
    if not comparison.trees:
        return {}
    if len(comparison.trees) <= _MOST_DRAWN:
        return {"picture": _placed(pictures, "shares", draw_shares(casework.record, comparison))}
    read = [(line.share.mean, line.tree_id, line) for line in comparison.trees if line.share]
    if not read:
        return {}
    worst = replace(comparison, trees=tuple(line for _, _, line in sorted(read, key=lambda each: each[:2])[:_DRAWN]))
    note = say("report.first.worst", count=_DRAWN) if len(read) > _DRAWN else say(
        "report.first.read", unread=len(comparison.trees) - len(read))
    return {"picture": _placed(pictures, "shares", draw_shares(casework.record, worst)), "picture_note": note}


def _placed(pictures: dict[str, bytes], name: str, picture: Picture) -> dict[str, Any]:
    """Put a picture beside the template and return where it lies and its words."""
    pictures[f"{name}.svg"] = picture.bare
    return {"path": f"{name}.svg", "alt": picture.alt, "width": picture.width, "height": picture.height}


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


def _printed(value: Any) -> Any:
    """The document with every sign that no face of ours draws written as its code point."""
    if isinstance(value, dict):
        return {key: _printed(part) for key, part in value.items()}
    if isinstance(value, list):
        return [_printed(part) for part in value]
    return printable(value) if isinstance(value, str) else value
