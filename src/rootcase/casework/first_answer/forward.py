"""What each limit takes, for every depth and cover: the model run at fixed depths in draws that are kept."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import Any

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.errors import figure, read_sd
from rootcase.casework.explain.plant import SPRING_WINDOW_DAYS
from rootcase.casework.explain.site import TreeInputs, tree_inputs
from rootcase.casework.explain.strength import DEEPEST_M, SHALLOWEST_M
from rootcase.casework.explain.weather import shoots_weather
from rootcase.casework.first_answer.axes import TOLERANCES
from rootcase.casework.first_answer.readings import TREE, with_first_look
from rootcase.records.explain import LIMITS
from rootcase.records.first_answer import FirstReadings, Push, SheetAxes
from rootcase.records.observe import Place, PropertyRecord, Weather
from rootcase.science.tree.attribution import attribute
from rootcase.science.tree.site import lock_up_risk, salt_tolerance

POINTS = 100.0
RUN_AT_M = np.array([SHALLOWEST_M, 0.03, 0.07, 0.12, 0.2, 0.32, 0.5, 0.8, 1.3, DEEPEST_M])
"""Depths of refusal at which the model runs. JUDGEMENT: what lies between is taken along lines, draw by draw."""
SEEDS = 8
"""JUDGEMENT: together they are off by a third of what one is."""
HARD = Push(200.0, "hard")
PUSHES = 3
BASE_LIME, BASE_SALT = "medium", "low"
WIDER = 1.05
"""Every interval is drawn out by a twentieth on either side, for what chance and lines between nodes may take off."""
MUCH_WIDER = 1.1
"""What is drawn out further where one factor stands for all depths."""
AT = (0.05, 0.95)


@dataclass(frozen=True, slots=True)
class Question:
    """Whose sheet is asked for, and with what it is computed."""

    record: PropertyRecord
    place: Place
    yardstick_id: str
    texture: str
    weather: Weather
    season: int
    day: date
    draws: int
    seed: int


@dataclass(frozen=True, slots=True)
class Traits:
    """What a kind of tree brings into the model, as the table of species codes it."""

    habit: str = "fixed"
    lime: str = BASE_LIME
    salt: str = BASE_SALT


@dataclass(frozen=True, slots=True)
class Kept:
    """Draws of one habit and cover: predicted share, then the six limits' losses."""

    by_depth: FloatArray
    """(depths, 7, draws) at RUN_AT_M."""
    unpushed: FloatArray
    """(7, draws) where no rod was pushed."""
    error: FloatArray
    """(draws,) standard normal error of the depth."""
    inputs: TreeInputs

    def stopped(self, depth_mm: float, variance: float) -> FloatArray:
        """Draws where pushes stopped at a middle depth."""
        return self._at(depth_mm / 1000.0 * np.exp(np.sqrt(variance) * self.error))

    def beyond(self, rod_mm: float) -> FloatArray:
        """Draws where a rod went all the way in."""
        return self._at(rod_mm / 1000.0 * np.exp(figure("beyond_rod_log_sd") * np.abs(self.error)))

    def _at(self, depth_m: FloatArray) -> FloatArray:
        nodes = np.log(RUN_AT_M)
        wanted = np.clip(np.log(depth_m), nodes[0], nodes[-1])
        below = np.clip(np.searchsorted(nodes, wanted, side="right") - 1, 0, len(nodes) - 2)
        part = (wanted - nodes[below]) / (nodes[below + 1] - nodes[below])
        draw = np.arange(len(depth_m))
        upper, lower = self.by_depth[below, :, draw].T, self.by_depth[below + 1, :, draw].T
        return np.asarray(upper + part * (lower - upper))


def with_typical_seed(question: Question) -> Question:
    """The same with that of several seeds whose draws are most like all of theirs together.

    Parameters
    ----------
    question : whose sheet.

    Returns
    -------
    Question.

    Raises
    ------
    Missing : the weather is too short or a table lacks what is needed.

    Notes
    -----
    What chance makes of a sheet's draws stands in all its answers; this takes off what so few draws are off by.

    References
    ----------
    None; computed.

    Examples
    --------
    >>> SEEDS
    8
    """
    tried = [replace(question, seed=question.seed + more) for more in range(SEEDS)]
    means = np.array([_run(each, _inputs(each, Traits(), FirstReadings(probes=(HARD,) * PUSHES))).mean(axis=1)
                      for each in tried])
    return tried[int(np.argmin(((means - means.mean(axis=0)) ** 2).sum(axis=1)))]


def kept_draws(question: Question, traits: Traits, ground: str) -> Kept:
    """Run the model at every depth for one kind of tree and one cover.

    Parameters
    ----------
    question : whose sheet.
    traits : of the kind of tree.
    ground : code of the cover; empty: nobody looked.

    Returns
    -------
    Kept. [shares of the yardstick's growth]

    Raises
    ------
    Missing : the weather is too short or a table lacks what is needed.

    Notes
    -----
    All depths and covers share their random streams, so that lines between nodes are smooth.

    References
    ----------
    `attribute`; docs/model.md.

    Examples
    --------
    >>> float(RUN_AT_M[0]), float(RUN_AT_M[-1])
    (0.01, 3.0)
    """
    pushed = _inputs(question, traits, FirstReadings(probes=(HARD,) * PUSHES, ground=ground))
    error = np.log(np.asarray(pushed.tree.refusal_depth_m) * 1000.0 / HARD.depth_mm) / read_sd(
        "probe_depth", PUSHES, "refusal_depth")
    one = np.ones(question.draws)
    by_depth = [_run(question, replace(pushed, tree=replace(pushed.tree, refusal_depth_m=depth * one)))
                for depth in RUN_AT_M]
    unpushed = _run(question, _inputs(question, traits, FirstReadings(ground=ground)))
    return Kept(np.stack(by_depth), unpushed, error, pushed)


def _inputs(question: Question, traits: Traits, readings: FirstReadings) -> TreeInputs:
    looked = with_first_look(question.record, question.place, question.yardstick_id, readings, question.texture,
                             question.day)
    tree = next(tree for tree in looked.trees if tree.id == TREE)
    inputs = tree_inputs(looked, tree, draws=question.draws, seed=question.seed)
    threshold, slope = salt_tolerance(traits.salt)
    brought: dict[str, Any] = {"salt_threshold_ds_m": threshold, "salt_slope_pct": slope,
                               "lock_up_per_ph": lock_up_risk(traits.lime),
                               "spring_window_days": SPRING_WINDOW_DAYS[traits.habit]}
    return replace(inputs, tree=replace(inputs.tree, **brought), yardstick=replace(inputs.yardstick, **brought))


def _run(question: Question, inputs: TreeInputs) -> FloatArray:
    days, _ = shoots_weather(question.weather, [question.season], question.record.property.latitude_deg,
                             inputs.tree.spring_window_days)
    found = attribute(inputs.tree, inputs.yardstick, inputs.parameters, days, 1, 1)
    return np.concatenate([found.share[None], found.loss])


def told(draws: FloatArray) -> FloatArray:
    """Mean and interval of each row of draws, in points.

    Parameters
    ----------
    draws : (..., draws) shares.

    Returns
    -------
    (..., 3) mean, low, high; nine in ten lie between, a little drawn out. [points]

    Raises
    ------
    Nothing.

    Notes
    -----
    A limit that never gives is not drawn out below zero.

    References
    ----------
    JUDGEMENT: how far it is drawn out.

    Examples
    --------
    >>> told(np.array([0.1, 0.2, 0.3])).round(1).tolist()
    [20.0, 10.6, 29.4]
    """
    mean = draws.mean(axis=-1)
    low, high = (mean + WIDER * (each - mean) for each in np.quantile(draws, AT, axis=-1))
    low = np.where(draws.min(axis=-1) >= -1e-9, np.maximum(low, 0.0), low)
    return POINTS * np.stack([mean, low, high], axis=-1)


def forward_tables(kept: Kept, axes: SheetAxes) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Predicted share and limits of one habit and cover at the nodes of a sheet.

    Parameters
    ----------
    kept : its draws.
    axes : the nodes.

    Returns
    -------
    (depth, variance, 7, 3), (rod, 7, 3), (7, 3) where pushes stopped, where the rod went in, where none was pushed.
    [points]

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    `told`.

    Examples
    --------
    >>> flat = np.full((len(RUN_AT_M), 7, 2), 0.5)
    >>> kept = Kept(flat, flat[0], np.zeros(2), None)
    >>> from rootcase.casework.first_answer.axes import AXES
    >>> [table.shape for table in forward_tables(kept, AXES)]
    [(10, 2, 7, 3), (6, 7, 3), (7, 3)]
    """
    stopped = np.array([[told(kept.stopped(np.exp(depth), variance)) for variance in axes.push_variance]
                        for depth in axes.depth_ln_mm])
    return stopped, np.array([told(kept.beyond(np.exp(rod))) for rod in axes.rod_ln_mm]), told(kept.unpushed)


def tolerance_factors(question: Question, ground: str) -> tuple[FloatArray, FloatArray]:
    """What another tolerance makes of nutrition and of salt.

    Parameters
    ----------
    question : whose sheet.
    ground : code of the cover; empty: nobody looked.

    Returns
    -------
    (tolerance, 2), (tolerance, 2) factors of mean and upper end: of nutrition over that at a middle risk of lime
    chlorosis, of salt over that of the least tolerant. [-]

    Raises
    ------
    Missing : the weather is too short or a table lacks what is needed.

    Notes
    -----
    Taken at one depth and habit: along them they hardly move.

    References
    ----------
    `attribute`.

    Examples
    --------
    >>> TOLERANCES
    ('low', 'medium', 'high')
    """
    def ends(traits: Traits, limit: str) -> FloatArray:
        pushed = _inputs(question, traits, FirstReadings(probes=(HARD,) * PUSHES, ground=ground))
        return told(_run(question, pushed)[1 + LIMITS.index(limit)])[[0, 2]]

    lime = np.array([ends(Traits(lime=risk), "nutrition") for risk in TOLERANCES])
    salt = np.array([ends(Traits(salt=tolerance), "salt") for tolerance in TOLERANCES])
    return _over(lime, lime[TOLERANCES.index(BASE_LIME)]), _over(salt, salt[TOLERANCES.index(BASE_SALT)])


def _over(ends: FloatArray, base: FloatArray) -> FloatArray:
    """Where the base is next to nothing there is nothing to multiply."""
    some = np.abs(base) > 0.05
    factors: FloatArray = np.where(some, ends / np.where(some, base, 1.0), 1.0)
    factors *= [1.0, MUCH_WIDER]
    return factors
