"""What the growth that was seen makes of the causes, at the nodes of a sheet."""

from __future__ import annotations

import numpy as np

from rootcase.casework.draws import FloatArray, stream
from rootcase.casework.explain.ground import Ground, ground_of
from rootcase.casework.explain.next_reading import next_readings
from rootcase.casework.explain.signs.signs import signs_of
from rootcase.casework.first_answer.axes import SAME_PUSHES_VARIANCE
from rootcase.casework.first_answer.forward import AT, WIDER, Kept, Question
from rootcase.casework.first_answer.readings import TREE, with_first_look
from rootcase.records.explain import LIMITS, NextReading
from rootcase.records.first_answer import FirstReadings, FlareSeen, Push, SheetAxes
from rootcase.science.inference.posterior import chance_largest, posterior

FLARES = ("not_looked", "all_round", "part", "none")
BURIED = "buried_flare"
NEXT_SEEN = 0.3
"""Share of growth at which the next readings are weighed. JUDGEMENT: who looks at a tree first looks at one behind."""
TOLD_NEXT = 3


def flares_seen(question: Question) -> tuple[tuple[FlareSeen, ...], tuple[float, float]]:
    """What each look at the flare says of causes outside the soil.

    Parameters
    ----------
    question : whose sheet.

    Returns
    -------
    (looks, (hidden, open)): each look's place between the two, and the chance of the soil alone at each of them.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Growth that was seen moves no cause before another, so a cause's part of their chance stays.

    References
    ----------
    `signs_of`.

    Examples
    --------
    >>> FLARES[0]
    'not_looked'
    """
    chances = {}
    for flare in FLARES:
        looked = with_first_look(question.record, question.place, question.yardstick_id, FirstReadings(flare=flare),
                                 question.texture, question.day)
        signs = signs_of(TREE, ground_of(looked, [tree for tree in looked.trees if tree.id == TREE]),
                         np.full((len(LIMITS), 1), 0.0), None, seed=question.seed)
        buried = next(cause.chance for cause in signs.causes if cause.cause == BURIED)
        chances[flare] = signs.chance_soil_alone, buried / max(1.0 - signs.chance_soil_alone, 1e-9)
    alone = [chance for chance, _ in chances.values()]
    hidden, clear = min(alone), max(alone)
    return tuple(FlareSeen(flare, (chance - hidden) / max(clear - hidden, 1e-9), buried)
                 for flare, (chance, buried) in chances.items()), (hidden, clear)


def slots(kept: Kept, axes: SheetAxes) -> list[FloatArray]:
    """Draws at each depth where chances stand, and where no rod was pushed.

    Parameters
    ----------
    kept : draws of one habit and cover.
    axes : the nodes.

    Returns
    -------
    (7, draws) each: predicted share, then the six limits' losses.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from rootcase.casework.first_answer.axes import AXES
    >>> from rootcase.casework.first_answer.forward import RUN_AT_M
    >>> flat = np.full((len(RUN_AT_M), 7, 2), 0.5)
    >>> len(slots(Kept(flat, flat[0], np.zeros(2), None), AXES))
    7
    """
    return [*(kept.stopped(float(np.exp(depth)), SAME_PUSHES_VARIANCE) for depth in axes.after_ln_mm), kept.unpushed]


def chances_at(draws: FloatArray, axes: SheetAxes, alone: tuple[float, float]) -> FloatArray:
    """Chances of each cause for every share that may be seen.

    Parameters
    ----------
    draws : (7, n) predicted share, then the six limits' losses.
    axes : the nodes.
    alone : chance of the soil alone, flare hidden and open. 0 to 1

    Returns
    -------
    (seen, sd, 2, 7) of each limit to take most, and of a cause outside the soil. 0 to 1

    Raises
    ------
    Nothing.

    Notes
    -----
    As `explain` conditions.

    References
    ----------
    `posterior`, `chance_largest`.

    Examples
    --------
    >>> from rootcase.casework.first_answer.axes import AXES
    >>> chances_at(np.full((7, 200), 0.1), AXES, (0.6, 0.7)).shape
    (8, 2, 2, 7)
    """
    share, loss = draws[0], draws[1:]
    found = np.empty((len(axes.seen_ln), len(axes.seen_sd), len(alone), len(LIMITS) + 1))
    for row, seen in enumerate(axes.seen_ln):
        for column, error in enumerate(axes.seen_sd):
            for at, prior in enumerate(alone):
                after = posterior(share, float(np.exp(seen)), error, chance_soil_alone=prior)
                found[row, column, at] = [*chance_largest(share, loss, after)[:-1], 1.0 - after.chance_soil_alone]
    return found


def left_at(share: FloatArray, axes: SheetAxes, seed: int) -> FloatArray:
    """How far what is left over may lie from its mean, for every share that may be seen.

    Parameters
    ----------
    share : (n,) predicted.
    axes : the nodes.
    seed : start of the random stream.

    Returns
    -------
    (seen, sd, 2) from the mean down and up, over the sum of the means of predicted and seen share. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    What was seen is taken as lognormal. Over that sum, so that between nodes lines are straight.

    References
    ----------
    None; computed.

    Examples
    --------
    >>> from rootcase.casework.first_answer.axes import AXES
    >>> bool((left_at(np.full(2000, 0.3), AXES, 1) > 0).all())
    True
    """
    z = stream(seed, TREE, "left").standard_normal(len(share))
    found = np.empty((len(axes.seen_ln), len(axes.seen_sd), 2))
    for row, seen in enumerate(axes.seen_ln):
        for column, error in enumerate(axes.seen_sd):
            observed = np.exp(seen + error * z)
            left = share - observed
            low, high = np.quantile(left, AT)
            found[row, column] = WIDER * np.array([left.mean() - low, high - left.mean()]) / (
                share.mean() + observed.mean())
    return found


def next_at(question: Question, kept: Kept, draws: FloatArray, ground: str) -> tuple[NextReading, ...]:
    """The readings best worth taking next.

    Parameters
    ----------
    question : whose sheet.
    kept : draws of the base habit and this cover.
    draws : (7, n) of one depth.
    ground : code of the cover; empty: nobody looked.

    Returns
    -------
    Some readings, best for their minutes first; none where nothing would tell.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Weighed as `explain` does, for a tree well behind its kind.

    References
    ----------
    `next_readings`.

    Examples
    --------
    >>> TOLD_NEXT
    3
    """
    looked = with_first_look(question.record, question.place, question.yardstick_id,
                             FirstReadings("", (100.0,) * 3, (Push(200.0, "hard"),) * 3, ground), question.texture,
                             question.day)
    made: Ground = ground_of(looked, [tree for tree in looked.trees if tree.id == TREE])
    after = posterior(draws[0], NEXT_SEEN, 0.5)
    rows, _ = next_readings(kept.inputs, draws[1:], after.weights, made.made, seed=question.seed, tree_id=TREE)
    return tuple(row for row in rows if row.share_removed > 0.0 and not row.taken_before)[:TOLD_NEXT]
