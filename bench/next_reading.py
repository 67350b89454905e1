"""What the next reading adds to explaining one tree: 1,000 draws, every reading of a bare lawn."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from bench.work import Work
from rootcase.casework.explain.explain import explain
from rootcase.casework.explain.next_reading import next_readings
from rootcase.casework.explain.site import tree_inputs
from tests.casework.property import TREES, WOOD, compared, record, weather

DRAWS = 1000


def about() -> Work:
    return Work(what=f"One bare lawn tree, {DRAWS:,} draws: all that explaining it takes, and the part of it that "
                     "weighs every reading not yet taken.")


def run() -> Mapping[str, Callable[[], object]]:
    ground, tree, seen, days = record(list(WOOD)), TREES[1], compared("t-lawn", 0.3, DRAWS), weather()
    inputs = tree_inputs(ground, tree, draws=DRAWS, seed=1)

    def whole() -> object:
        return explain(ground, tree.id, seen, days, draws=DRAWS, seed=1, threads=2)

    found = explain(ground, tree.id, seen, days, draws=DRAWS, seed=1, threads=2)
    return {
        "explain, two threads": whole,
        "of it the next reading": lambda: next_readings(inputs, found.limit_draws, found.weights, (), seed=1,
                                                        tree_id=tree.id),
    }
