"""Run the benches in turns, candidate after candidate, so that a busy moment hits all of them alike.

Each prints its section and puts it into docs/measured.md in the place of its last one.
"""

from __future__ import annotations

import importlib
import statistics
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path

import bench
from bench.limits import Probe
from bench.page import PAGE, load, put, section
from bench.work import ROUNDS, Work


def names() -> list[str]:
    return sorted(file.stem for file in Path(bench.__path__[0]).glob("*.py")
                  if "\ndef run(" in file.read_text(encoding="utf-8"))


def turns(candidates: Mapping[str, Callable[[], object]]) -> dict[str, list[float]]:
    """Seconds of each turn of each; a first, untimed turn compiles and fills caches."""
    taken: dict[str, list[float]] = {name: [] for name in candidates}
    for turn in range(ROUNDS + 1):
        for name, job in candidates.items():
            start = time.perf_counter()
            job()
            if turn:
                taken[name].append(time.perf_counter() - start)
    return taken


def measure(name: str) -> str:
    """The section of one bench; the machine's limits take their turns among the candidates."""
    before = load()
    module = importlib.import_module(f"bench.{name}")
    candidates, probe = module.run(), Probe()
    about = module.about() if hasattr(module, "about") else Work(what="")
    taken = turns({**candidates, "the machine's limits": probe.turn})
    medians = {each: statistics.median(taken[each]) for each in candidates}
    return section(name, about, medians, probe.limits(), f"{ROUNDS} turns, {before}")


def main(wanted: list[str]) -> int:
    there = names()
    for name in wanted:
        if name not in there:
            print(f"bench: there is no bench `{name}`: {', '.join(there) or 'none yet'}", file=sys.stderr)
            return 2
    for name in wanted or there:
        text = measure(name)
        print(text)
        try:
            page = PAGE.read_text(encoding="utf-8")
            PAGE.write_text(put(page, name, text), encoding="utf-8")
        except OSError as error:
            print(f"bench: {PAGE} was not written: {error.strerror}", file=sys.stderr)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
