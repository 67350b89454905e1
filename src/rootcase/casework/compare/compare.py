"""Set every tree beside its yardstick."""

from __future__ import annotations

from datetime import date

import numpy as np
import numpy.typing as npt

from rootcase.casework.compare.laboratory import laboratory
from rootcase.casework.compare.measures import measure_lines
from rootcase.casework.compare.shoots import Gathered, gather, species_of
from rootcase.casework.draws import stream
from rootcase.casework.estimate import estimate
from rootcase.casework.species import known_as
from rootcase.records.compare import Comparison, ShootYear, TreeComparison
from rootcase.records.estimate import Estimate
from rootcase.records.observe import PropertyRecord, Tree
from rootcase.science.inference.pooling import Pooled, PoolingPriors, pooled_log_shares
from rootcase.science.means import geometric_mean
from rootcase.tables.load import table

FEW_YARDSTICK_TREES = 3
"""One tree is an illustration; three or more give the interval its proper width (common practice, no source)."""

SHORT_YEAR = -0.10
"""A year all trees share counts as short from about a tenth under the others (JUDGEMENT)."""

Floats = npt.NDArray[np.float64]


def compare(record: PropertyRecord, today: date, *, draws: int, seed: int) -> Comparison:
    """How much each tree grows of what its healthy kind grows, year by year and measure by measure.

    Parameters
    ----------
    record : the property, corrections applied.
    today : the day the comparison is made on.
    draws : number of posterior draws, above 0.
    seed : start of the random streams, 0 or above.

    Returns
    -------
    Comparison. Shares as fractions of the yardstick's mean shoot, lengths in [mm].

    Raises
    ------
    OutOfRange : a shoot length is not a finite number.

    Notes
    -----
    Shoots are pooled partially (`pooled_log_shares`); a tree without shoots gets no share, and a tree whose kind has
    no healthy tree here is set against its published growth class, with that class's wide interval. Values of a
    laboratory stand on lines of their own (`laboratory`).

    References
    ----------
    Spread and priors: table compare/pooling. Growth classes: table growth_class.

    Examples
    --------
    >>> from rootcase.records.observe import Property, PropertyRecord
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> empty = PropertyRecord(ground, (), (), (), (), (), (), (), {})
    >>> compare(empty, date(2016, 1, 15), draws=10, seed=1).trees
    ()
    """
    gathered = gather(record)
    rng = stream(seed, "compare")
    pooled = None if gathered.arrays is None else pooled_log_shares(gathered.arrays, pooling_priors(), draws, rng)
    trees = tuple(_tree(record, tree, i, gathered, pooled, seed)
                  for i, tree in enumerate(gathered.trees) if tree.id not in gathered.yardstick_trees)
    order = [t.id for t in record.trees]
    in_order = tuple(sorted(trees, key=lambda t: order.index(t.tree_id)))
    return Comparison(record.property.id, in_order, draws, seed, today, laboratory(record))


def pooling_priors() -> PoolingPriors:
    """Sizes of the sources of spread, from the table compare/pooling.

    Parameters
    ----------
    None.

    Returns
    -------
    PoolingPriors. [natural log]

    Raises
    ------
    Nothing.

    Notes
    -----
    No departure from the table.

    References
    ----------
    Table compare/pooling; each row says how it is known.

    Examples
    --------
    >>> pooling_priors().tree
    (0.2, 0.4)
    """
    rows = {str(row["name"]): row for row in table("compare/pooling").rows}

    def size(name: str) -> float:
        return float(rows[name]["size"])

    def pair(name: str) -> tuple[float, float]:
        return size(name), float(rows[name]["log_sd"])

    return PoolingPriors(size("shoot_year"), size("shoot"), size("within_degrees_of_freedom"), pair("tree"),
                         pair("year"), pair("tree_year"), size("species"), size("genus"), size("place"),
                         pair("compared_tree"))


def _tree(record: PropertyRecord, tree: Tree, i: int, gathered: Gathered, pooled: Pooled | None,
          seed: int) -> TreeComparison:
    group = gathered.group_of[tree.id]
    healthy = tuple(t.id for t in gathered.trees
                    if t.id in gathered.yardstick_trees and gathered.group_of[t.id] == group)
    healthy_read = [t for t in healthy if any(s.length_mm for s in gathered.readings[t])]
    own = gathered.readings[tree.id]
    read = pooled is not None and any(s.length_mm for s in own)
    log_share = pooled.log_share[i] if read and pooled is not None else None
    level = pooled.group_log_mean[gathered.groups.index(group)] if pooled is not None else None
    rng = stream(seed, "compare", tree.id)
    return TreeComparison(
        tree_id=tree.id,
        yardstick_id=record.compared_with.get(tree.id) if healthy_read else None,
        basis="yardstick" if healthy_read else "growth class",
        share=None if log_share is None else estimate(np.exp(log_share)),
        log_share_draws=log_share,
        log_share_sd=None if log_share is None else float(log_share.std()),
        shoot_count=len({s.shoot for s in own if s.length_mm}),
        yardstick_tree_count=len(healthy_read),
        yardstick_shoot_count=sum(len({s.shoot for s in gathered.readings[t] if s.length_mm}) for t in healthy_read),
        yardstick_typical_mm=None if level is None or pooled is None else estimate(np.exp(level + _mean_year(pooled))),
        years=_years(tree.id, healthy_read, gathered, pooled, level, rng),
        measures=measure_lines(record, tree.id, healthy),
        notes=_notes(record, tree.id, healthy_read, gathered, pooled),
        reading_ids=tuple(s.reading_id for t in (tree.id, *healthy_read) for s in gathered.readings[t]))


def _mean_year(pooled: Pooled) -> Floats:
    return np.asarray(pooled.year_effect.mean(axis=0))


def _years(tree_id: str, healthy: list[str], gathered: Gathered, pooled: Pooled | None, level: Floats | None,
           rng: np.random.Generator) -> tuple[ShootYear, ...]:
    if pooled is None or level is None:
        return ()
    of_year = pooled.log_share_of_year[[t.id for t in gathered.trees].index(tree_id)]
    found = []
    for k, year in enumerate(gathered.years):
        own = [s for s in gathered.readings[tree_id] if s.year == year]
        lengths = tuple(sorted((s.length_mm for s in own if s.length_mm), reverse=True))
        theirs = [[s.length_mm for s in gathered.readings[t] if s.year == year and s.length_mm] for t in healthy]
        log_mean = level + pooled.year_effect[k]
        shoots = log_mean + np.hypot(pooled.shoot_sd, pooled.tree_sd) * rng.standard_normal(log_mean.size)
        found.append(ShootYear(
            year, lengths, sum(s.length_mm is None for s in own),
            _typical(lengths, pooled.shoot_sd, rng) if lengths else None,
            estimate(np.exp(log_mean)), estimate(np.exp(shoots)),
            tuple(geometric_mean(t) for t in theirs if t),
            estimate(np.exp(of_year[k])) if lengths else None))
    return tuple(found)


def _typical(lengths_mm: tuple[float, ...], shoot_sd: Floats, rng: np.random.Generator) -> Estimate:
    log_mean = float(np.mean(np.log(lengths_mm)))
    return estimate(np.exp(log_mean + shoot_sd / np.sqrt(len(lengths_mm)) * rng.standard_normal(shoot_sd.size)))


def _notes(record: PropertyRecord, tree_id: str, healthy: list[str], gathered: Gathered,
           pooled: Pooled | None) -> tuple[str, ...]:
    """Keys of the words under compare.note; a year follows its key after an equals sign."""
    own = [s for s in gathered.readings[tree_id] if s.length_mm]
    notes = [key for key, holds in (
        ("no_shoots", not own),
        ("no_yardstick", not healthy),
        ("few_yardstick_trees", 0 < len(healthy) < FEW_YARDSTICK_TREES),
        ("position_unknown", bool(own) and "" in {s.position for s in own}),
        ("position_differs", tree_id in gathered.position_differs and "" not in {s.position for s in own}),
        ("other_kind", _other_kind(record, tree_id, healthy)),
        ("one_year", len({s.year for s in own}) == 1)) if holds]
    if pooled is not None and len(gathered.years) > 1:
        around = pooled.year_effect - pooled.year_effect.mean(axis=0)
        notes += [f"short_year={year}" for k, year in enumerate(gathered.years)
                  if (around[k] < 0).mean() > 0.9 and np.median(around[k]) < SHORT_YEAR
                  and any(s.year == year for s in own)]
    return tuple(notes)


def _other_kind(record: PropertyRecord, tree_id: str, healthy: list[str]) -> bool:
    """Whether none of the healthy trees is told to be of this tree's kind."""
    own, theirs = known_as(species_of(record, tree_id)), [known_as(species_of(record, t)) for t in healthy]
    return bool(own) and bool(theirs) and all(rows and rows != own for rows in theirs)
