"""Marks of a picture: a map of several hundred trees, and its labels held against each other."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping

from bench.work import Work
from rootcase.report.svg import Canvas, Picture

TREES = 2_000
MARKS_A_TREE = 5
LABELS = 400


def about() -> Work:
    return Work(what=f"A picture of {TREES:,} trees from nothing to its bytes: each has a crown on its halo, a stem, a "
                     f"ground line and a bed of five corners. `labels`: with {LABELS} names on top, each held against "
                     "the others; its figure is by mark too.", unit="mark", units=TREES * MARKS_A_TREE)


def run() -> Mapping[str, Callable[[], object]]:
    dice = random.Random(1)
    spots = [(dice.uniform(10, 1100), dice.uniform(10, 600)) for _ in range(TREES)]
    return {"marks": lambda: drawn(spots), "labels": lambda: drawn(spots, LABELS)}


def drawn(spots: list[tuple[float, float]], labels: int = 0) -> Picture:
    canvas = Canvas("bench", 1120)
    for x, y in spots:
        canvas.circle(x, y, 8, stroke="paper", weight=5)
        canvas.circle(x, y, 8, fill="forest_tint", stroke="forest", weight=2.4, name="crown")
        canvas.circle(x, y, 3.5, fill="ink", stroke="paper", weight=1.5, name="trunk")
        canvas.line(x - 9, y + 14, x + 9, y + 14, stroke="rule", weight=1.2)
        canvas.shape([(x - 9, y - 9), (x + 9, y - 9), (x + 12, y), (x + 9, y + 9), (x - 9, y + 9)], True,
                     stroke="walnut", weight=1.6, name="place bed")
    for number, (x, y) in enumerate(spots[:labels]):
        canvas.text(x, y + 26, str(number), 14, weight=700, anchor="middle", name="tree-name")
    return canvas.finish(640, "title", "alt")
