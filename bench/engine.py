"""The day of 16,000 lanes (16 sites, 1,000 draws) through 496 days: numpy twin, compiled on one thread and on two."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache

import numpy as np

from bench import operations
from bench.work import Work
from rootcase.science.tree.day_compiled import run_compiled
from rootcase.science.tree.day_reference import run_reference
from rootcase.science.tree.lanes import lanes_of, stack
from rootcase.science.tree.parameters import draw_parameters
from rootcase.science.tree.season import Season, season_of
from tests.archetypes import archetypes, greensboro_twice, with_reading_errors

DRAWS = 1000


def about() -> Work:
    lanes, days = len(archetypes()) * DRAWS, len(season().rain_mm)
    return Work(what=f"{len(archetypes())} sites of {DRAWS:,} draws through the {days} days of one run.",
                unit="lane-day", units=lanes * days, operations=operations.in_all(), operations_from=operations.told())


def run() -> Mapping[str, Callable[[], object]]:
    rng = np.random.default_rng(1)
    parameters = draw_parameters(DRAWS, rng)
    lanes = stack([lanes_of(with_reading_errors(site, DRAWS, rng), parameters) for site in archetypes().values()])
    return {
        "numpy twin": lambda: run_reference(lanes, season()),
        "compiled, one thread": lambda: run_compiled(lanes, season(), 1),
        "compiled, two threads": lambda: run_compiled(lanes, season(), 2),
    }


@cache
def season() -> Season:
    return season_of(greensboro_twice(), next(iter(archetypes().values())).spring_window_days)
