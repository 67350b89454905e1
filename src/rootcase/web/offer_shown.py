"""An offer as its paper says it, for whoever looks: the practice at its desk and the client behind a link."""

from __future__ import annotations

from typing import Any

from rootcase.report.text.offer import (
    BLOCKS,
    Shown,
    block,
    side_by_side,
    tax_line,
    trial_lines,
    valid_line,
    who_lines,
)
from rootcase.report.text.offered_choice import chosen_against, since_signing
from rootcase.report.text.offered_trees import tree_lines


def paper_of(shown: Shown) -> dict[str, Any]:
    """Its parts, by the names that the pages know them by."""
    heads, *rows = side_by_side(shown)
    return {"heads": heads, "rows": rows, "valid": valid_line(shown.offer), "tax": tax_line(shown.offer),
            "trees": tree_lines(shown), "trial": trial_lines(shown), "who": who_lines(shown),
            "since": since_signing(shown.record, shown.changes),
            "against": chosen_against(shown.signed, shown.labels, shown.offer.currency),
            "blocks": [(name, block(name, shown)) for name in BLOCKS],
            "terms": [line for line in shown.offer.terms.split("\n") if line.strip()]}
