"""Compare: every tree of a property beside its yardstick."""

from __future__ import annotations

from rootcase.records.compare import Comparison
from rootcase.records.observe import PropertyRecord
from rootcase.services.results import remembered
from rootcase.services.run import Run


def compare_property(record: PropertyRecord, run: Run) -> Comparison:
    """The share of each tree, year by year and measure by measure."""
    def compared() -> Comparison:
        from rootcase.casework.compare.compare import compare  # slow to load, and seldom needed where results are kept

        return compare(record, run.today, draws=run.draws, seed=run.seed)

    return remembered(run.results, Comparison, (record, run.today, run.draws, run.seed), compared)
