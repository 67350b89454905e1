"""A practice's wait: one tree explained, and twenty explained and prescribed for."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from bench.work import Work
from rootcase.casework.explain.explain import explain
from rootcase.casework.prescribe.prescribe import prescribe
from rootcase.records.compare import Comparison, TreeComparison
from rootcase.records.observe import PropertyRecord
from tests.casework.property import DAY, FIELD, LAWN, PRICES, TREES, WOOD, compared, record, weather

DRAWS, THREADS, MANY = 1000, 2, 20
YEARS = (2013, 2014, 2015)


def about() -> Work:
    one = explain(record(), TREES[1].id, three_years(0.3), weather(), draws=DRAWS, seed=1, threads=THREADS)
    return Work(what=f"{DRAWS:,} draws on {THREADS} threads. The tree is established, with {len(one.growth_years) - 1} "
                     f"years of shoots: {one.balances:,} water balances. The twenty stand in a lawn or a sports field, "
                     "in turn.")


def run() -> Mapping[str, Callable[[], object]]:
    one, days, seen = record(), weather(), three_years(0.3)
    many, shares = twenty()

    def all_of_them() -> object:
        explained = [explain(many, tree.tree_id, tree, days, draws=DRAWS, seed=1, threads=THREADS) for tree in shares]
        return prescribe(many, Comparison("prop", shares, DRAWS, 1, DAY), explained, days, PRICES, today=DAY,
                         draws=DRAWS, seed=1, threads=THREADS)

    return {
        "one tree explained": lambda: explain(one, TREES[1].id, seen, days, draws=DRAWS, seed=1, threads=THREADS),
        f"{MANY} trees explained and prescribed for": all_of_them,
    }


def three_years(share: float) -> TreeComparison:
    """The tests' comparison, with shoots in three years."""
    seen = compared("t-lawn", share, DRAWS)
    return replace(seen, years=tuple(replace(seen.years[0], year=year) for year in YEARS))


def twenty() -> tuple[PropertyRecord, tuple[TreeComparison, ...]]:
    """The field's and the lawn's tree ten times over, each with readings of its own."""
    base = record()
    places = [reading for reading in (*FIELD, *LAWN) if reading.of in ("field", "lawn")]
    readings, trees, shares = [*WOOD, *places], list(TREES[2:]), []
    pits, samples, yardsticks = list(base.pits[2:]), list(base.samples[2:]), {}
    for number in range(MANY):
        like, theirs, share = (TREES[0], FIELD, 0.14) if number % 2 else (TREES[1], LAWN, 0.3)
        name = f"t-{number}"
        of = {like.id: name, f"p-{like.id}": f"p-{name}", f"s-{like.id}": f"s-{name}"}
        trees.append(replace(like, id=name, label=f"oak {number}"))
        pits += [replace(pit, id=of[pit.id], tree_id=name) for pit in base.pits if pit.id in of]
        samples += [replace(sample, id=of[sample.id], tree_id=name) for sample in base.samples if sample.id in of]
        readings += [replace(reading, id=f"{number} {reading.id}", of=of[reading.of])
                     for reading in theirs if reading.of in of]
        shares.append(replace(three_years(share), tree_id=name))
        yardsticks[name] = "yard"
    return replace(base, trees=tuple(trees), pits=tuple(pits), samples=tuple(samples), readings=tuple(readings),
                   compared_with=yardsticks), tuple(shares)
