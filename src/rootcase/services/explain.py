"""Explain: what takes the growth away, tree by tree."""

from __future__ import annotations

from functools import partial

from rootcase.casework.explain.slice import slice_for
from rootcase.records.compare import Comparison, TreeComparison
from rootcase.records.explain import Explanation
from rootcase.records.observe import PropertyRecord, Weather
from rootcase.services.results import fingerprint, remembered
from rootcase.services.run import Run


def explain_property(record: PropertyRecord, comparison: Comparison, weather: Weather,
                     run: Run) -> tuple[Explanation, ...]:
    """The waterfall of every compared tree; made anew only where something changed that decides it."""
    def explained_tree(own: PropertyRecord, compared: TreeComparison) -> Explanation:
        from rootcase.casework.explain.explain import explain  # slow to load, and seldom needed where results are kept

        return explain(own, compared.tree_id, compared, weather, draws=run.draws, seed=run.seed, threads=run.threads)

    of_all = fingerprint(weather, run.draws, run.seed) if run.results else ""
    explained = []
    for done, compared in enumerate(comparison.trees):
        run.progress("explain", done, len(comparison.trees))
        own = slice_for(record, compared.tree_id)
        explained.append(remembered(run.results, Explanation, (of_all, own, compared),
                                    partial(explained_tree, own, compared)))
    run.progress("explain", len(comparison.trees), len(comparison.trees))
    return tuple(explained)
