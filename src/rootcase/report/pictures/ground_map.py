"""The map of a property: all that is drawn on its ground and every tree, from wherever one looks, north up."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from rootcase.ground.quantity import System
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.apply.jobs import Job
from rootcase.records.observe import Aerial, Place, PropertyRecord
from rootcase.report.lettering import printable, width_px
from rootcase.report.pictures.plan.drawn import draw_keep_off, draw_lines, name_drawn
from rootcase.report.pictures.plan.ground import (
    draw_holes,
    draw_north,
    draw_places,
    draw_trees,
    name_places,
    name_trees,
    treated_ground,
)
from rootcase.report.pictures.plan.sheet import Sheet, Spot, standing_trees
from rootcase.report.pictures.signs import MINUS, scale_bar, short
from rootcase.report.svg import Canvas, Picture, Point, Style, path_through
from rootcase.science.zones.amounts import circle_radius_m

DENSE = 25
"""From so many trees in sight on, each carries its number alone; the rows below carry the names."""
_USUAL_WIDE_M = 60.0
"""Of a property on which nothing is drawn yet. JUDGEMENT."""
_AROUND = 1.08
_ROUND_TREES, _LEAST_WIDE_M = 1.6, 25.0
"""What is seen round trees that are worked at. JUDGEMENT."""
_OVER_A_PICTURE = ""
"""Of whatever kind ground is: its edge alone is drawn, and its name stands on a plate."""
_WIDEST_DISC = 24.0
"""Longer ends of names are no numbers."""


@dataclass(frozen=True, slots=True)
class View:
    """What part of the ground is looked at."""

    east_m: float
    north_m: float
    """Of its middle."""
    wide_m: float


@dataclass(frozen=True, slots=True)
class Size:
    """Room of the map, px."""

    name: str
    width: float
    height: float
    left: float
    """Room for the marks of the frame."""

    @property
    def shape(self) -> float:
        """Height of the ground over its width."""
        return self.height / (self.width - self.left - 4)


WIDE, PHONE = Size("wide", 1120.0, 620.0, 44.0), Size("phone", 328.0, 380.0, 36.0)


@dataclass(frozen=True, slots=True)
class Underlay:
    """A picture of the person's own, and where it is got from."""

    aerial: Aerial
    href: str


def draw_ground(record: PropertyRecord, view: View | None, size: Size, system: System, under: Underlay | None = None,
                chosen: str = "", work: Iterable[Job] = ()) -> Picture:
    """Draw what is in view, or the whole; chosen: id of the thing that is drawn anew; work: whose ground is marked."""
    spots = standing_trees(record)
    view = view or whole_view(record, spots, size.shape)
    canvas = Canvas(f"ground-{size.name}", size.width)
    sheet = _sheet(view, size)
    west, south, east, north = _edges(sheet)
    spots = [spot for spot in spots if west - spot.crown_m < spot.at[0] < east + spot.crown_m
             and south - spot.crown_m < spot.at[1] < north + spot.crown_m]
    places = tuple(place for place in (*record.places, *record.outlines) if _meets(place.outline_m, sheet))
    with canvas.group("ground", **_measures(sheet)):
        if under is not None:
            _lay(canvas, sheet, under)
            places = tuple(replace(place, kind=_OVER_A_PICTURE) for place in places)
            _draw_edges(canvas, sheet, places)
        else:
            draw_places(canvas, sheet, places)
        draw_keep_off(canvas, sheet, record.keep_off)
        with canvas.group("standing", **{"clip-path": canvas.window(sheet.left, sheet.top, sheet.width, sheet.height)}):
            _work(canvas, sheet, spots, work)
            draw_trees(canvas, sheet, spots)
        draw_lines(canvas, sheet, record.lines)
        with canvas.group("redrawn", **{"clip-path": canvas.window(sheet.left, sheet.top, sheet.width, sheet.height)}):
            _mark(canvas, sheet, record, chosen)
    _draw_frame(canvas, sheet, system)
    named = [spot for spot in spots if _within(spot.at, sheet)]
    left_out = (_number_trees(canvas, sheet, named) if len(named) > DENSE
                else name_trees(canvas, sheet, named, numbers_only=False))
    left_out += name_drawn(canvas, sheet, record.lines, record.keep_off, system)
    left_out += name_places(canvas, sheet, places, spots)
    foot = sheet.top + sheet.height + 56
    scale_bar(canvas, sheet.left, foot - 10, sheet.px_per_m, 150, system)
    draw_north(canvas, sheet.left + sheet.width - 12, foot - 10)
    return canvas.finish(foot + 12, say("ground.map.title", property=record.property.name),
                         _alt(record, len(spots), left_out))


def whole_view(record: PropertyRecord, spots: Sequence[Spot], shape: float) -> View:
    """All that has a position, with a little room round it."""
    corners = [corner for place in (*record.places, *record.outlines) for corner in place.outline_m]
    corners += [point for line in record.lines for point in line.points_m]
    around = [(spot.at, spot.crown_m) for spot in spots]
    around += [(corner, area.distance_m) for area in record.keep_off for corner in area.outline_m]
    corners += [(x + side * far, y + side * far) for (x, y), far in around for side in (-1, 1)]
    if not corners:
        return View(_USUAL_WIDE_M / 2, _USUAL_WIDE_M * shape / 2, _USUAL_WIDE_M)
    west, south = min(x for x, _ in corners), min(y for _, y in corners)
    east, north = max(x for x, _ in corners), max(y for _, y in corners)
    return View((west + east) / 2, (south + north) / 2, max(east - west, (north - south) / shape, 2.0) * _AROUND)


def view_of(record: PropertyRecord, work: Collection[Job], shape: float) -> View | None:
    """So much of the ground that the trees of this work, its ground and what lies round are seen; None where none has a
    position."""
    treated_m = {job.tree_id: _radius_m(job) for job in sorted(work, key=_radius_m)}
    spots = [replace(spot, crown_m=max(spot.crown_m, treated_m[spot.tree.id])) for spot in standing_trees(record)
             if spot.tree.id in treated_m]
    if not spots:
        return None
    around = whole_view(replace(record, places=(), outlines=(), lines=(), keep_off=()), spots, shape)
    return replace(around, wide_m=max(around.wide_m * _ROUND_TREES, _LEAST_WIDE_M))


def _work(canvas: Canvas, sheet: Sheet, spots: Iterable[Spot], work: Iterable[Job]) -> None:
    """Treated ground at its true area, and its holes, under the crowns."""
    at = {spot.tree.id: spot for spot in spots}
    for job in work:
        if job.tree_id in at:
            spot = at[job.tree_id]
            treated_ground(canvas, *sheet.at(*spot.at), _radius_m(job) * sheet.px_per_m, job.remedy)
            draw_holes(canvas, sheet, spot, job.dose)


def _radius_m(job: Job) -> float:
    return float(circle_radius_m(job.dose.area_m2))


def _sheet(view: View, size: Size) -> Sheet:
    width = size.width - size.left - 4
    px_per_m = width / view.wide_m
    origin = view.east_m - view.wide_m / 2, view.north_m - size.height / px_per_m / 2
    return Sheet(size.left, 4.0, width, size.height, px_per_m, origin)


def _measures(sheet: Sheet) -> dict[str, str]:
    """What a script needs to turn a touch into metres."""
    west, south, east, north = _edges(sheet)
    return {"data-east": f"{(west + east) / 2:.9g}", "data-north": f"{(south + north) / 2:.9g}",
            "data-wide": f"{east - west:.9g}", "data-left": f"{sheet.left:g}",
            "data-foot": f"{sheet.top + sheet.height:g}", "data-px-per-m": f"{sheet.px_per_m:.9g}",
            "data-west": f"{west:.9g}", "data-south": f"{south:.9g}"}


def _edges(sheet: Sheet) -> tuple[float, float, float, float]:
    west, south = sheet.origin_m
    return west, south, west + sheet.width / sheet.px_per_m, south + sheet.height / sheet.px_per_m


def _within(point: Point, sheet: Sheet) -> bool:
    west, south, east, north = _edges(sheet)
    return west < point[0] < east and south < point[1] < north


def _meets(outline: Sequence[Point], sheet: Sheet) -> bool:
    """Whether the box round an outline has ground in view."""
    if len(outline) < 3:
        return False
    west, south, east, north = _edges(sheet)
    return (min(x for x, _ in outline) < east and max(x for x, _ in outline) > west
            and min(y for _, y in outline) < north and max(y for _, y in outline) > south)


def _lay(canvas: Canvas, sheet: Sheet, under: Underlay) -> None:
    """The person's own picture from above, within the frame."""
    aerial = under.aerial
    x, y = sheet.at(aerial.east_m, aerial.north_m)
    scale, turn = aerial.scale_m_px * sheet.px_per_m, math.radians(aerial.turned_deg)
    cos, sin = scale * math.cos(turn), scale * math.sin(turn)
    with canvas.group("aerial", **{"clip-path": canvas.window(sheet.left, sheet.top, sheet.width, sheet.height)}):
        canvas.image(under.href, aerial.width_px, aerial.height_px, (cos, sin, -sin, cos, x, y))


def _draw_edges(canvas: Canvas, sheet: Sheet, places: Iterable[Place]) -> None:
    """Places over a picture show their edges alone."""
    with canvas.group("places", **{"clip-path": canvas.window(sheet.left, sheet.top, sheet.width, sheet.height)}):
        for place in places:
            points = [sheet.at(*corner) for corner in place.outline_m]
            canvas.shape(points, True, stroke="paper", weight=5)
            canvas.shape(points, True, stroke="ink", weight=2, name="place")


def _mark(canvas: Canvas, sheet: Sheet, record: PropertyRecord, chosen: str) -> None:
    """What is drawn anew, cased."""
    cased: tuple[Style, Style] = {"stroke": "ink", "weight": 6}, {"stroke": "weld", "weight": 2.6, "name": "chosen"}
    outlines = [place.outline_m for place in (*record.places, *record.outlines) if place.id == chosen]
    outlines += [area.outline_m for area in record.keep_off if area.id == chosen]
    paths = [path_through([sheet.at(*corner) for corner in outline], True) for outline in outlines if outline]
    paths += [path_through([sheet.at(*point) for point in line.points_m]) for line in record.lines if line.id == chosen]
    for path in paths:
        for style in cased:
            canvas.path(path, **style)
    for tree in record.trees:
        if tree.id == chosen and tree.east_m is not None and tree.north_m is not None:
            for style in cased:
                canvas.circle(*sheet.at(tree.east_m, tree.north_m), 10, **style)


def _number_trees(canvas: Canvas, sheet: Sheet, spots: list[Spot]) -> list[str]:
    """Each tree's number alone, on a disc in the place of its stem; returns the names that found no room."""
    left_out = []
    for spot in spots:
        x, y = sheet.at(*spot.at)
        number = printable(spot.tree.label).split()[-1]
        radius = max(10.0, width_px(number, 14, 700) / 2 + 4)
        inside = (sheet.left + radius < x < sheet.left + sheet.width - radius
                  and sheet.top + radius < y < sheet.top + sheet.height - radius)
        if inside and radius <= _WIDEST_DISC and sheet.take(x, y, radius):
            canvas.circle(x, y, radius, fill="paper", stroke="slate", weight=1, name="disc")
            canvas.text(x, y + 5, number, 14, weight=700, anchor="middle", name="tree-name")
        else:
            left_out.append(spot.tree.label)
    return left_out


def _draw_frame(canvas: Canvas, sheet: Sheet, system: System) -> None:
    """The frame, with round distances from the property's origin along its foot and its left side."""
    unit = "ft" if system == "us" else "m"
    canvas.rect(sheet.left, sheet.top, sheet.width, sheet.height, stroke="ink", weight=2, name="frame")
    west, south, east, north = (convert(edge, "m", unit) for edge in _edges(sheet))
    step = next(s for k in range(-1, 6) for s in (10**k, 2 * 10**k, 5 * 10**k) if (east - west) / s <= sheet.width / 90)
    foot = sheet.top + sheet.height
    for value in _marks(west, east, step):
        x = sheet.at(convert(value, unit, "m"), 0.0)[0]
        canvas.line(x, foot, x, foot + 6, weight=1.4)
        if sheet.left + 16 < x < sheet.left + sheet.width - 40:
            canvas.text(x, foot + 20, _distance(value), 12, fill="slate", anchor="middle")
    canvas.text(sheet.left + sheet.width, foot + 20, say("ground.map.east", unit=unit), 12, fill="slate", anchor="end")
    for value in _marks(south, north, step):
        y = sheet.at(0.0, convert(value, unit, "m"))[1]
        canvas.line(sheet.left - 6, y, sheet.left, y, weight=1.4)
        words = _distance(value)
        if sheet.top + 10 < y < foot - 8 and width_px(words, 12) < sheet.left - 12:
            canvas.text(sheet.left - 9, y + 4, words, 12, fill="slate", anchor="end")


def _marks(low: float, high: float, step: float) -> list[float]:
    return [round(i * step, 6) + 0.0 for i in range(math.ceil(low / step), math.floor(high / step) + 1)]


def _distance(value: float) -> str:
    return f"{value:.10g}".replace("-", MINUS)


def _alt(record: PropertyRecord, in_view: int, left_out: list[str]) -> str:
    words = [say("ground.map.alt", property=short(record.property.name), trees=in_view,
                 lines=len(record.lines), areas=len(record.keep_off))]
    unplaced = sum(tree.east_m is None or tree.north_m is None for tree in record.trees)
    if unplaced:
        words.append(say("ground.map.alt_unplaced", count=unplaced))
    if left_out:
        words.append(say("ground.map.alt_left_out", count=len(left_out)))
    return " ".join(words)
