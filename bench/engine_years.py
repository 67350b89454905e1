"""The engine over four years: the same lanes through all 1,461 days of Seattle."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache

import numpy as np

from bench import engine, operations, plain_loop
from bench.work import Work
from rootcase.science.tree.season import Season, season_of
from tests.archetypes import seattle

YEARS = (2012, 2013, 2014, 2015)


def about() -> Work:
    lanes, days = engine.lanes().count, len(season().rain_mm)
    return Work(what=f"The lanes of the engine bench through {days:,} days.", unit="lane-day", units=lanes * days,
                operations=operations.in_all(), operations_from=operations.told(), yardsticks=(engine.PLAIN,),
                single_precision=frozenset({"f32, one thread", "f32, two threads"}))


def run() -> Mapping[str, Callable[[], object]]:
    spring = plain_loop.plain_loop(*plain_loop.prepared(engine.lanes(), season()))[0]
    return engine.candidates(engine.lanes(), season(), spring)


@cache
def season() -> Season:
    """All days, the windows those of the last two years; leaves of each year as of the first of a pair."""
    pairs = [season_of(seattle(year), 45) for year in YEARS[1:]]
    weather = [seattle(year) for year in YEARS[1:]]
    first = [np.count_nonzero(each.year == year) for each, year in zip(weather, YEARS[:-1], strict=True)]
    last = len(weather[-1].year) - first[-1]
    leaf = [pair.leaf[:days] for pair, days in zip(pairs, first, strict=True)]
    begun = pairs[-1].leaf[first[-1]:]
    leaf.append(np.concatenate([begun, np.ones(last - len(begun))]))
    whole = [np.concatenate([*(getattr(each, name)[:days] for each, days in zip(weather, first, strict=True)),
                             getattr(weather[-1], name)[first[-1]:]]) for name in ("rain_mm", "et0_mm", "day_of_year")]
    ahead = sum(first[:-1])
    bud_set, spring = ((window[0] + ahead, window[1] + ahead) for window in (pairs[-1].bud_set, pairs[-1].spring))
    return Season(*whole[:2], np.concatenate(leaf), whole[2], bud_set, spring)
