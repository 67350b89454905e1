"""A tree from numbers: a hundred clumps are the crown, the branches join them by the shortest sensible way.

The shape between the numbers is a fixed pattern without chance: two trees differ only where their numbers do.
Branch width follows the number of ends a branch feeds, to a power of 0.58 (JUDGEMENT, drawn to look like wood).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from rootcase.report.svg import NOT_KNOWN, Canvas, Point, show
from rootcase.science.circle import circle_radius

CLUMPS = 100
_USUAL_DENSITY = 0.6
_USUAL_CROWN_RATIO = 0.75
_USUAL_TRUNK = 0.03
"""Trunk diameter over height. All three: JUDGEMENT, used only where nothing was read, and named below the picture."""
Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class TreeShape:
    """What was read of a tree's outer form; None is not read."""

    height_m: float | None
    spread_m: float | None
    live_crown_ratio: float | None
    trunk_m: float | None
    density: float | None
    dieback: float | None
    flare_buried: bool

    @property
    def base_m(self) -> float:
        ratio = self.live_crown_ratio if self.live_crown_ratio is not None else _USUAL_CROWN_RATIO
        return (self.height_m or 0.0) * (1 - min(max(ratio, 0.05), 0.98))

    @property
    def assumed(self) -> tuple[str, ...]:
        """Parts that are drawn as usual because they were not read."""
        parts = {"crown_base": self.live_crown_ratio, "trunk": self.trunk_m, "density": self.density}
        return tuple(part for part, value in parts.items() if value is None)


def half_width(t: Array | float) -> Array:
    """Outline of the crown: half width, 1 at the widest, from base (0) to top (1)."""
    return np.asarray(np.maximum(0.0, np.sin(np.pi * np.clip(t, 0.0, 1.0) ** 0.72)) ** 0.62)


@lru_cache(maxsize=64)
def clumps(aspect: float) -> tuple[Point, ...]:
    """Spread the clumps evenly over a crown 1 wide on each side and `aspect` high; the centre of each.

    Aspects come in steps of a fifth, so that trees alike in form share one pattern; the crown is stretched to its size.
    """
    inside = _samples(aspect, 2400)
    centres = inside[:: len(inside) // CLUMPS][:CLUMPS].copy()
    for _ in range(9):
        owner = np.argmin(((inside[:, None, :] - centres[None, :, :]) ** 2).sum(axis=2), axis=1)
        for k in range(CLUMPS):
            own = inside[owner == k]
            if len(own):
                centres[k] = own.mean(axis=0)
    order = np.lexsort((centres[:, 0], centres[:, 1]))
    return tuple((float(x), float(y)) for x, y in np.round(centres[order], 3))


def _samples(aspect: float, count: int) -> Array:
    points = np.array([(2 * halton(i, 2) - 1, halton(i, 3)) for i in range(1, 4 * count)])
    kept = points[np.abs(points[:, 0]) < 0.94 * half_width(points[:, 1])][:count]
    return np.asarray(kept * (1.0, aspect))


def halton(index: int, base: int) -> float:
    """Van der Corput's even spread of 0 to 1.

    >>> [halton(i, 2) for i in (1, 2, 3)]
    [0.5, 0.25, 0.75]
    """
    fraction, value = 1.0, 0.0
    while index:
        fraction /= base
        index, digit = divmod(index, base)
        value += digit * fraction
    return value


def dead_ends(centres: tuple[Point, ...], aspect: float, dieback: float) -> frozenset[int]:
    """The clumps that are drawn dead: so many of a hundred, from the top and the outside."""
    def rank(k: int) -> float:
        x, y = centres[k]
        outward = abs(x) / max(0.2, float(half_width(y / aspect)))
        return 0.9 * y / aspect + 0.35 * outward + 0.24 * (halton(k + 1, 5) - 0.5) + (0.1 if x > 0 else 0.0)

    return frozenset(sorted(range(len(centres)), key=lambda k: (-rank(k), k))[:round(dieback * CLUMPS)])


def branches(targets: list[Point], stem: list[Point]) -> tuple[list[int], list[int]]:
    """Join the clumps to the stem; parent of each node (stem first), and the ends each node feeds."""
    nodes = np.array(stem + targets)
    parents = [i - 1 for i in range(len(stem))] + [-1] * len(targets)
    length = np.zeros(len(nodes))
    for i in range(1, len(stem)):
        length[i] = length[i - 1] + math.dist(stem[i - 1], stem[i])
    best = np.full(len(nodes), np.inf)
    best[:len(stem)] = -np.inf

    def offer(i: int) -> None:
        reach = np.hypot(*(nodes - nodes[i]).T)
        cost = np.round(0.45 * length[i] + reach + 0.8 * np.maximum(0.0, nodes[i, 1] - nodes[:, 1]), 6)
        for j in np.flatnonzero(cost < best):
            best[j], parents[j] = cost[j], i

    for i in range(len(stem)):
        offer(i)
    waiting = set(range(len(stem), len(nodes)))
    while waiting:
        k = min(waiting, key=lambda j: (best[j], j))
        waiting.remove(k)
        length[k] = length[parents[k]] + math.dist(nodes[k], nodes[parents[k]])
        best[k] = -np.inf
        offer(k)
    return parents, _ends_fed(parents)


def _ends_fed(parents: list[int]) -> list[int]:
    fed = [0] * len(parents)
    for i in set(range(len(parents))) - set(parents):
        k = i
        while k >= 0:
            fed[k] += 1
            k = parents[k]
    return fed


def draw_tree(canvas: Canvas, foot: Point, px_per_m: float, shape: TreeShape) -> None:
    """Draw a tree whose height and spread are known, its foot on the ground line."""
    assert shape.height_m is not None
    assert shape.spread_m is not None
    crown_m = shape.height_m - shape.base_m
    half_m = shape.spread_m / 2
    aspect = round(min(max(crown_m / half_m, 0.2), 20.0) * 5) / 5
    unit = clumps(aspect)
    dead = dead_ends(unit, aspect, shape.dieback or 0.0)
    centres = [(x * half_m, shape.base_m + y * crown_m / aspect) for x, y in unit]
    density = shape.density if shape.density is not None else _USUAL_DENSITY
    outline_m2 = 2 * half_m * crown_m * float(half_width(np.linspace(0.0025, 0.9975, 200)).mean())
    radius = float(circle_radius(density * outline_m2 / CLUMPS)) * px_per_m
    trunk = (shape.trunk_m if shape.trunk_m is not None else _USUAL_TRUNK * shape.height_m) * px_per_m
    stem = [(0.0, 0.0)] + [(0.1 * half_m * 0.1 * math.sin(1.7 * i), shape.base_m * 0.85 + crown_m * 0.78 * i / 9)
                           for i in range(10)]
    with canvas.group("tree"):
        for k, (x, y) in enumerate(centres):
            if k not in dead:
                _clump(canvas, (foot[0] + x * px_per_m, foot[1] - y * px_per_m), radius, k, shape.density is not None)
        _branches(canvas, foot, px_per_m, centres, stem, trunk, dead, radius)
        _flare(canvas, foot, trunk / 2, px_per_m * min(1.3, 0.12 * shape.height_m), shape.flare_buried)


def _clump(canvas: Canvas, centre: Point, radius: float, seed: int, read: bool) -> None:
    """A leafy end: a circle gone a little out of round, always by the same pattern."""
    corners = []
    for i in range(7):
        wide = radius * (0.86 + 0.3 * halton(7 * seed + i + 1, 3))
        angle = 2 * math.pi * (i / 7 + halton(seed + 1, 2))
        corners.append((centre[0] + wide * math.cos(angle), centre[1] + wide * math.sin(angle)))
    middle = [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    data = f"M{show(middle[-1][0])} {show(middle[-1][1])}" + "".join(
        f"Q{show(c[0])} {show(c[1])} {show(m[0])} {show(m[1])}" for c, m in zip(corners, middle, strict=True)) + "Z"
    if read:
        canvas.path(data, fill="leaf", stroke="forest", weight=1, name="end")
    else:
        canvas.path(data, fill="paper", stroke="forest", weight=1, dash=NOT_KNOWN, name="end")


def _branches(canvas: Canvas, foot: Point, px_per_m: float, centres: list[Point], stem: list[Point], trunk: float,
              dead: frozenset[int], radius: float) -> None:
    parents, fed = branches(centres, stem)
    nodes = [(foot[0] + x * px_per_m, foot[1] - y * px_per_m) for x, y in [*stem, *centres]]
    for i in range(1, len(nodes)):
        gone = i - len(stem) in dead
        (x, y), (px, py) = nodes[i], nodes[parents[i]]
        bend = nodes[parents[parents[i]]] if parents[parents[i]] >= 0 else nodes[parents[i]]
        mx, my = (x + px) / 2 + 0.18 * (px - bend[0]), (y + py) / 2 + 0.18 * (py - bend[1])
        canvas.path(f"M{show(px)} {show(py)}Q{show(mx)} {show(my)} {show(x)} {show(y)}",
                    stroke="madder" if gone else "walnut", cap="round",
                    weight=1.6 if gone else max(0.9, trunk * (fed[i] / fed[0]) ** 0.58))
        if gone:
            _bare_end(canvas, nodes[i], math.atan2(y - py, x - px), max(radius, 3.0))


def _bare_end(canvas: Canvas, tip: Point, heading: float, radius: float) -> None:
    twigs = "".join(f"M{show(tip[0])} {show(tip[1])}L{show(tip[0] + math.cos(heading + turn) * radius * long)} "
                    f"{show(tip[1] + math.sin(heading + turn) * radius * long)}"
                    for turn, long in ((-0.75, 0.95), (-0.2, 1.15), (0.35, 1.1), (0.85, 0.85)))
    canvas.path(twigs, stroke="madder", weight=1.8, cap="round", name="dead-end")


def _flare(canvas: Canvas, foot: Point, half: float, rise: float, buried: bool) -> None:
    """The root flare; a buried one goes into the ground like a post."""
    x, y = foot
    if buried:
        canvas.rect(x - half, y - rise, 2 * half, rise, fill="walnut", name="post")
        return

    def side(way: float) -> list[str]:
        return [f"{show(x + way * half * wide)} {show(y - rise * high)}"
                for wide, high in ((0.95, 1.0), (1.0, 0.23), (1.2, 0.08), (2.0, 0.0))]

    left, right = side(-1.0), side(1.0)
    outline = f"M{left[0]}C{' '.join(left[1:])}L{right[3]}C{right[2]} {right[1]} {right[0]}Z"
    canvas.path(outline, fill="walnut", name="flare")


def draw_unknown_crown(canvas: Canvas, foot: Point, height: float, half: float) -> None:
    """A crown that was not read takes its room: dotted, with nothing inside. All in px."""
    levels = np.linspace(0.0, 1.0, 25)
    right = [(foot[0] + half * float(half_width(t)), foot[1] - height * (0.2 + 0.8 * float(t))) for t in levels]
    left = [(2 * foot[0] - x, y) for x, y in reversed(right)]
    with canvas.group("tree"):
        canvas.line(foot[0], foot[1], foot[0], foot[1] - height * 0.2, weight=1.6, dash=NOT_KNOWN, cap="round")
        canvas.shape(right + left, True, fill="paper", stroke="ink", weight=1.6, dash=NOT_KNOWN, cap="round",
                     name="unknown-crown")
