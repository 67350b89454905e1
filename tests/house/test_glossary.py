"""The glossary is what its generator writes, and no unit is missing from it."""

from __future__ import annotations

import ast
import runpy
from pathlib import Path

CHECKOUT = Path(__file__).parents[2]
GENERATOR = runpy.run_path(str(CHECKOUT / "docs" / "make_glossary.py"))


def test_the_glossary_is_up_to_date() -> None:
    written = (CHECKOUT / "docs" / "glossary.md").read_text(encoding="utf-8")
    assert written == GENERATOR["page"](), "run `python docs/make_glossary.py`"


def test_every_number_in_the_records_carries_a_unit_or_is_a_pure_number() -> None:
    """A float without a unit in its name says beside it what it counts."""
    silent = []
    for file in (CHECKOUT / "src" / "rootcase" / "records").rglob("*.py"):
        for record in ast.parse(file.read_text(encoding="utf-8")).body:
            if isinstance(record, ast.ClassDef) and record.name != "Estimate":
                for field, following in zip(record.body, [*record.body[1:], None], strict=True):
                    if isinstance(field, ast.AnnAssign) and ast.unparse(field.annotation) in {"float", "float | None"}:
                        name = ast.unparse(field.target)
                        if not GENERATOR["unit"](name) and not GENERATOR["meaning"](following):
                            silent.append(f"{file.stem}.{record.name}.{name}")
    assert silent == []
