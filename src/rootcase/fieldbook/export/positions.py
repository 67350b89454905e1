"""Where things stand on the earth, as far as somebody measured it; nothing is put where it was not."""

from __future__ import annotations

from collections.abc import Sequence
from math import cos, radians, sin

from rootcase.ground.errors import OutOfRange
from rootcase.ground.position import degrees_at
from rootcase.records.observe import Pit, PropertyRecord, Tree

Point = tuple[float, float]
"""Longitude and latitude, in degrees of WGS 84, as maps want them."""


def tree_point(record: PropertyRecord, tree: Tree) -> Point | None:
    """A tree by its metres east and north, else by the degrees that were read at it."""
    if tree.east_m is not None and tree.north_m is not None:
        return _point(record, tree.east_m, tree.north_m)
    latitude, longitude = (_newest_value(record, tree.id, kind) for kind in ("latitude", "longitude"))
    return None if latitude is None or longitude is None else (longitude, latitude)


def pit_point(record: PropertyRecord, pit: Pit) -> Point | None:
    """A pit by its distance and bearing from its tree, as they were read: the compass is not put right."""
    tree = next((each for each in record.trees if each.id == pit.tree_id), None)
    distance_m, bearing_deg = (_newest_value(record, pit.id, kind) for kind in ("pit_distance", "pit_bearing"))
    if tree is None or tree.east_m is None or tree.north_m is None or distance_m is None or bearing_deg is None:
        return None
    bearing = radians(bearing_deg)
    return _point(record, tree.east_m + distance_m * sin(bearing), tree.north_m + distance_m * cos(bearing))


def ring_of(record: PropertyRecord, outline_m: Sequence[tuple[float, float]]) -> list[Point] | None:
    """An outline's corners, against the clock, the first one last again; None where they are no ring on one map."""
    corners = list(dict.fromkeys(outline_m))
    area = sum(x * next_y - next_x * y
               for (x, y), (next_x, next_y) in zip(corners, [*corners[1:], *corners[:1]], strict=True))
    points = along(record, corners if area > 0 else corners[::-1])
    return None if points is None or len(corners) < 3 or area == 0 else [*points, points[0]]


def along(record: PropertyRecord, points_m: Sequence[tuple[float, float]]) -> list[Point] | None:
    """The points of a line; None where one of them is on no map, or the line leads over where the day changes."""
    points = [point for corner in points_m if (point := _point(record, *corner)) is not None]
    if len(points) < max(2, len(points_m)):
        return None
    longitudes = [longitude for longitude, _ in points]
    return None if max(longitudes) - min(longitudes) > 180 else points


def _point(record: PropertyRecord, east_m: float, north_m: float) -> Point | None:
    try:
        latitude, longitude = degrees_at(east_m, north_m, record.property.latitude_deg, record.property.longitude_deg)
    except OutOfRange:
        return None
    return longitude, latitude


def _newest_value(record: PropertyRecord, of: str, kind: str) -> float | None:
    found = [reading for reading in record.of(of, kind=kind) if reading.value is not None and reading.sign == "="]
    return max(found, key=lambda reading: (reading.day, reading.id)).value if found else None
