"""Rows of published figures: read as they were copied, answered by our functions, compared as their source allows.

A file of rows has the columns topic, case, inputs_json, quantity, expected, unit, tolerance, source, how_known.
A `;` in quantity, expected and unit parts several values, in expected a JSON list as well. `tolerance` is absolute and
in the row's unit, or `abs:` or `rel:` stands before it; `exact` means equal; a word in DOCUMENTATION means that the row
is told to people and not asserted. A test module answers every other row of a file: a row nobody answers is a failure.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
DOCUMENTATION = {"range", "bound", "approx", "disagrees", "not offered"}

Answer = float | str | tuple[float, ...]
Answers = Mapping[tuple[str, str], Callable[["Row"], Answer]]
"""By topic and quantity: what our function says to a row, in the row's unit."""


@dataclass(frozen=True, slots=True)
class Row:
    """One published figure."""

    line: int
    topic: str
    case: str
    inputs: Mapping[str, Any]
    quantity: str
    expected: str
    unit: str
    tolerance: str
    source: str
    how_known: str

    @property
    def is_documentation(self) -> bool:
        return self.tolerance in DOCUMENTATION

    @property
    def figures(self) -> list[float]:
        return [float(value) for value in self.expected.strip("[]").replace(",", ";").split(";")]

    @property
    def name(self) -> str:
        memory = " (memory)" if "memory" in self.how_known else ""
        return f"{self.line} {self.topic}: {self.case}, {self.quantity}{memory}"


def read(file: str) -> list[Row]:
    """The rows of a file of this folder, in its order."""
    with (HERE / file).open(encoding="utf-8", newline="") as lines:
        return [Row(number, row["topic"], row["case"], json.loads(row["inputs_json"]), row["quantity"], row["expected"],
                    row["unit"], row["tolerance"], row["source"], row["how_known"])
                for number, row in enumerate(csv.DictReader(lines), 2)]


def asserted(file: str) -> list[Any]:
    """The rows to assert, as parameters of a test."""
    return [pytest.param(row, id=row.name) for row in read(file) if not row.is_documentation]


def check(row: Row, answers: Answers) -> None:
    """Our answer to a row is the published one, within the row's own tolerance."""
    assert row.source, "a published figure needs its source"
    answer = answers[row.topic, row.quantity](row)
    if isinstance(answer, str):
        assert (row.tolerance, answer) == ("exact", row.expected)
    else:
        kind, _, size = row.tolerance.rpartition(":")
        tolerance = 1e-12 if size == "exact" else float(size) * (1 + 1e-9)
        ours = answer if isinstance(answer, tuple) else (answer,)
        assert list(ours) == pytest.approx(row.figures, **{"rel": 0.0, "abs": 0.0, kind or "abs": tolerance})
