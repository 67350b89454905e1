"""The worth of a reading by nested simulation: what it might show, and the draws weighed anew by each answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.ahead import CONE_DEPTHS_M, Ahead, Goes, times_of
from rootcase.casework.explain.errors import floor_sd
from rootcase.science.soil.texture import central_fractions, texture_class
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

ENOUGH = 20.0
"""Effective draws under which an answer's draws are their own noise."""


def _error(kind: str) -> float:
    return kinds()[kind].error_size or 0.0


def _normal(shown: FloatArray, truth: FloatArray, sd: list[float]) -> FloatArray:
    return -0.5 * (((shown[:, None] - truth) / np.array(sd)[:, None]) ** 2).sum(axis=0)


def _cone(shown: FloatArray, truth: FloatArray, goes: Goes) -> FloatArray:
    own = _error("penetration_profile") ** 2 / goes.now
    narrow = np.linalg.inv(own * np.eye(len(CONE_DEPTHS_M)) + floor_sd("resistance") ** 2)
    off = shown[:, None] - truth
    return -0.5 * np.einsum("in,ij,jn->n", off, narrow, off)


def _felt(truth: FloatArray) -> Callable[[FloatArray], FloatArray]:
    names, wrong = np.array(texture_class(truth[0], 1.0 - truth.sum(axis=0), truth[1])), _error("texture_feel")
    felt_as: dict[str, list[tuple[str, float]]] = {str(name): [(str(name), 1.0 - wrong)] for name in np.unique(names)}
    for name, felt in felt_as.items():
        others = [str(row["neighbour"]) for row in table("explain/feel_neighbours").rows if row["texture"] == name]
        felt += [(other, wrong / len(others)) for other in others]

    def of(shown: FloatArray) -> FloatArray:
        chance = np.zeros(names.size)
        for name, felt in felt_as.items():
            chance[names == name] = sum(each for told, each in felt if np.allclose(central_fractions(told), shown))
        return np.log(np.maximum(chance, 1e-300))

    return of


def _cups(shown: FloatArray, truth: FloatArray, goes: Goes) -> FloatArray:
    if shown[0] <= 0.0:
        return np.where(truth[0] <= 0.0, 0.0, -np.inf)
    wet = np.maximum(truth[0], 1e-9)
    return np.where(truth[0] > 0.0,
                    -0.5 * (np.log(shown[0] / wet) / goes.sd("irrigation_depth", "irrigation")) ** 2, -np.inf)


def log_likelihood(kind: str, truth: FloatArray, made: Mapping[str, int]) -> Callable[[FloatArray], FloatArray]:
    """Of each draw's truth once a reading has shown something, up to what is the same for all."""
    goes = Goes(times_of(kind), made)
    if kind == "sample_cores":
        named = (("organic_matter", "organic_matter"), ("ece", "ece"), ("soil_ph", "ph"))
        sd = [*(goes.sd(*each) for each in named), _error("sand"), _error("clay")]
        return lambda shown: _normal(shown, truth, sd)
    if kind == "irrigation_kind":
        return lambda shown: np.log(np.where(truth[0] == shown[0], 1.0 - _error(kind), _error(kind)))
    if kind == "penetration_profile":
        return lambda shown: _cone(shown, truth, goes)
    if kind == "texture_feel":
        return _felt(truth)
    if kind == "irrigation_depth":
        return lambda shown: _cups(shown, truth, goes)
    floor = {"probe_depth": "refusal_depth", "soil_ph_field": "ph"}.get(kind, kind)
    return lambda shown: _normal(shown, truth, [goes.sd(kind, floor)])


def nested_value(kind: str, ahead: Ahead, made: Mapping[str, int], net_benefits: FloatArray, least: FloatArray, *,
                 answers: int, rng: np.random.Generator) -> tuple[float, float]:
    """(worth, its standard error) of a reading under the plan's own rule; NaN where too few draws fit an answer."""
    def best(expected: FloatArray) -> int:
        enough = expected - expected[0] >= np.append(-np.inf, least[1:])
        return int(np.argmax(np.where(enough, expected, -np.inf)))

    now, gained, left = best(net_benefits.mean(axis=1)), [], []
    told = log_likelihood(kind, ahead.truth, made)
    for draw in rng.integers(net_benefits.shape[1], size=answers):
        fits = told(ahead.read[:, draw])
        fits[draw] = -np.inf  # else the draw that gave the answer speaks for itself
        weight = np.exp(fits - fits.max())
        weight /= weight.sum()
        expected = net_benefits @ weight
        gained.append(expected[best(expected)] - expected[now])
        left.append(1.0 / float(weight @ weight))
    if np.median(left) < ENOUGH:
        return np.nan, np.nan
    return float(np.mean(gained)), float(np.std(gained) / np.sqrt(answers))
