"""Several trials together, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import sqrt
from typing import Any

from rootcase.ground.quantity import number
from rootcase.ground.words import say


def pooled_lines(figures: Mapping[str, Any], effects: Sequence[float]) -> Iterator[str]:
    """The mean and its interval, how far trials differ, one more trial, and each after hearing the others."""
    if figures["low"] is None:
        yield say("prove.pool.one_property", mu=number(figures["mu"], 4), count=len(effects))
        return
    mean = {name: number(figures[name], 4) for name in ("mu", "low", "high")}
    mean["level"] = number(100 * figures["level"], 3)
    if len(effects) == 1 and "tau2" in figures:
        yield from (say("prove.pool.of_one", **mean), say("prove.pool.alone"))
        return
    yield say("prove.pool.mean", **mean, count=len(effects))
    tau = figures["tau"] if "tau" in figures else sqrt(figures["tau2"])
    if "inside_tau2" in figures:
        yield say("prove.pool.grouped", properties=figures["properties"], tau=number(tau, 3),
                  inside=number(sqrt(figures["inside_tau2"]), 3))
        return
    if tau is None:
        yield say("prove.pool.open")
    elif tau == 0.0:
        yield say("prove.pool.alike")
    elif "i2" in figures:
        yield say("prove.pool.differ", tau=number(tau, 3), i2=number(figures["i2"], 2))
    else:
        yield say("prove.pool.believed", tau=number(tau, 3))
    if slope := figures.get("moderator"):
        yield say("prove.pool.slope", column=slope["column"], p=number(slope["p"], 2),
                  **{name: number(slope[name], 3) for name in ("slope", "low", "high")})
    yield say("prove.pool.new", low=number(figures["new_low"], 4), high=number(figures["new_high"], 4))
    for study, effect, shrunken in zip(figures["studies"], effects, figures["shrunken"], strict=True):
        yield say("prove.pool.study", study=study, effect=number(effect, 4), shrunken=number(shrunken, 4))
