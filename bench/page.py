"""What a bench found, as its section of docs/measured.md: figures, the machine they hold for, the commit."""

from __future__ import annotations

import os
import platform
import re
import subprocess
import textwrap
from collections.abc import Mapping, Sequence
from importlib.metadata import version
from pathlib import Path

from bench.limits import Limits
from bench.work import Work

CHECKOUT = Path(__file__).parents[1]
PAGE = CHECKOUT / "docs" / "measured.md"
WIDTH = 120
MEASURED_CODE = ("src", "bench", "tests/archetypes.py", "locks")


def section(name: str, about: Work, medians_s: Mapping[str, float], most: Limits, conditions: str) -> str:
    """The whole section of one bench, without its markers."""
    how = f"Medians of all candidates, which take turns with the machine's limits: `./run bench {name}`."
    parts = [f"## Bench: {name.replace('_', ' ')}", _wrapped(f"{about.what} {how}"),
             "\n".join(_table(_rows(about, medians_s, most))), _wrapped(_limits(about, most)),
             _wrapped(f"{machine()}; {conditions}; {commit()}.")]
    return "\n\n".join(parts) + "\n"


def put(page: str, name: str, text: str) -> str:
    """The page with this bench's section in the place of its last one, or at the end; nothing else changes."""
    begin, end = f"<!-- bench {name} -->\n", f"<!-- end of bench {name} -->\n"
    new = begin + text.rstrip("\n") + "\n" + end
    old = re.compile(re.escape(begin) + ".*?" + re.escape(end), re.DOTALL)
    if old.search(page):
        return old.sub(lambda _: new, page, count=1)
    return page.rstrip("\n") + "\n\n" + new


def _rows(about: Work, medians_s: Mapping[str, float], most: Limits) -> list[list[str]]:
    yardsticks = about.yardsticks or (next(iter(medians_s)),)
    counted = about.operations is not None and most.register_bits > 0
    rows = [["candidate", "median", *([f"a {about.unit}"] if about.unit else []),
             *(f"speed over {yardstick}" for yardstick in yardsticks),
             *(["operations", "of one thread's limit"] if counted else [])]]
    for candidate, median_s in medians_s.items():
        row = [candidate, f"{median_s * 1e3:,.2f} ms"]
        if about.unit:
            row.append(f"{median_s / about.units * 1e9:,.2f} ns")
        row += [f"{medians_s[yardstick] / median_s:,.2f}" for yardstick in yardsticks]
        if counted and about.operations is not None:
            giga = about.operations * about.units / median_s / 1e9
            limit = most.gflop_s["f32" if candidate in about.single_precision else "f64"]
            row += [f"{giga:,.2f} G/s", f"{100 * giga / limit:.1f} %"]
        rows.append(row)
    return rows


def _table(rows: Sequence[Sequence[str]]) -> list[str]:
    """Markdown that also reads well in a terminal."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    lines = ["| " + " | ".join(cell.ljust(width) if column == 0 else cell.rjust(width)
                               for column, (cell, width) in enumerate(zip(row, widths, strict=True))) + " |"
             for row in rows]
    rule = "|" + "|".join("-" * (width + 2) if column == 0 else "-" * (width + 1) + ":"
                          for column, width in enumerate(widths)) + "|"
    return [lines[0], rule, *lines[1:]]


def _limits(about: Work, most: Limits) -> str:
    if most.register_bits:
        registers = f"{most.register_bits}-bit registers"
        rates = f"{most.gflop_s['f64']:.1f} Gflop/s of multiply-adds in f64 and {most.gflop_s['f32']:.1f} in f32"
        arithmetic = f"{rates} ({registers}, a multiply-add counted as two)"
    else:
        arithmetic = "an unknown number of multiply-adds (the loop that measures them was not vectorised)"
    counted = f" {about.operations_from}" if about.operations_from else ""
    return f"At most, in the same run, one thread did {arithmetic} and moved {most.memory_gb_s:.1f} GB/s.{counted}"


def _wrapped(text: str) -> str:
    return textwrap.fill(text.strip(), WIDTH, break_long_words=False, break_on_hyphens=False)


def machine() -> str:
    """The processor, and the versions the compiled code depends on."""
    packages = ", ".join(f"{name} {version(name)}" for name in ("numpy", "numba"))
    return (f"{_processor()}, {os.cpu_count()} cores, {platform.system()} {platform.machine()}; "
            f"Python {platform.python_version()}, {packages}")


def load() -> str:
    """How busy others kept the machine before a bench began."""
    return f"load {os.getloadavg()[0]:.1f} before" if hasattr(os, "getloadavg") else "load unknown"


def commit() -> str:
    """Which code was measured, and its date."""
    named = _git("show", "--no-patch", "--format=%h of %cs", "HEAD")
    if not named:
        return "commit unknown"
    changed = _git("status", "--porcelain", "--", *MEASURED_CODE)
    return f"commit {named}{', with changes not committed' if changed else ''}"


def _git(*words: str) -> str:
    try:
        done = subprocess.run(["git", "-C", str(CHECKOUT), *words], capture_output=True, text=True, check=False)
    except OSError:
        return ""
    return done.stdout.strip() if done.returncode == 0 else ""


def _processor() -> str:
    try:
        told = re.search(r"^model name\s*:\s*(.+)$", Path("/proc/cpuinfo").read_text(encoding="utf-8"), re.MULTILINE)
    except OSError:
        told = None
    return told[1].strip() if told else platform.processor() or platform.machine()
