"""Report: the files a client gets."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import chain, count

from rootcase.records.observe import Property, PropertyRecord
from rootcase.records.prove import Proof
from rootcase.records.report import Casework
from rootcase.report.casework_json import casework_json
from rootcase.report.pdf.report import report_pdf
from rootcase.report.pictures import (
    Picture,
    draw_frontier,
    draw_plan,
    draw_remedies,
    draw_section,
    draw_shares,
    draw_shoots,
    draw_waterfall,
)
from rootcase.report.text.signed import arms_of


def report_files(casework: Casework, record_line: str = "", proofs: Sequence[Proof] = ()) -> dict[str, bytes]:
    """Everything that is handed over, by its path inside the report's folder. record_line, proofs: see `report_pdf`."""
    pictures = {f"pictures/{name}.svg": picture.svg for name, picture in pictures_of(casework).items()}
    return {"report.pdf": report_pdf(casework, record_line, proofs), "casework.json": casework_json(casework),
            **pictures}


def folder_of(ground: Property) -> str:
    """A property's name as the name of a folder."""
    return _plain(ground.name) or "property"


def pictures_of(casework: Casework) -> dict[str, Picture]:
    """Every picture by its name: three of the property, four of each compared tree."""
    record, comparison = casework.record, casework.comparison
    pictures = {"shares": draw_shares(record, comparison),
                "plan": draw_plan(record, casework.plan, arms=arms_of(casework)),
                "frontier": draw_frontier(record, casework.plan)}
    names = _file_names(record)
    explained = {explanation.tree_id: explanation for explanation in casework.explanations}
    prescribed = {prescription.tree_id: prescription for prescription in casework.plan.trees}
    for compared in comparison.trees:
        tree_id, tree = compared.tree_id, names[compared.tree_id]
        explanation = explained[tree_id]
        pictures[f"{tree}-shoots"] = draw_shoots(record, tree_id, compared)
        pictures[f"{tree}-section"] = draw_section(record, tree_id, compared, explanation)
        pictures[f"{tree}-waterfall"] = draw_waterfall(record, tree_id, compared, explanation)
        pictures[f"{tree}-remedies"] = draw_remedies(record, tree_id, compared, explanation, prescribed[tree_id])
    return pictures


def _file_names(record: PropertyRecord) -> dict[str, str]:
    """Each tree's label as the beginning of a file name: letters, figures and hyphens, no two the same."""
    names: dict[str, str] = {}
    for tree in record.trees:
        plain = _plain(tree.label) or "tree"
        taken = {name.casefold() for name in names.values()}
        numbered = (f"{plain}-{number}" for number in count(2))
        names[tree.id] = next(name for name in chain([plain], numbered) if name.casefold() not in taken)
    return names


def _plain(name: str) -> str:
    return re.sub(r"[^\w.]+", "-", name).strip("-.")
