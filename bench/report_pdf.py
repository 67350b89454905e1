"""The client's report of twenty trees, beside the time the typesetter itself takes for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from typing import Any
from unittest import mock

import typst

from bench.practice import DRAWS, MANY, THREADS, twenty
from bench.work import Work
from rootcase.casework.explain.explain import explain
from rootcase.casework.prescribe.prescribe import prescribe
from rootcase.records.compare import Comparison
from rootcase.records.report import Casework
from rootcase.report.pdf.report import report_pdf
from tests.casework.property import DAY, PRICES, weather

SET_BEFORE_FORGOTTEN = 12


@cache
def casework() -> Casework:
    record, shares = twenty()
    compared, days = Comparison("prop", shares, DRAWS, 1, DAY), weather()
    explained = tuple(explain(record, tree.tree_id, tree, days, draws=DRAWS, seed=1, threads=THREADS)
                      for tree in shares)
    plan = prescribe(record, compared, list(explained), days, PRICES, today=DAY, draws=DRAWS, seed=1, threads=THREADS)
    return Casework(record, compared, explained, plan, 0.9, DRAWS, 1, "bench", DAY)


def forget() -> None:
    """The typesetter remembers parts of what it set lately; what a client gets it has never set before."""
    for number in range(SET_BEFORE_FORGOTTEN):
        typst.compile({"main.typ": str(number).encode()}, format="pdf", ignore_system_fonts=True)


@cache
def set_alone() -> Callable[[], object]:
    """The typesetter on just what the report gave it."""
    given: dict[str, Any] = {}
    compile_with_warnings = typst.compile_with_warnings

    def kept(inputs: Any, **more: Any) -> object:
        given.update(inputs=inputs, more=more | {"font_paths": more["font_paths"][:1]})
        return compile_with_warnings(inputs, **more)

    with mock.patch.object(typst, "compile_with_warnings", kept):
        report_pdf(casework())
    return lambda: compile_with_warnings(given["inputs"], **given["more"])


def about() -> Work:
    return Work(what=f"{MANY} trees, each with its page and its section, as one PDF. "
                     "typst alone: the same template, words and pictures, ready made. Neither has set it before.",
                yardsticks=("typst alone",))


def run() -> Mapping[str, Callable[[], object]]:
    alone, report = set_alone(), lambda: report_pdf(casework())
    return {"typst alone": lambda: (forget(), alone()), "the report": lambda: (forget(), report())}
