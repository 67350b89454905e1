"""The peer of the engine bench does the engine's work, and is the one the speed figures were taken against."""

from __future__ import annotations

import hashlib
from pathlib import Path

import numpy as np

from bench import plain_loop
from rootcase.science.tree.day_reference import run_reference
from rootcase.science.tree.lanes import lanes_of, stack
from rootcase.science.tree.parameters import draw_parameters
from rootcase.science.tree.season import season_of
from tests.archetypes import archetypes, greensboro_twice, with_reading_errors

PINNED = "5dc6d4ca919d4df80ae51ba1ca53bb64a6d06ad0ae9a4724c4541f49114b4495"
"""A changed loop is another yardstick: every ratio in docs/measured.md must then be taken anew."""


def test_the_plain_loop_is_the_pinned_one() -> None:
    assert hashlib.sha256(Path(plain_loop.__file__).read_bytes()).hexdigest() == PINNED


def test_the_plain_loop_gives_what_the_twin_gives(long: bool) -> None:
    rng, draws = np.random.default_rng(2), 30 if long else 4
    parameters = draw_parameters(draws, rng)
    lanes = stack([lanes_of(with_reading_errors(site, draws, rng), parameters) for site in archetypes().values()])
    season = season_of(greensboro_twice(), 45)
    spring, bud_set = plain_loop.plain_loop(*plain_loop.prepared(lanes, season))
    twin = run_reference(lanes, season)
    assert np.abs(spring - twin.spring).max() <= 1e-9
    assert np.abs(bud_set - twin.bud_set).max() <= 1e-9
