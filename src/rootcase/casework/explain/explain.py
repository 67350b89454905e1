"""Explain one tree: what takes its growth away, how sure that is, and what is left over."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rootcase.casework.draws import FloatArray, observed_share, stream
from rootcase.casework.estimate import estimate
from rootcase.casework.explain.book import OF_LIMIT
from rootcase.casework.explain.column import column_of
from rootcase.casework.explain.ground import ground_of
from rootcase.casework.explain.next_reading import next_readings
from rootcase.casework.explain.signs.signs import signs_of
from rootcase.casework.explain.site import TreeInputs, tree_inputs
from rootcase.casework.explain.weather import shoots_weather
from rootcase.ground.errors import Missing
from rootcase.ground.words import say
from rootcase.records.compare import TreeComparison
from rootcase.records.explain import LIMITS, WATER_PARTS, Conditioned, Explanation, LimitShare, WaterShare
from rootcase.records.observe import PropertyRecord, Tree, Weather
from rootcase.science.inference.posterior import (
    ENOUGH_DRAWS,
    Posterior,
    chance_largest,
    likelihoods,
    losses_to_other,
    posterior,
)
from rootcase.science.tree.attribution import Attribution, attribute
from rootcase.science.tree.engine import ENGINE
from rootcase.tables.load import table

POINTS = 100.0
SPLIT_SHARE = 4
"""One draw in so many is used to split water, which takes four times the runs."""
MORE_DRAWS, FROM_DRAWS = 4, 1000
"""So many times the draws where too few would be left, unless a quick look with fewer was asked for."""
TABLES = ("chemistry/carbon_rules", "chemistry/extract_equations", "chemistry/salt_ph", "explain/assumed_readings",
          "explain/cause_hosts", "explain/cause_signs", "explain/causes", "explain/cover_classes",
          "explain/feel_neighbours", "explain/moisture_steps", "explain/next_readings", "explain/quantities",
          "explain/reading_errors", "explain/signs", "observe/readings", "species", "tree/fixed", "tree/forest_floor",
          "tree/layers", "tree/lock_up", "tree/priors", "tree/salt_classes")


def explain(record: PropertyRecord, tree_id: str, compared: TreeComparison, weather: Weather, *, draws: int, seed: int,
            threads: int) -> Explanation:
    """What takes one tree's growth away, limit by limit, and what the soil does not explain.

    Parameters
    ----------
    record : the property, corrections applied.
    tree_id : id of the tree.
    compared : its comparison; without an observed share there is still a prediction.
    weather : daily weather with reference evapotranspiration filled in.
    draws : how many, above 0.
    seed : start of the random streams.
    threads : how many the engine may use; the result is the same for any number.

    Returns
    -------
    Explanation. Losses in points of the yardstick's growth, above zero where growth is lost.

    Raises
    ------
    Missing : there is no such tree, or the weather is too short or has gaps.

    Notes
    -----
    The waterfall is the forward attribution; its remainder is predicted minus observed, draw by joint draw. What the
    readings say once the observed growth is taken in stands apart under `conditioned`; its prior of a cause outside the
    soil is what the signs leave of it. Where that would leave fewer
    than 100 effective draws, four times the draws are taken first. The split of water uses a quarter of the draws;
    each part is moved so that the three means sum to water's.

    References
    ----------
    docs/explain.md; docs/model.md, 2 and 3: JUDGEMENT where marked there.

    Examples
    --------
    >>> from rootcase.ground.errors import Missing
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> none = TreeComparison("t", None, "growth class", None, None, None, 0, 0, 0, None, (), (), (), ())
    >>> days = Weather("s", (), (), (), (), (), (), "")
    >>> try:
    ...     explain(PropertyRecord(owner, (), (), (), (), (), (), (), {}), "t", none, days, draws=1, seed=1, threads=1)
    ... except Missing as missing:
    ...     print(missing.what)
    there is no such tree
    """
    tree = tree_of(record, tree_id)
    inputs = tree_inputs(record, tree, draws=draws, seed=seed)
    seasons = [year.year for year in compared.years if year.lengths_mm]
    days, run = shoots_weather(weather, seasons, record.property.latitude_deg, inputs.tree.spring_window_days)
    found = attribute(inputs.tree, inputs.yardstick, inputs.parameters, days, threads, max(draws // SPLIT_SHARE, 1))
    observed = observed_share(compared.log_share_draws, draws, stream(seed, "observed", tree_id))
    ground, error = ground_of(record, [tree]), compared.log_share_sd or 0.0
    seen = None if observed is None else float(np.median(observed))
    signs = signs_of(tree_id, ground, found.loss, None if seen is None else likelihoods(found.share, seen, error),
                     seed=seed)
    after = None if seen is None else posterior(found.share, seen, error, chance_soil_alone=signs.chance_soil_alone)
    few = after is not None and after.effective_draws_before < ENOUGH_DRAWS
    if few and FROM_DRAWS <= draws < MORE_DRAWS * FROM_DRAWS:
        return explain(record, tree_id, compared, weather, draws=MORE_DRAWS * draws, seed=seed, threads=threads)
    limits = _limits(found.loss, None, found.same, inputs)
    weights = np.full(draws, 1.0 / draws) if after is None else after.weights
    ahead, stays = next_readings(inputs, found.loss, weights, ground.made, seed=seed, tree_id=tree_id)
    return Explanation(
        tree_id=tree_id, predicted_share=estimate(found.share),
        observed_share=None if observed is None else estimate(observed), limits=limits,
        water_parts=_water_parts(found), unexplained_points=None if observed is None else estimate(
            POINTS * (found.share - observed)),
        conditioned=None if after is None else _conditioned(found, after, inputs),
        soil=column_of(inputs.tree, inputs.parameters, inputs.known_to_m, inputs.read),
        yardstick_soil=column_of(inputs.yardstick, inputs.parameters, inputs.yardstick_known_to_m,
                                 inputs.yardstick_read),
        missing=inputs.assumed, growth_years=(run[0] - 1, *run), weather_ends=weather.ends,
        reading_ids=_reading_ids(inputs, compared),
        table_versions=tuple((name, table(name).version) for name in TABLES),
        draws=draws, seed=seed, engine=ENGINE, balances=found.balances, share_draws=found.share, limit_draws=found.loss,
        weights=weights, doubts=inputs.doubts, next_readings=ahead, doubt_no_reading_removes=stays,
        turned=inputs.turned, weather_told=weather.told, signs=signs)


def tree_of(record: PropertyRecord, tree_id: str) -> Tree:
    """The tree of this id.

    Parameters
    ----------
    record : the property.
    tree_id : id of the tree.

    Returns
    -------
    Tree.

    Raises
    ------
    Missing : there is none.

    Notes
    -----
    None.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> oak = Tree("t", "p", "l", "oak 1", None, None)
    >>> tree_of(PropertyRecord(owner, (), (oak,), (), (), (), (), (), {}), "t").label
    'oak 1'
    """
    for tree in record.trees:
        if tree.id == tree_id:
            return tree
    raise Missing(say("explain.no_tree"), where=record.property.name, value=tree_id, right=say("explain.no_tree_right"))


def _limits(loss: FloatArray, weights: FloatArray | None, same: Sequence[str],
            inputs: TreeInputs) -> tuple[LimitShare, ...]:
    return tuple(LimitShare(
        limit=limit, points=estimate(POINTS * loss[at], weights), same_as_yardstick=limit in same,
        rests_on=tuple(dict.fromkeys(i for kind in OF_LIMIT[limit] for i in inputs.read.get(kind, ()))),
        assumed=tuple(kind for kind in OF_LIMIT[limit] if kind in inputs.assumed))
        for at, limit in enumerate(LIMITS))


def _water_parts(found: Attribution) -> tuple[WaterShare, ...]:
    """Turf, sealing, rest; each moved by its size so that the means sum to water's over all draws."""
    means = found.water_parts.mean(axis=1)
    size = np.abs(means)
    part = size / size.sum() if size.sum() > 0 else np.full(len(WATER_PARTS), 1.0 / len(WATER_PARTS))
    moved = found.water_parts + ((found.loss[LIMITS.index("water")].mean() - means.sum()) * part)[:, None]
    return tuple(WaterShare(part=name, points=estimate(POINTS * moved[at])) for at, name in enumerate(WATER_PARTS))


def _conditioned(found: Attribution, after: Posterior, inputs: TreeInputs) -> Conditioned:
    other, chances = losses_to_other(found.share, after)
    return Conditioned(
        share=estimate(found.share, after.weights), limits=_limits(found.loss, after.weights, found.same, inputs),
        other_cause_points=estimate(POINTS * other, chances),
        chance_other_cause=1.0 - after.chance_soil_alone,
        chance_largest=tuple(float(chance) for chance in chance_largest(found.share, found.loss, after)[:-1]),
        effective_draws=after.effective_draws, temper=after.temper,
        disagree=after.outside_prediction or after.temper < 1.0)


def _reading_ids(inputs: TreeInputs, compared: TreeComparison) -> tuple[str, ...]:
    read = (*inputs.read.values(), *inputs.yardstick_read.values(), compared.reading_ids)
    return tuple(dict.fromkeys(i for ids in read for i in ids))
