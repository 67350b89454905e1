"""Prescribe: what buys most for the client's money and wishes; often nothing."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from rootcase.casework.explain.slice import slice_for
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.offers import plan_mark
from rootcase.records.compare import Comparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PriceBook, Property, PropertyRecord, Weather
from rootcase.records.outlook import Outlooks
from rootcase.records.prescribe import Plan
from rootcase.records.report import Author, Casework
from rootcase.science.tree.engine import ENGINE
from rootcase.services.compare import compare_property
from rootcase.services.explain import explain_property
from rootcase.services.pests import pests_property
from rootcase.services.results import fingerprint, remembered
from rootcase.services.run import Run
from rootcase.services.weather import weather_for

if TYPE_CHECKING:
    from rootcase.casework.prescribe.prescribe import PlanInputs

BLANK = Author()
LEVEL = 0.9
"""The one interval level of every screen and page: nine in ten."""


def prescribe_property(fieldbook: Fieldbook, ground: Property, run: Run, author: Author = BLANK) -> Casework:
    """Every course for every tree and the plan inside wishes and money, with the casework it rests on."""
    record, weather, comparison, explanations, price_book = thought(fieldbook, ground, run)

    def prescribed() -> Plan:
        from rootcase.casework.prescribe.prescribe import plan_with_readings  # slow to load, and seldom needed

        with silent_output():
            return plan_with_readings(plan_inputs(record, comparison, explanations, weather, price_book, run))

    plan = remembered(run.results, Plan, (record, comparison, explanations, weather, price_book, run.today, run.draws,
                                          run.seed), prescribed)
    return Casework(record, comparison, explanations, plan, LEVEL, run.draws, run.seed, ENGINE, run.today, author,
                    pests_property(fieldbook, record, run), plan_mark=plan_mark(plan))


def thought(fieldbook: Fieldbook, ground: Property, run: Run) -> tuple[
        PropertyRecord, Weather, Comparison, tuple[Explanation, ...], PriceBook]:
    """What a plan rests on."""
    record = fieldbook.record(ground.id)
    weather = weather_for(fieldbook, ground, run)
    comparison = compare_property(record, run)
    explanations = explain_property(record, comparison, weather, run)
    return record, weather, comparison, explanations, fieldbook.price_book(ground.currency)


def plan_inputs(record: PropertyRecord, comparison: Comparison, explanations: Sequence[Explanation], weather: Weather,
                price_book: PriceBook, run: Run) -> PlanInputs:
    """All a plan is made of; the growth ahead at each tree is made anew only where its slice of the record changed."""
    from rootcase.casework.prescribe.prescribe import MOST_DRAWS, PlanInputs
    from rootcase.casework.prescribe.programme import ceilings_of

    ahead = outlooks_for(record, comparison, explanations, weather, replace(run, draws=min(run.draws, MOST_DRAWS)))
    return PlanInputs(record, explanations, ahead, price_book, ceilings_of(record), run.today,
                      min(run.draws, MOST_DRAWS), run.seed)


def outlooks_for(record: PropertyRecord, comparison: Comparison, explanations: Sequence[Explanation], weather: Weather,
                 run: Run) -> tuple[Outlooks, ...]:
    """Growth ahead of every explained tree under each course; of money it knows nothing."""
    compared = {tree.tree_id: tree for tree in comparison.trees}

    def ahead(part: PropertyRecord, explained: Explanation) -> Outlooks:
        from rootcase.casework.prescribe.outlooks import outlooks_of

        return outlooks_of(part, explained, compared[explained.tree_id], weather, draws=run.draws, seed=run.seed,
                           threads=run.threads)

    of_all = fingerprint(weather, run.draws, run.seed) if run.results else ""
    found = []
    for done, explained in enumerate(explanations):
        run.progress("prescribe", done, len(explanations))
        part = replace(slice_for(record, explained.tree_id), learned=record.learned)
        found.append(remembered(run.results, Outlooks, (of_all, part, explained, compared[explained.tree_id]),
                                partial(ahead, part, explained)))
    run.progress("prescribe", len(explanations), len(explanations))
    return tuple(found)


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
