"""Effects of several trials, drawn by seed."""

from __future__ import annotations

import numpy as np

from rootcase.science.trials.cells import Floats, Integers


def effects(seed: int) -> tuple[Floats, Floats, Integers]:
    """Effect, variance and property of each."""
    chance = np.random.default_rng(seed)
    groups = int(chance.integers(3, 9))
    group = np.repeat(np.arange(groups), chance.integers(1, 6, groups))
    variance = chance.uniform(0.01, 0.3, group.size).round(6)
    effect = (0.4 + chance.normal(0, chance.choice((0.0, 0.3, 1.0)), groups)[group]
              + chance.normal(0, chance.choice((0.0, 0.4)), group.size) + chance.normal(0, np.sqrt(variance)))
    return effect.round(6), variance, group
