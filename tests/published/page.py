"""Writes docs/published.md: which published figures are asserted, which only told, which still wait, and why.

    python -m tests.published.page
"""

from __future__ import annotations

import tomllib
from collections import Counter
from pathlib import Path

from tests.published.vectors import HERE, Row, read

PAGE = Path(__file__).parents[2] / "docs" / "published.md"
FILES = ("soil.csv", "soil-physics.csv", "water.csv", "balance.csv", "chemistry.csv", "zones.csv", "warmth.csv",
         "laboratory.csv", "networks.csv", "pests.csv", "doses.csv", "tank.csv", "compost.csv", "microscope.csv",
         "hyphae.csv", "practice-kinds.csv", "practice-shoots.csv", "practice-crowns.csv", "practice-trees.csv",
         "practice-soil.csv", "practice-findings.csv", "practice-law.csv")
OPENING = """# Published figures

Written by `python -m tests.published.page`; a test compares. Each figure was copied with its source, its tolerance and
how it is known, and `tests/published/manifest.toml` holds the hash of every file of figures, so that a changed
expectation is seen. *Asserted* is a figure that a function of the program must give, within its tolerance, in every
run of the tests; *memory* counts those of which some part was never read at its source. *Told only* is one that cannot
be held against a function: its source gives a range, a bound or an "about", or disagrees with itself, or the figure is
one that is not offered, for a reason.
"""


def page() -> str:
    """The page as it should be."""
    rows = [row for file in FILES for row in read(file)]
    about = tomllib.loads((HERE / "left.toml").read_text(encoding="utf-8"))
    waiting = sum(sum(group["topics"].values()) for group in about["left"])
    told = [row for row in rows if row.is_documentation]
    count = (f"Of {about['collected']} collected figures {len(rows) - len(told)} are asserted, "
             f"{len(told)} told only, and {waiting} wait.")
    lines = [OPENING, count, "", "| topic | asserted | of these memory | told only |", "|---|--:|--:|--:|"]
    lines += [line(topic, [row for row in rows if row.topic == topic]) for topic in Counter(row.topic for row in rows)]
    lines += ["", "## Told only", "", "| figure | expected | tolerance | source | known |", "|---|---|---|---|---|"]
    lines += [f"| {row.case}, {row.quantity} | {row.expected} {row.unit} | {row.tolerance} | {row.source} | "
              f"{row.how_known} |" for row in told]
    lines += ["", "## Waiting", "", "| figures | why | topics |", "|--:|---|---|"]
    for group in about["left"]:
        topics = ", ".join(f"{topic} {rows}" for topic, rows in group["topics"].items())
        lines.append(f"| {sum(group['topics'].values())} | {group['reason']} | {topics} |")
    return "\n".join(lines) + "\n"


def line(topic: str, rows: list[Row]) -> str:
    told = sum(row.is_documentation for row in rows)
    memory = sum("memory" in row.how_known and not row.is_documentation for row in rows)
    return f"| {topic} | {len(rows) - told} | {memory} | {told} |"


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
