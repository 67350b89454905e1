"""A round on a map: places as they lie, straight lines in driving order, where the tank is filled; not by road."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import Literal

from rootcase.ground.position import local_m
from rootcase.ground.words import say
from rootcase.report.pictures.signs import Layout
from rootcase.report.svg import Canvas, Picture

_WIDTH: dict[Layout, float] = {"wide": 1120.0, "column": 760.0, "phone": 360.0}
_EDGE, _RADIUS, _APART, _SIZE = 30.0, 13.0, 30.0, 14.0
_HIGHEST: dict[Layout, float] = {"wide": 0.4, "column": 0.5, "phone": 0.8}
"""Of the width."""
_TURNS = 60


@dataclass(frozen=True, slots=True)
class Spot:
    """One thing of a round where it lies."""

    kind: Literal["fill", "stop"]
    number: int
    """Of a stop, in driving order; 0 for a fill."""
    latitude_deg: float
    longitude_deg: float


def draw_round(title: str, yard: tuple[float, float], spots: Sequence[Spot], layout: Layout = "wide") -> Picture:
    """From the yard through all spots and back; a number in a ring is a stop, a solid square a fill, the yard a frame.
    """
    width = _WIDTH[layout]
    places = [yard, *((each.latitude_deg, each.longitude_deg) for each in spots), yard]
    at, height = _laid([local_m(*place, *yard) for place in places], width,
                       _HIGHEST[layout] * width)
    canvas = Canvas(f"round-{layout}", width)
    for start, end in pairwise(at):
        canvas.line(*start, *end, stroke="slate", weight=1.6, name="drive")
    taken: list[tuple[float, float]] = [at[0]]
    canvas.rect(at[0][0] - _RADIUS, at[0][1] - _RADIUS, 2 * _RADIUS, 2 * _RADIUS, fill="paper", stroke="ink", weight=2,
                name="yard")
    for each, place in zip(spots, at[1:-1], strict=True):
        if each.kind == "fill":
            canvas.rect(place[0] - 5, place[1] - 5, 10, 10, fill="ink", name="fill")
    for each, place in zip(spots, at[1:-1], strict=True):
        if each.kind == "stop":
            x, y = _free(place, taken, width, height)
            taken.append((x, y))
            canvas.circle(x, y, _RADIUS, fill="paper", stroke="ink", weight=2, name="stop")
            canvas.text(x, y + 5, str(each.number), _SIZE, weight=700, anchor="middle")
    return canvas.finish(height, title, say("week.picture.alt", stops=sum(each.kind == "stop" for each in spots),
                                            fills=sum(each.kind == "fill" for each in spots)))


def _laid(places_m: Sequence[tuple[float, float]], width: float,
          highest: float) -> tuple[list[tuple[float, float]], float]:
    """Where each place is drawn, north up and to one scale, and how high the picture is."""
    east, north = [each[0] for each in places_m], [each[1] for each in places_m]
    wide, high = max(max(east) - min(east), 1.0), max(max(north) - min(north), 1.0)
    scale = min((width - 2 * _EDGE) / wide, (highest - 2 * _EDGE) / high)
    height = max(high * scale, _APART) + 2 * _EDGE
    left, top = (width - wide * scale) / 2, (height - high * scale) / 2
    return [(left + (x - min(east)) * scale, top + (max(north) - y) * scale) for x, y in places_m], height


def _free(place: tuple[float, float], taken: Sequence[tuple[float, float]], width: float,
          height: float) -> tuple[float, float]:
    """The place itself, or the nearest beside it that no other ring covers."""
    for turn in range(_TURNS):
        ring = (turn + 7) // 8
        across, down = ((0, 0), (1, 0), (-1, 0), (0, -1), (0, 1), (1, -1), (-1, -1), (1, 1))[turn % 8]
        x, y = place[0] + across * ring * _APART, place[1] + down * ring * _APART
        inside = _RADIUS < x < width - _RADIUS and _RADIUS < y < height - _RADIUS
        if inside and all(hypot(x - one, y - other) >= _APART - 1.0 for one, other in taken):
            return x, y
    return place
