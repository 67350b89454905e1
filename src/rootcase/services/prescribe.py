"""Prescribe: what buys most for the client's money and wishes; often nothing."""

from __future__ import annotations

from rootcase.casework.prescribe.prescribe import prescribe
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.compare import Comparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord, Weather
from rootcase.records.prescribe import Plan
from rootcase.services.run import Run


def prescribe_property(fieldbook: Fieldbook, record: PropertyRecord, comparison: Comparison,
                       explanations: tuple[Explanation, ...], weather: Weather, run: Run) -> Plan:
    """Every remedy for every tree, and the plan inside wishes and money."""
    run.progress("prescribe", 0, 1)
    plan = prescribe(record, comparison, explanations, weather, fieldbook.price_book(), today=run.today,
                     draws=run.draws, seed=run.seed, threads=run.threads)
    run.progress("prescribe", 1, 1)
    return plan
