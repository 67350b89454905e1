"""Which reading to take next: the doubt about the causes it would remove for the minutes it costs, and what stays."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from functools import partial

import numpy as np

from rootcase.casework.draws import FloatArray, stream
from rootcase.casework.explain.ahead import Ahead, costs, readings_ahead, times_of
from rootcase.casework.explain.site import TreeInputs
from rootcase.records.explain import NextReading
from rootcase.science.inference.next_reading import BY_LUCK, VarianceRemoved, variance_removed
from rootcase.science.inference.posterior import ENOUGH_DRAWS
from rootcase.tables.readings import kind_of


def next_readings(inputs: TreeInputs, loss: FloatArray, weights: FloatArray, made: Mapping[str, int], *, seed: int,
                  tree_id: str) -> tuple[tuple[NextReading, ...], float | None]:
    """What each reading would take from the doubt about the limits, the best for its minutes first.

    Parameters
    ----------
    inputs : the tree as the model takes it, n draws.
    loss : (6, n) what each limit takes in each draw. [-]
    weights : (n,) of the draws, once the growth that was seen is taken in; sum 1. [-]
    made : how many usable readings of a kind stand already.
    seed : start of the random streams.
    tree_id : whose streams.

    Returns
    -------
    (readings, doubt): rows with the share of the doubt removed, 0 to 1, in all and a minute, and the share of it that
    all of them together would leave. [-] No rows and None where fewer than 100 effective draws tell too little, or
    nothing is in doubt.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    The doubt is the sum of the six limits' variances over the weighted draws. What stays is what a regression on the
    first three powers of every true input these readings tell, all at once, does not explain: the model's own
    parameters, errors at the yardstick, and what only two inputs together decide. Readings made already are weighed
    too: to make them again is worth what is left of their error. Each reading has its own stream, so one more or less
    leaves the others as they were.

    References
    ----------
    `variance_removed`. Table explain/next_readings: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.casework.explain.site import tree_inputs
    >>> from rootcase.records.observe import Place, Property, PropertyRecord, Tree
    >>> place, oak = Place("l", "p", "green", "pitch"), Tree("t", "p", "l", "oak 1", None, None)
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> bare = tree_inputs(PropertyRecord(owner, (place,), (oak,), (), (), (), (), (), {}), oak, draws=400, seed=1)
    >>> salt_alone = np.vstack([np.log(bare.tree.ece_ds_m), np.zeros((5, 400))])
    >>> rows, doubt = next_readings(bare, salt_alone, np.full(400, 1 / 400), {}, seed=1, tree_id="t")
    >>> rows[0].kind, rows[0].days_to_answer, round(rows[0].share_removed, 1), round(doubt, 1)
    ('sample_cores', 10, 0.9, 0.0)
    """
    if 1.0 / float(weights @ weights) < ENOUGH_DRAWS * (1.0 - 1e-6):
        return (), None
    ahead = readings_ahead(inputs, partial(stream, seed, "next reading", tree_id), made)
    worth = {reading: variance_removed(loss, shown.read, weights) for reading, shown in ahead.items()}
    total = max((each.total for each in worth.values()), default=0.0)
    if total <= 0.0:
        return (), None
    rows = [_row(reading, _beyond_luck(each), made) for reading, each in worth.items()]
    rows.sort(key=lambda row: (-row.share_removed_per_minute, row.minutes, row.kind))
    return tuple(rows), _stays(loss, ahead, weights)


def _beyond_luck(worth: VarianceRemoved) -> float:
    share = worth.removed / worth.total
    return min(share, 1.0) if worth.removed > BY_LUCK * worth.by_chance_sd else 0.0


def _stays(loss: FloatArray, ahead: dict[str, Ahead], weights: FloatArray) -> float:
    whole = variance_removed(loss, np.concatenate([each.truth for each in ahead.values()]), weights)
    return float(np.clip(1.0 - whole.removed / whole.total, 0.0, 1.0))


def _row(reading: str, share: float, made: Collection[str]) -> NextReading:
    kind, cost = kind_of(reading), costs()[reading]
    minutes = kind.minutes * times_of(reading) + float(cost["set_up_minutes"] or 0.0)
    tells = str(cost["tells"]).split(";")
    days = cost["days_to_answer"]
    return NextReading(
        kind=reading, tools=kind.tools, season=kind.season, times=times_of(reading), minutes=minutes,
        days_to_answer=None if days is None else int(days), ground_opened=cost["ground_opened"] == "yes",
        taken_before=any(each in made for each in tells), share_removed=share,
        share_removed_per_minute=share / minutes)
