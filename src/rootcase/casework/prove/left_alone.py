"""How the trees grew that were signed to be left alone: shown beside the trials, no part of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import log, sqrt

import numpy as np

from rootcase.casework.compare.shoots import shoots_of
from rootcase.casework.prove.proof import LEVEL
from rootcase.ground.dates import season_year
from rootcase.records.apply.done import Application
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import SignedPlan
from rootcase.records.prove import LeftAlone, TreeInTrial
from rootcase.science.trials.freedom import answered


def left_alone(record: PropertyRecord, signed: Iterable[SignedPlan], applied: Sequence[Application]) -> LeftAlone:
    """How shoots of the trees changed that a signed plan leaves alone.

    Parameters
    ----------
    record : the property, corrections applied.
    signed : its plans, older ones too.
    applied : what was put on at the property, of whatever remedy.

    Returns
    -------
    LeftAlone : the trees that were read before and since, and their mean change with its interval, log ratio. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    No lot parted these trees from others: they were left alone because they do well, so they enter no effect. A tree
    counts from the first plan that leaves it alone, whose season is neither before nor after, and no more once
    anything was put on there or a lot drew it. Trees are what is repeated.

    References
    ----------
    The interval is Student's (1908, The probable error of a mean, Biometrika 6:1-25), of trees (memory).

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> empty = PropertyRecord(ground, (), (), (), (), (), (), (), {})
    >>> left_alone(empty, (), ()).trees
    ()
    """
    plans = [plan for plan in signed if not plan.withdrawn_because]
    busy = {tree for one in applied if not one.not_done for tree in one.tree_ids} | {
        tree for plan in plans for arms in plan.signing.arms for pair in arms.pairs
        for tree in (pair.treated, pair.untreated)}
    since: dict[str, int] = {}
    for plan in sorted(plans, key=lambda each: each.day):
        for tree in plan.signing.plan.trees:
            if tree.verdict == "leave it alone" and tree.tree_id not in busy:
                since.setdefault(tree.tree_id, season_year(plan.day, record.property.latitude_deg))
    trees = tuple(found for tree_id, season in since.items() if (found := _tree(record, tree_id, season)))
    changes = np.array([tree.after - tree.before for tree in trees])
    mean = float(changes.mean()) if trees else 0.0
    spread = float(changes.std(ddof=1)) if len(trees) > 1 else 0.0
    if not spread:
        return LeftAlone(property_id=record.property.id, trees=trees, change=mean)
    answer = answered(mean, spread / sqrt(len(trees)), len(trees) - 1.0, LEVEL)
    return LeftAlone(property_id=record.property.id, trees=trees, change=mean, low=answer.low, high=answer.high)


def _tree(record: PropertyRecord, tree_id: str, season: int) -> TreeInTrial | None:
    """Its mean shoot before and since; None: one of them was not read."""
    shoots = [(shoot.year, log(shoot.length_mm)) for shoot in shoots_of(record, tree_id) if shoot.length_mm]
    before, after = ([length for year, length in shoots if year < season],
                     [length for year, length in shoots if year > season])
    if not before or not after:
        return None
    return TreeInTrial(tree_id=tree_id, treated=False, before=float(np.mean(before)), after=float(np.mean(after)))
