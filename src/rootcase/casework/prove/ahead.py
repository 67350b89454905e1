"""What the pairs that a lot is about to part could show, before anything is spent on them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from math import log, sqrt
from statistics import median

import numpy as np

from rootcase.casework.compare.shoots import shoots_of
from rootcase.casework.prove.proof import LEVEL, SEEN
from rootcase.ground.errors import OutOfRange
from rootcase.records.observe import PropertyRecord
from rootcase.records.offer import Arms
from rootcase.records.prove import ShootSpreads, TrialAhead
from rootcase.science.trials.cells import cells_of
from rootcase.science.trials.looks import level_of_look
from rootcase.science.trials.power import least_difference, power_of_arms, power_of_pairs, sd_of_change
from rootcase.science.trials.reml import fit_reml
from rootcase.tables.load import table

ENOUGH_TREES, MOST_TREES = 8, 60
"""Trees read for two years from which their own spread is believed, and after which no more are asked. JUDGEMENT."""
USUAL_SHOOTS, USUAL_BEFORE = 10, 2
"""Where a tree of the pairs was not read yet. JUDGEMENT: what the trial will be read with."""
SEASONS = (1, 3)
AS_OFTEN_AS_NOT = 0.5


def spreads_of(records: Iterable[PropertyRecord]) -> ShootSpreads:
    """How far shoots stray from year to year and inside a tree, by the practice's own readings where they suffice.

    Parameters
    ----------
    records : of its properties, the one at hand first; no more are asked for than are needed.

    Returns
    -------
    ShootSpreads. [log ratio]

    Raises
    ------
    Nothing.

    Notes
    -----
    Restricted likelihood over places, their years, trees and their years, as a trial is analyzed. Where fewer than
    eight trees were read for two years and more with several shoots, the table's spreads stand in and say so.

    References
    ----------
    Table compare/pooling: JUDGEMENT, ranges seen there.

    Examples
    --------
    >>> found = spreads_of([])
    >>> found.tree_year, round(found.shoot, 3), found.trees
    (0.1, 0.4, 0)
    """
    rows: list[tuple[str, str, int, float]] = []
    trees: set[str] = set()
    for record in records:
        for tree in record.trees:
            told = [(each.year, log(each.length_mm)) for each in shoots_of(record, tree.id) if each.length_mm]
            years = {year for year, _ in told}
            if len(years) >= 2 and len(told) > len(years):
                trees.add(tree.id)
                rows += [(f"{record.property.id} {tree.place_id}", tree.id, year, value) for year, value in told]
        if len(trees) >= MOST_TREES:
            break
    if len(trees) >= ENOUGH_TREES:
        place, tree_ids, of_year, values = (np.array(each) for each in zip(*rows, strict=True))
        try:
            variances = fit_reml(cells_of(place, tree_ids, of_year, values, np.ones((len(rows), 1)))).variances
        except OutOfRange:
            variances = {}
        if "tree_year" in variances:
            return ShootSpreads(tree_year=sqrt(variances["tree_year"]), shoot=sqrt(variances["residual"]),
                                trees=len(trees))
    sizes = {row["name"]: row["size"] for row in table("compare/pooling").rows}
    return ShootSpreads(tree_year=sizes["tree_year"], shoot=sqrt(sizes["shoot_year"]**2 + sizes["shoot"]**2), trees=0)


def trial_ahead(record: PropertyRecord, arms: Arms, spreads: ShootSpreads, elsewhere: tuple[int, int] = (0, 0),
                ) -> TrialAhead:
    """The least difference that the pairs of one thing in doubt would show, after one season and after three.

    Parameters
    ----------
    record : the property, corrections applied.
    arms : who gets it and who does not.
    spreads : how far shoots stray.
    elsewhere : pairs of the same thing at other properties, and how many properties those are.

    Returns
    -------
    TrialAhead. [log ratio]

    Raises
    ------
    Nothing.

    Notes
    -----
    A test of pairs at the level of each look of the place Proof, which all looks hold together; who looks every autumn
    finds at least as often as by the best of those looks. Properties stray around their mean as the table of priors has
    it.
    Where no place has trees of both arms, whole places were given it, and places are what is repeated.

    References
    ----------
    `power_of_pairs`; table prove/priors: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> from rootcase.records.offer import Pair
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> empty = PropertyRecord(owner, (), (), (), (), (), (), (), {})
    >>> pairs = tuple(Pair(f"t{at}", f"u{at}", 1) for at in range(3))
    >>> three = trial_ahead(empty, Arms("extract", "mixed", pairs, (), True, None, None), spreads_of([]))
    >>> [(seasons, round(even, 2), round(likely, 2)) for seasons, even, likely in three.missed]
    [(1, 0.61, 0.95), (3, 0.61, 0.95)]
    """
    treated, untreated = ([getattr(pair, arm) for pair in arms.pairs] for arm in ("treated", "untreated"))
    shoots, before = _read_so_far(record, [*treated, *untreated])
    place = {tree.id: tree.place_id for tree in record.trees}
    one, other = ({place[tree] for tree in trees if tree in place} for trees in (treated, untreated))
    plots = min(len(one), len(other)) if one and other and not one & other else None
    pairs, properties = len(arms.pairs) + elsewhere[0], bool(arms.pairs) + elsewhere[1]
    between = float(table("prove/priors").row(remedy="any")["between_log"])
    looks: list[tuple[float, float]] = []
    for seasons in range(1, max(SEASONS) + 1):
        risk = 1.0 - level_of_look(LEVEL, seasons)
        change = sd_of_change(spreads.tree_year, spreads.shoot, shoots, before, seasons)
        if plots is None and pairs > 1:
            sd = sqrt(2.0 * change**2 + pairs / properties * between**2)
            looks.append(_least(partial(power_of_pairs, sd=sd, pairs=pairs, risk=risk), sd))
        elif plots is not None and plots > 1:
            looks.append(_least(partial(power_of_arms, sd=change, treated=plots, untreated=plots, risk=risk), change))
    missed = tuple((seasons, *(min(each) for each in zip(*looks[:seasons], strict=True))) for seasons in SEASONS) if (
        looks) else ()
    return TrialAhead(remedy=arms.doubt, pairs=len(arms.pairs), elsewhere=elsewhere[0], shoots=shoots, before=before,
                      plots=plots, spreads=spreads, missed=missed)


def _least(power: Callable[[float], float], sd: float) -> tuple[float, float]:
    return least_difference(power, AS_OFTEN_AS_NOT, sd), least_difference(power, SEEN, sd)


def _read_so_far(record: PropertyRecord, trees: list[str]) -> tuple[int, int]:
    """Shoots of a tree in a year and years, in the middle of these trees; the usual where none was read."""
    read = {tree: [shoot.year for shoot in shoots_of(record, tree) if shoot.length_mm] for tree in trees}
    years = [len(set(found)) for found in read.values() if found]
    shoots = [len(found) / len(set(found)) for found in read.values() if found]
    return (round(median(shoots)), round(median(years))) if years else (USUAL_SHOOTS, USUAL_BEFORE)
