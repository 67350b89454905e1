"""One tree with all its results side by side, as every page and screen walks through them."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.records.compare import TreeComparison
from rootcase.records.estimate import Estimate
from rootcase.records.explain import Explanation
from rootcase.records.observe import Tree
from rootcase.records.prescribe import TreePrescription
from rootcase.records.report import Casework
from rootcase.tables.load import table

SHOOTS = "shoot_length_by_year"
"""What a tree is judged by."""


@dataclass(frozen=True, slots=True)
class TreeCase:
    """A tree that is compared, explained or prescribed for; a stage not yet done is None."""

    tree: Tree
    comparison: TreeComparison | None
    explanation: Explanation | None
    prescription: TreePrescription | None
    currency: str = ""

    @property
    def share(self) -> Estimate | None:
        """Observed share of its kind; None where no shoot was read."""
        return self.comparison.share if self.comparison else None

    @property
    def behind(self) -> bool:
        """Nearly surely grows less than its kind: the whole interval lies under it."""
        return self.share is not None and self.share.high < 1

    @property
    def unclear(self) -> bool:
        """Seems to lag, but the interval reaches its kind: what was read does not settle it."""
        return self.share is not None and not self.behind and self.share.median < _lags_below()

    @property
    def not_judged(self) -> bool:
        """Nothing is said of it, as its growth was not read."""
        return self.prescription is not None and not self.prescription.judged

    @property
    def missing(self) -> tuple[str, ...]:
        """Kinds that were not read: first what would judge an unjudged tree, then what would narrow the answer."""
        narrows = self.explanation.missing if self.explanation else ()
        return (SHOOTS, *narrows) if self.not_judged else narrows

    @property
    def needs_page(self) -> bool:
        """It is behind, or something other than leaving it alone is said about it."""
        return self.behind or (self.prescription is not None and self.prescription.verdict != "leave it alone")


def _lags_below() -> float:
    return float(table("prescribe/effects").row(effect="lags_below")["value"])


def tree_cases(casework: Casework) -> tuple[TreeCase, ...]:
    """Return every tree that has a result, in the order of the record."""
    compared = {line.tree_id: line for line in casework.comparison.trees}
    explained = {line.tree_id: line for line in casework.explanations}
    prescribed = {line.tree_id: line for line in casework.plan.trees}
    return tuple(TreeCase(tree, compared.get(tree.id), explained.get(tree.id), prescribed.get(tree.id),
                          casework.plan.currency)
                 for tree in casework.record.trees if tree.id in compared.keys() | explained.keys() | prescribed.keys())
