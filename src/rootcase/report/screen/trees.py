"""The list of trees: each with its one finding, its newest figure, and what is missing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rootcase.records.observe import Property, PropertyRecord
from rootcase.records.report import Casework
from rootcase.report.screen.case import about, case_of, not_compared, share_in_short
from rootcase.report.text.cases import TreeCase
from rootcase.report.text.naming import looked_for
from rootcase.report.text.one_tree import headline, proposed

Standing = Literal["behind", "unclear", "well", "yardstick", "unread"]
STANDINGS: tuple[Standing, ...] = ("behind", "unclear", "well", "yardstick", "unread")
_MISSING = 2


@dataclass(frozen=True, slots=True)
class TreeLine:
    """One tree of the list."""

    tree_id: str
    label: str
    about: str
    standing: Standing
    finding: str
    share: str
    interval: str
    proposed: str
    missing: str
    doubts: int
    """Readings with a doubt on them."""


def tree_lines(casework: Casework | None, record: PropertyRecord) -> tuple[TreeLine, ...]:
    """Return every tree of a property: those that need something first, the furthest behind, unread ones last."""
    found = [(case, _line(case, record)) for case in (case_of(casework, tree) for tree in record.trees)]
    return tuple(line for _, line in sorted(found, key=lambda each: (
        STANDINGS.index(each[1].standing), each[0].share.mean if each[0].share else 1.0)))


def _line(case: TreeCase, record: PropertyRecord) -> TreeLine:
    tree = case.tree
    share, interval = share_in_short(case)
    missing = list(case.missing[:_MISSING])
    return TreeLine(tree.id, tree.label, about(record, tree), _standing(case, record), _finding(case, record), share,
                    interval, proposed(case), looked_for(missing) if missing else "",
                    sum(bool(r.doubts) for r in record.of(tree.id)))


def _standing(case: TreeCase, record: PropertyRecord) -> Standing:
    if any(case.tree.id in yardstick.tree_ids for yardstick in record.yardsticks):
        return "yardstick"
    return "unread" if case.share is None else "behind" if case.behind else "unclear" if case.unclear else "well"


def _finding(case: TreeCase, record: PropertyRecord) -> str:
    return " ".join(headline(case)) if case.comparison else not_compared(case.tree, record)


def chosen(lines: tuple[TreeLine, ...], ground: Property, name: str, standing: str) -> tuple[TreeLine, ...]:
    """Return the trees whose name, kind or property holds these letters, and that stand so."""
    wanted = name.strip().casefold()
    return tuple(line for line in lines if standing in ("", line.standing)
                 and wanted in f"{line.label} {line.about} {ground.name}".casefold())
