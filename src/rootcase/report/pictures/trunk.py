"""The one trunk that is drawn of a tree, whatever the number of its stems."""

from __future__ import annotations

from statistics import fmean

from rootcase.records.observe import PropertyRecord, by_stem
from rootcase.science.tree.trunk import one_trunk_mm


def trunk_mm(record: PropertyRecord, *tree_ids: str) -> float | None:
    """Mean over the trees of the one trunk that has the basal area of all a tree's stems; None where none was read."""
    plain = [[r for r in record.of(tree_id, kind="dbh") if r.plain] for tree_id in tree_ids]
    trunks = [float(one_trunk_mm([fmean(r.value or 0.0 for r in stem) for stem in by_stem(read)]))
              for read in plain if read]
    return fmean(trunks) if trunks else None
