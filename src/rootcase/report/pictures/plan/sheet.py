"""The sheet of the plan: metres to pixels, what is drawn on it, and where words still find room."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
import numpy.typing as npt

from rootcase.records.observe import BuriedLine, KeepOff, Place, PropertyRecord, Reading, Tree
from rootcase.records.offer import Arms
from rootcase.records.prescribe import Plan, PlanItem
from rootcase.report.lettering import width_px
from rootcase.report.pictures.trunk import trunk_mm
from rootcase.report.svg import Label, Point
from rootcase.science.lanes import Lanes

Arm = Literal["treated", "untreated", "outside"]

_PAD_M = 1.5
_USUAL_SPREAD_M = 4.0
"""Stands in for a crown that nobody measured; it is drawn dotted. JUDGEMENT."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A tree on the plan."""

    tree: Tree
    at: Point
    crown_m: float
    crown_read: bool
    trunk_m: float | None
    yardstick: bool
    items: tuple[PlanItem, ...]
    arm: Arm | None = None
    """In a trial; None where the plan holds none."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A map of the ground, north up."""

    left: float
    top: float
    width: float
    height: float
    px_per_m: float
    origin_m: Point
    """South-west corner of the frame."""
    taken: list[Label] = field(default_factory=list)

    def at(self, east_m: float, north_m: float) -> Point:
        return (self.left + (east_m - self.origin_m[0]) * self.px_per_m,
                self.top + self.height - (north_m - self.origin_m[1]) * self.px_per_m)

    def room_for(self, words: str, size: float, places: Iterable[Point], also: Sequence[Label] = (),
                 below: float = 12.0) -> Point | None:
        """First of these middles of the baseline where bold words touch nothing and stay inside the frame."""
        half = width_px(words, size, 700) / 2 + 4
        for x, y in places:
            box = Label(x - half, y - size, x + half, y + below, words)
            within = (box.left > self.left + 2 and box.right < self.left + self.width - 2 and box.top > self.top + 2
                      and box.bottom < self.top + self.height - 2)
            if within and not any(box.touches(other) for other in [*self.taken, *also]):
                self.taken.append(box)
                return x, y
        return None

    def take(self, x: float, y: float, radius: float) -> bool:
        """Take a small disc, if it is free."""
        box = Label(x - radius, y - radius, x + radius, y + radius, "")
        if any(box.touches(other) for other in self.taken):
            return False
        self.taken.append(box)
        return True


def spots_of(record: PropertyRecord, plan: Plan, arms: Sequence[Arms] = ()) -> list[Spot]:
    """Every tree with a position, those with work last, so that they lie on top."""
    treated = {pair.treated for each in arms for pair in each.pairs}
    untreated = {pair.untreated for each in arms for pair in each.pairs}

    def with_work(spot: Spot) -> Spot:
        tree_id = spot.tree.id
        return replace(spot, items=tuple(item for item in plan.items if item.tree_id == tree_id),
                       arm=None if not arms else "treated" if tree_id in treated else "untreated"
                       if tree_id in untreated else "outside")

    return sorted(map(with_work, standing_trees(record)), key=lambda spot: (bool(spot.items), spot.tree.id))


def standing_trees(record: PropertyRecord) -> list[Spot]:
    """Every tree with a position, with its crown and trunk as far as they were read."""
    read: dict[str, list[Reading]] = defaultdict(list)
    for reading in record.readings:
        if reading.kind in ("crown_spread", "dbh"):
            read[reading.of].append(reading)
    yardsticks = {tree_id for group in record.yardsticks for tree_id in group.tree_ids}
    spots = []
    for tree in record.trees:
        if tree.east_m is None or tree.north_m is None:
            continue
        own = replace(record, readings=tuple(read[tree.id]))
        spread = _mean([r.value for r in own.of(tree.id, kind="crown_spread") if r.plain and r.value is not None])
        trunk = trunk_mm(own, tree.id)
        spots.append(Spot(tree, (tree.east_m, tree.north_m), (spread or _USUAL_SPREAD_M) / 2, spread is not None,
                          None if trunk is None else trunk / 1000, tree.id in yardsticks, ()))
    return spots


def _mean(values: list[float]) -> float | None:
    return sum(values) / len(values) if values else None


def sheet_of(places: Sequence[Place], spots: Sequence[Spot], left: float, top: float, width: float,
             tallest: float, lines: Sequence[BuriedLine] = (), keep_off: Sequence[KeepOff] = ()) -> Sheet | None:
    """Fit everything that has a position into the room there is; None where nothing has one."""
    corners = [corner for place in places for corner in place.outline_m]
    corners += [(x + side * area.distance_m, y + side * area.distance_m) for area in keep_off
                for x, y in area.outline_m for side in (-1, 1)]
    corners += [point for line in lines for point in line.points_m]
    corners += [(spot.at[0] + dx * spot.crown_m, spot.at[1] + dy * spot.crown_m) for spot in spots
                for dx, dy in ((-1, -1), (1, 1))]
    if not corners:
        return None
    west, south = min(x for x, _ in corners) - _PAD_M, min(y for _, y in corners) - _PAD_M
    east, north = max(x for x, _ in corners) + _PAD_M, max(y for _, y in corners) + _PAD_M
    px_per_m = min(width / (east - west), tallest / (north - south))
    wide, tall = (east - west) * px_per_m, (north - south) * px_per_m
    spare_m = max(0.0, min(width, tall * 2.2) - wide) / px_per_m
    return Sheet(left, top, wide + spare_m * px_per_m, tall, px_per_m, (west - spare_m / 2, south))


def inner_points(outline: Sequence[Point], others: Sequence[Sequence[Point]], steps: int = 24) -> list[Point]:
    """Points inside an outline and outside the others, farthest from every edge first: where a name may stand."""
    west, east = min(x for x, _ in outline), max(x for x, _ in outline)
    south, north = min(y for _, y in outline), max(y for _, y in outline)
    i, j = (each.ravel() for each in np.meshgrid(np.arange(1, steps), np.arange(1, steps), indexing="ij"))
    points = np.stack((west + (east - west) * i / steps, south + (north - south) * j / steps), axis=1)
    free = _inside(points, outline)
    for other in others:
        free &= ~_inside(points, other)
    clear = np.min([_edge_distances(points[free], edge) for edge in (outline, *others)], axis=0)
    order = np.lexsort((i[free], j[free], -np.round(clear, 4)))
    return [(float(x), float(y)) for x, y in points[free][order]]


def sides(outline: Sequence[Point]) -> list[tuple[Point, Point]]:
    return list(zip(outline, [*outline[1:], outline[0]], strict=True))


def _inside(points: Lanes, outline: Sequence[Point]) -> npt.NDArray[np.bool_]:
    x, y = points.T
    odd = np.zeros(len(points), dtype=bool)
    for (x1, y1), (x2, y2) in sides(outline):
        if y1 != y2:
            odd ^= ((y1 > y) != (y2 > y)) & (x < x1 + (y - y1) / (y2 - y1) * (x2 - x1))
    return odd


def _edge_distances(points: Lanes, outline: Sequence[Point]) -> Lanes:
    """Of each point from the nearest edge."""
    starts, ends = (np.array(each)[:, None] for each in zip(*sides(outline), strict=True))
    ways = ends - starts
    lengths = (ways**2).sum(axis=2)
    along = ((points - starts) * ways).sum(axis=2) / np.where(lengths > 0, lengths, 1.0)
    beside = points - starts - np.clip(along, 0.0, 1.0)[..., None] * ways
    return np.asarray(np.sqrt((beside**2).sum(axis=2)).min(axis=0))
