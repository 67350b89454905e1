"""Runs the program over a simulated practice and counts how often it was right."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import partial
from multiprocessing import get_context
from typing import Any

import numpy as np

from rootcase.casework.estimate import estimate
from rootcase.casework.explain.explain import explain
from rootcase.records.compare import ShootYear, TreeComparison
from rootcase.records.estimate import Estimate
from rootcase.records.explain import LIMITS, Explanation
from rootcase.report.text.causes import main_cause
from rootcase.science.inference.posterior import (
    CHANCE_SOIL_ALONE,
    MODEL_LOG_ERROR,
    OTHER_CAUSE_LEAVES,
    chance_largest,
    losses_to_other,
    posterior,
)
from rootcase.science.tree.attribution import attribute
from tests.study.practice import Case, Way, case_of

SHOOT_LOG_ERROR = 0.18  # ten shoots a side, lengths varying by 40 %
SEEN_DRAWS = 100
NOTHING = 1e-3
"""Losses under a tenth of a point count as none."""

Truth = tuple[float, np.ndarray]
"""Share of the yardstick's growth that the soil leaves, and the loss to each limit."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What is true of one property and what the program said of it."""

    case: Case
    share: float
    losses: np.ndarray
    left_by_other: float
    """Share of growth another cause leaves; 1: there is none."""
    seen: float
    said: Explanation


def by_the_model(case: Case) -> Truth:
    """The first truth: the program's own model at the true values."""
    found = attribute(case.tree, case.yardstick, case.parameters, [case.days], 1, 1)
    return float(found.share[0]), found.loss[:, 0]


def answer(case: Case, truth: Truth, seed: int, draws: int, model_log_error: float = MODEL_LOG_ERROR) -> Answer:
    """Shoots are seen with their error, with the model's, and after whatever another cause took; then it explains."""
    share, losses = truth
    rng = np.random.default_rng([seed, 7])
    other = 1.0 if rng.random() < CHANCE_SOIL_ALONE else float(rng.choice(OTHER_CAUSE_LEAVES))
    off = model_log_error * rng.standard_normal() + SHOOT_LOG_ERROR * rng.standard_normal()
    seen = max(share, 0.005) * other * float(np.exp(off))
    compared = _compared(case.season, seen)
    said = explain(case.record, "tree", compared, case.weather, draws=draws, seed=seed, threads=1)
    return Answer(case, share, losses, other, seen, said)


def seen_again(told: Answer, truth: Truth) -> Answer:
    """The same readings and the same luck in another world: only the shoots differ, and what is made of them.

    The other world brings its own error of the model, so that none is added.
    """
    share, losses = truth
    rng = np.random.default_rng([told.said.seed, 8])
    seen = max(share, 0.005) * told.left_by_other * float(np.exp(SHOOT_LOG_ERROR * rng.standard_normal()))
    return Answer(told.case, share, losses, told.left_by_other, seen, conditioned_on(told.said, seen))


def conditioned_on(said: Explanation, seen: float) -> Explanation:
    """What the program would have said of the same readings had it seen other shoots."""
    before, signs = said.conditioned, said.signs
    assert before is not None
    assert signs is not None
    after = posterior(said.share_draws, seen, SHOOT_LOG_ERROR, chance_soil_alone=signs.chance_soil_alone)
    limits = tuple(replace(limit, points=estimate(100.0 * loss, after.weights))
                   for limit, loss in zip(before.limits, said.limit_draws, strict=True))
    other, chances = losses_to_other(said.share_draws, after)
    return replace(said, weights=after.weights, conditioned=replace(
        before, share=estimate(said.share_draws, after.weights), limits=limits,
        other_cause_points=estimate(100.0 * other, chances),
        chance_other_cause=1.0 - after.chance_soil_alone,
        chance_largest=tuple(chance_largest(said.share_draws, said.limit_draws, after)[:-1]),
        effective_draws=after.effective_draws, temper=after.temper,
        disagree=after.outside_prediction or after.temper < 1.0))


def study(n: int, seed: int, draws: int, way: Way, processes: int = 1) -> list[Answer]:
    """The whole practice, property by property; the same for any number of processes."""
    job = partial(_one, seed=seed, draws=draws, way=way)
    if processes == 1:
        return [job(number) for number in range(n)]
    with ProcessPoolExecutor(processes, get_context("spawn")) as pool:
        return list(pool.map(job, range(n), chunksize=4))


def _one(number: int, seed: int, draws: int, way: Way) -> Answer:
    case = case_of(number, seed, way)
    return answer(case, by_the_model(case), seed + number, draws)


def _compared(season: int, seen: float) -> TreeComparison:
    """A comparison that says exactly what was seen, with its error."""
    middle = np.linspace(-1.0, 1.0, SEEN_DRAWS)
    log_share = np.log(seen) + SHOOT_LOG_ERROR * middle
    return TreeComparison("tree", None, "growth class", estimate(np.exp(log_share)), log_share, SHOOT_LOG_ERROR, 10, 2,
                          20, None, (ShootYear(season, (80.0,), 0, None, None, None, ()),), (), (), ())


def holds(interval: Estimate, true: float) -> bool:
    return interval.low <= true <= interval.high


@dataclass(frozen=True, slots=True)
class Counted:
    """How often nine-in-ten intervals held the truth."""

    right: int
    of: int
    width: float
    """Mean width of the interval."""

    @property
    def rate(self) -> float:
        return self.right / self.of if self.of else float("nan")

    @property
    def luck(self) -> float:
        """Two standard errors of the rate, had it been nine in ten."""
        return 2.0 * float(np.sqrt(0.09 / self.of)) if self.of else float("nan")


def counted(pairs: Iterable[tuple[Estimate, float]]) -> Counted:
    held = [(holds(interval, true), interval.high - interval.low) for interval, true in pairs]
    return Counted(sum(right for right, _ in held), len(held), float(np.mean([width for _, width in held])))


def predicted(answers: Sequence[Answer]) -> Counted:
    return counted((a.said.predicted_share, a.share) for a in answers)


def conditioned(answers: Sequence[Answer]) -> Counted:
    return counted((a.said.conditioned.share, a.share) for a in answers if a.said.conditioned)


def losses(answers: Sequence[Answer], limit: str) -> Counted:
    """Points lost to one limit, where the truth or the program says that anything is."""
    at = LIMITS.index(limit)
    told = [(a.said.limits[at].points, 100.0 * float(a.losses[at])) for a in answers]
    return counted((points, true) for points, true in told
                   if abs(true) > 100.0 * NOTHING or max(abs(points.low), abs(points.high)) > 100.0 * NOTHING)


def ranks(answers: Sequence[Answer], of: str) -> np.ndarray:
    """Where among the draws each truth lies, 0 to 1: evenly, if the program knows how much it knows.

    `of`: "share", "seen" for the share once shoots were seen, or a limit. Among equals a truth takes any place.
    """
    rng = np.random.default_rng(11)
    places = []
    for a in answers:
        at = LIMITS.index(of) if of in LIMITS else None
        draws, true = (a.said.share_draws, a.share) if at is None else (a.said.limit_draws[at], a.losses[at])
        weights = a.said.weights if of == "seen" else np.full(a.said.draws, 1.0 / a.said.draws)
        same = np.abs(draws - true) < NOTHING / 10.0
        places.append(weights[(draws < true) & ~same].sum() + rng.random() * weights[same].sum())
    return np.array(places)


@dataclass(frozen=True, slots=True)
class Named:
    """How often the limit the program put first was the one that takes most."""

    right: int
    of: int
    said: float
    """Mean chance the program gave it: what `right` of `of` should be."""


def named(answers: Sequence[Answer], at_least: float = 0.0) -> Named:
    """Of the limits the draws put first with at least this chance."""
    right, chances = 0, []
    for a in answers:
        leading = np.bincount(np.argmax(a.said.limit_draws, axis=0), minlength=len(LIMITS)) / a.said.draws
        first = int(np.argmax(leading))
        if leading[first] >= at_least:
            chances.append(float(leading[first]))
            right += first == int(np.argmax(a.losses))
    return Named(right, len(chances), float(np.mean(chances)) if chances else float("nan"))


def worded(answers: Sequence[Answer], word: str) -> Named:
    """Of the main causes the report calls likely, maybe or not known, soil and other alike."""
    right, chances = 0, []
    for a in answers:
        cause = main_cause(a.said)
        if cause.word == word:
            chances.append(cause.chance)
            other = a.share * (1.0 - a.left_by_other)
            most = "other" if other > a.losses.max() else LIMITS[int(np.argmax(a.losses))]
            right += cause.name == most
    return Named(right, len(chances), float(np.mean(chances)) if chances else float("nan"))


def other_cause(answers: Sequence[Answer]) -> dict[str, Any]:
    """The chance given to a cause outside the soil, where there was one and where there was none."""
    chance = np.array([a.said.conditioned.chance_other_cause for a in answers if a.said.conditioned])
    there = np.array([a.left_by_other < 1.0 for a in answers])
    return {"said": float(chance.mean()), "true": float(there.mean()),
            "where there": float(chance[there].mean()) if there.any() else float("nan"),
            "where none": float(chance[~there].mean()),
            "disagree": float(np.mean([a.said.conditioned.disagree for a in answers if a.said.conditioned]))}
