"""The engine: 16 sites of 1,000 draws through 496 days, S and B only."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache

import numpy as np

from bench import operations, plain_loop
from bench.work import Work
from rootcase.science.tree.day_compiled import run_compiled
from rootcase.science.tree.day_reference import run_reference
from rootcase.science.tree.lanes import Lanes, lanes_of, stack
from rootcase.science.tree.parameters import draw_parameters
from rootcase.science.tree.season import Season, season_of
from tests.archetypes import archetypes, greensboro_twice, with_reading_errors

DRAWS = 1000
PLAIN, TWIN = "plain numba loop (pinned)", "numpy twin"


def about() -> Work:
    lanes, days = len(archetypes()) * DRAWS, len(season().rain_mm)
    return Work(what=f"{len(archetypes())} sites of {DRAWS:,} draws through the {days} days of one run.",
                unit="lane-day", units=lanes * days, operations=operations.in_all(), operations_from=operations.told(),
                yardsticks=(PLAIN, TWIN), single_precision=frozenset({"f32, one thread", "f32, two threads"}))


def run() -> Mapping[str, Callable[[], object]]:
    twin = run_reference(lanes(), season())
    return {TWIN: lambda: run_reference(lanes(), season()), **candidates(lanes(), season(), twin.spring)}


def candidates(lanes: Lanes, season: Season, spring: np.ndarray) -> Mapping[str, Callable[[], object]]:
    """The plain loop and ours, all made sure to give the same spring."""
    arguments = plain_loop.prepared(lanes, season)
    assert np.abs(plain_loop.plain_loop(*arguments)[0] - spring).max() < 1e-9
    assert np.abs(run_compiled(lanes, season, 1).spring - spring).max() < 1e-9
    assert np.abs(run_compiled(lanes, season, 1, single=True).spring - spring).max() < 1e-5
    return {
        PLAIN: lambda: plain_loop.plain_loop(*arguments),
        "f64, one thread": lambda: run_compiled(lanes, season, 1),
        "f32, one thread": lambda: run_compiled(lanes, season, 1, single=True),
        "f64, two threads": lambda: run_compiled(lanes, season, 2),
        "f32, two threads": lambda: run_compiled(lanes, season, 2, single=True),
    }


@cache
def lanes() -> Lanes:
    rng = np.random.default_rng(1)
    parameters = draw_parameters(DRAWS, rng)
    return stack([lanes_of(with_reading_errors(site, DRAWS, rng), parameters) for site in archetypes().values()])


@cache
def season() -> Season:
    return season_of(greensboro_twice(), next(iter(archetypes().values())).spring_window_days)
