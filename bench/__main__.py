"""Run the benches in turns, candidate after candidate, so that a busy moment hits all of them alike."""

from __future__ import annotations

import importlib
import pkgutil
import statistics
import sys
import time
from collections.abc import Callable, Mapping

import bench

ROUNDS = 7


def names() -> list[str]:
    return sorted(found.name for found in pkgutil.iter_modules(bench.__path__) if not found.name.startswith("_"))


def seconds(candidates: Mapping[str, Callable[[], object]]) -> dict[str, float]:
    """The median of each; a first, untimed turn compiles and fills caches."""
    taken: dict[str, list[float]] = {name: [] for name in candidates}
    for turn in range(ROUNDS + 1):
        for name, job in candidates.items():
            start = time.perf_counter()
            job()
            if turn:
                taken[name].append(time.perf_counter() - start)
    return {name: statistics.median(times) for name, times in taken.items()}


def main(wanted: list[str]) -> int:
    there = names()
    for name in wanted:
        if name not in there:
            print(f"bench: there is no bench `{name}`: {', '.join(there) or 'none yet'}", file=sys.stderr)
            return 2
    for name in wanted or there:
        medians = seconds(importlib.import_module(f"bench.{name}").run())
        first = next(iter(medians.values()))
        print(f"{name}: median of {ROUNDS}")
        for candidate, median in medians.items():
            print(f"  {candidate:<32} {median * 1e3:12.3f} ms   {median / first:8.3f} of the first")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
