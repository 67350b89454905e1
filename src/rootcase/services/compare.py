"""Compare: every tree of a property beside its yardstick."""

from __future__ import annotations

from rootcase.casework.compare.compare import compare
from rootcase.records.compare import Comparison
from rootcase.records.observe import PropertyRecord
from rootcase.services.run import Run


def compare_property(record: PropertyRecord, run: Run) -> Comparison:
    """The share of each tree, year by year and measure by measure."""
    return compare(record, run.today, draws=run.draws, seed=run.seed)
