"""Prescribe: what buys most for the client's money and wishes; often nothing."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.observe import Property
from rootcase.records.prescribe import Plan
from rootcase.records.report import Author, Casework
from rootcase.science.tree.engine import ENGINE
from rootcase.services.compare import compare_property
from rootcase.services.explain import explain_property
from rootcase.services.pests import pests_property
from rootcase.services.results import remembered
from rootcase.services.run import Run
from rootcase.services.weather import weather_for

BLANK = Author()
LEVEL = 0.9
"""The one interval level of every screen and page: nine in ten."""


def prescribe_property(fieldbook: Fieldbook, ground: Property, run: Run, author: Author = BLANK) -> Casework:
    """Every remedy for every tree and the plan inside wishes and money, with the casework it rests on."""
    record = fieldbook.record(ground.id)
    weather = weather_for(fieldbook, ground, run)
    comparison = compare_property(record, run)
    explanations = explain_property(record, comparison, weather, run)
    price_book = fieldbook.price_book(ground.currency)

    def prescribed() -> Plan:
        from rootcase.casework.prescribe.prescribe import prescribe  # slow to load, and seldom needed

        with silent_output():
            return prescribe(record, comparison, explanations, weather, price_book, today=run.today, draws=run.draws,
                             seed=run.seed, threads=run.threads)

    run.progress("prescribe", 0, 1)
    plan = remembered(run.results, Plan, (record, comparison, explanations, weather, price_book, run.today, run.draws,
                                          run.seed), prescribed)
    run.progress("prescribe", 1, 1)
    return Casework(record, comparison, explanations, plan, LEVEL, run.draws, run.seed, ENGINE, run.today, author,
                    pests_property(fieldbook, record, run))


@contextmanager
def silent_output() -> Iterator[None]:
    """Keep standard output clean: on large plans the solver writes to it past Python, into the middle of any JSON."""
    sys.stdout.flush()
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    try:
        yield
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
