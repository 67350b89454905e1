"""Causes and signs in noisy-OR: the worst case of twelve causes and thirty signs, and a tree's case in many tries."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from bench.work import Work
from rootcase.science.inference.noisy_or import ABSENT, NOT_LOOKED, PRESENT, NoisyOr, judge, look_bits


def about() -> Work:
    return Work(what="Chance of every cause. Worst case: 12 causes, 30 signs of 2 to 5 causes each, all of them found. "
                     "A tree: 20 causes, 30 signs, 8 found, 12 looked for and not there, and the observed share.")


def network(causes: int, signs: int, tries: tuple[int, ...] = ()) -> NoisyOr:
    rng = np.random.default_rng(5)
    linked = np.zeros((causes, signs), dtype=bool)
    for sign in range(signs):
        linked[rng.permutation(causes)[:rng.integers(2, 6)], sign] = True
    return NoisyOr(rng.uniform(0.02, 0.3, (*tries, causes)), rng.uniform(0.1, 0.9, (*tries, causes, signs)) * linked,
                   rng.uniform(0.01, 0.1, (*tries, signs)))


def run() -> Mapping[str, Callable[[], object]]:
    worst, tree, tries = network(12, 30), network(20, 31), network(20, 31, (200,))
    all_found = [PRESENT] * 30
    some_found = [PRESENT] * 8 + [ABSENT] * 12 + [NOT_LOOKED] * 10 + [(0.3, 0.9)]
    return {
        "12 causes, 30 signs, all found": lambda: judge(worst, all_found),
        "one tree": lambda: judge(tree, some_found),
        "one tree, the look that splits two causes": lambda: look_bits(tree, some_found, [0, 1]),
        "one tree in 200 tries": lambda: judge(tries, some_found),
    }
