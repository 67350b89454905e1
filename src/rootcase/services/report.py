"""Report: the whole casework of a property, and the files a client gets."""

from __future__ import annotations

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.observe import Property
from rootcase.records.report import Author, Casework
from rootcase.report.casework_json import casework_json
from rootcase.report.pdf.report import report_pdf
from rootcase.report.pictures.all import pictures_of
from rootcase.science.tree.engine import ENGINE
from rootcase.services.compare import compare_property
from rootcase.services.explain import explain_property, weather_for
from rootcase.services.prescribe import prescribe_property
from rootcase.services.run import Run

BLANK = Author()
LEVEL = 0.9
"""The one interval level of every screen and page: nine in ten."""


def casework_of(fieldbook: Fieldbook, ground: Property, run: Run, author: Author = BLANK) -> Casework:
    """Compare, explain and prescribe for a property."""
    record = fieldbook.record(ground.id)
    weather = weather_for(fieldbook, ground, run)
    comparison = compare_property(record, run)
    explanations = explain_property(record, comparison, weather, run)
    plan = prescribe_property(fieldbook, record, comparison, explanations, weather, run)
    return Casework(record, comparison, explanations, plan, LEVEL, run.draws, run.seed, ENGINE, run.today, author)


def report_files(casework: Casework) -> dict[str, bytes]:
    """Everything that is handed over, by its path inside the report's folder."""
    files = {f"pictures/{name}.svg": picture.svg for name, picture in pictures_of(casework).items()}
    return {"report.pdf": report_pdf(casework), "casework.json": casework_json(casework), **files}
