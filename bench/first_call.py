"""The first call of the engine in a new process, its code compiled before."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Mapping

from bench.work import Work

BEFORE = """
from bench import engine
from rootcase.science.tree.day_compiled import run_compiled
from rootcase.science.tree.lanes import lanes_of
from rootcase.science.tree.parameters import central_parameters
from tests.archetypes import archetypes
lanes = lanes_of(next(iter(archetypes().values())), central_parameters())
season = engine.season()
"""
CALL = "run_compiled(lanes, season, 1)\n"


def about() -> Work:
    return Work(what="A new process up to the engine's first answer; the difference of the two is the first call, "
                     "code read from the cache. One lane through 496 days.")


def run() -> Mapping[str, Callable[[], object]]:
    def process(code: str) -> None:
        subprocess.run([sys.executable, "-c", code], check=True, env=os.environ)

    return {"imports and lanes": lambda: process(BEFORE),
            "imports, lanes and the first call": lambda: process(BEFORE + CALL)}
