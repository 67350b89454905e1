"""The page of pests: what was counted beside what the tree bears, and which look is due."""

from __future__ import annotations

from typing import Any

from rootcase.ground.words import say
from rootcase.records.report import Casework
from rootcase.report.text.pests import cautions, looks_in_words, not_looked, trees_in_words, warmth_in_words

_COLUMNS = ("pest", "when", "trees", "read")


def pest_page(casework: Casework) -> dict[str, Any] | None:
    """Return the page, None where nobody asked for pests or there is nothing to tell."""
    pests, record = casework.pests, casework.record
    if pests is None or not (pests.trees or pests.looks):
        return None
    counts = []
    for tree in trees_in_words(record, pests):
        counts += [{"head": say("pests.of_tree", tree=tree.tree, told=head), "told": told}
                   for head, told in tree.findings]
        counts += [{"head": "", "told": say("pests.of_tree", tree=tree.tree, told=tree.beside)}] if tree.beside else []
    looks = [[look.what, look.when, look.trees, look.read] for look in looks_in_words(record, pests)]
    return {
        "counts_title": say("pests.counts_title"), "counts": counts,
        "not_looked": not_looked(record, pests) if pests.trees else say("pests.nothing_counted"),
        "looks_title": say("pests.looks_title"), "intro": say("pests.looks_intro") if looks else say("pests.no_hosts"),
        "heads": [say(f"pests.column.{column}") for column in _COLUMNS], "looks": looks,
        "warmth": warmth_in_words(record, pests), "cautions": cautions()}
