"""The ground and the trees on the plan."""

from __future__ import annotations

import math

from rootcase.ground.quantity import System
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.observe import Place
from rootcase.records.prescribe import Dose
from rootcase.report.lettering import fitted, printable, width_px
from rootcase.report.pictures.plan.sheet import Sheet, Spot, inner_points, sides
from rootcase.report.pictures.signs import hatch
from rootcase.report.svg import NOT_KNOWN, Anchor, Canvas, Label, Point, Style, show
from rootcase.science.zones.amounts import circle_radius_m

_LOOK: dict[str, tuple[str, str, str, str]] = {
    "lawn": ("paper", "turf", "forest_middle", "rule"), "pitch": ("mist", "turf", "forest_middle", "forest"),
    "verge": ("paper", "turf", "forest_middle", "rule"), "bed": ("loam", "bed", "walnut", "walnut"),
    "tree_pit": ("loam", "bed", "walnut", "slate"), "paving": ("mist", "paving", "rule", "slate"),
    "path": ("mist", "paving", "rule", "slate"), "woodland": ("forest_tint", "wood", "forest", "forest"),
    "water": ("woad_tint", "water", "woad", "woad"), "construction": ("sand", "past", "rule", "slate"),
}
"""Fill, hatch, its ink, and the edge of each kind of ground."""
_CLOSEST_PX = 4.0
"""Holes closer than this on paper are no grid any more."""
REMEDY_HATCH = {"mulch": "mulch", "compost": "humus", "air_tillage": "up", "turf_off": "past", "water": "water"}
"""Hatch of treated ground; the words beside the plan say the same."""


def draw_places(canvas: Canvas, sheet: Sheet, places: tuple[Place, ...]) -> None:
    """Draw the largest ground first, buildings last."""
    order = sorted((p for p in places if len(p.outline_m) > 2), key=lambda p: (p.kind == "building", -_area(p), p.id))
    window = canvas.window(sheet.left, sheet.top, sheet.width, sheet.height)
    with canvas.group("places", **{"clip-path": window}):
        for place in order:
            points = [sheet.at(*corner) for corner in place.outline_m]
            if place.kind == "building":
                canvas.shape(points, True, fill="slate", stroke="ink", weight=2.5, name="place building")
                continue
            fill, key, ink, edge = _LOOK.get(place.kind, ("paper", "bed", "rule", "slate"))
            canvas.shape(points, True, fill=fill)
            canvas.shape(points, True, fill=hatch(canvas, key, ink))
            canvas.shape(points, True, stroke=edge, weight=1.6, name=f"place {place.kind}")


def _area(place: Place) -> float:
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in sides(place.outline_m))) / 2


def draw_frame(canvas: Canvas, sheet: Sheet, system: System) -> None:
    """The frame, with round distances from its south-west corner in the reader's unit."""
    unit = "ft" if system == "us" else "m"
    canvas.rect(sheet.left, sheet.top, sheet.width, sheet.height, stroke="ink", weight=2, name="frame")
    longest = convert(sheet.width / sheet.px_per_m, "m", unit)
    step = next(s for k in range(6) for s in (10**k, 2 * 10**k, 5 * 10**k) if longest / s <= 7)
    bottom = sheet.top + sheet.height
    for i in range(int(longest / step) + 1):
        x = sheet.left + convert(i * step, unit, "m") * sheet.px_per_m
        canvas.line(x, bottom, x, bottom + 6, weight=1.4)
        anchor: Anchor = "start" if not i else "middle" if x < sheet.left + sheet.width - 14 else "end"
        canvas.text(x, bottom + 21, f"{i * step:,}" if i else f"0 {unit}", 12, fill="slate", anchor=anchor)


def draw_trees(canvas: Canvas, sheet: Sheet, spots: list[Spot]) -> None:
    """Treated ground at its true area, crowns at their width, trunks as dots."""
    with canvas.group("trees", **{"data-px-per-m": f"{sheet.px_per_m:.4f}"}):
        for spot in spots:
            for item in spot.items:
                radius = float(circle_radius_m(item.dose.area_m2)) * sheet.px_per_m
                treated_ground(canvas, *sheet.at(*spot.at), radius, item.remedy)
                draw_holes(canvas, sheet, spot, item.dose)
        for spot in spots:
            x, y = sheet.at(*spot.at)
            radius = spot.crown_m * sheet.px_per_m
            canvas.circle(x, y, radius, stroke="paper", weight=5)
            edge: Style = {"stroke": "forest", "weight": 2.4, "name": "crown"}
            if not spot.crown_read:
                edge = {"stroke": "ink", "weight": 1.6, "dash": NOT_KNOWN, "cap": "round", "name": "crown"}
            elif not spot.items:
                canvas.circle(x, y, radius, fill="forest_tint", opacity=0.6)
            canvas.circle(x, y, radius, **edge)
        for spot in spots:
            trunk = max(3.5, (spot.trunk_m or 0.0) * sheet.px_per_m / 2)
            canvas.circle(*sheet.at(*spot.at), trunk, fill="ink", stroke="paper", weight=1.5, name="trunk")


def draw_holes(canvas: Canvas, sheet: Sheet, spot: Spot, dose: Dose) -> None:
    """The grid of holes at its true spacing, row by row from the trunk outward, as many as the dose has."""
    if not dose.holes or not dose.spacing_m or dose.spacing_m * sheet.px_per_m < _CLOSEST_PX:
        return
    far, step, trunk = float(circle_radius_m(dose.area_m2)), dose.spacing_m, (spot.trunk_m or 0.0) / 2
    reach = range(-int(far / step), int(far / step) + 1)
    grid = sorted((math.hypot(i, j) * step, i * step, j * step) for i in reach for j in reach)
    with canvas.group("holes"):
        for _, east, north in [each for each in grid if trunk < each[0] <= far][:dose.holes]:
            x, y = sheet.at(spot.at[0] + east, spot.at[1] + north)
            canvas.circle(x, y, 1.6, fill="ink", name="hole")


def treated_ground(canvas: Canvas, x: float, y: float, radius: float, remedy: str) -> None:
    """What we do: weld, cased in ink, its hatch the remedy's."""
    with canvas.group(f"treated {remedy}"):
        canvas.circle(x, y, radius, fill="weld", name="dose")
        if remedy in REMEDY_HATCH:
            canvas.circle(x, y, radius, fill=hatch(canvas, REMEDY_HATCH[remedy], "ink"), opacity=0.45)
        canvas.circle(x, y, radius, stroke="ink", weight=6)
        canvas.circle(x, y, radius, stroke="weld", weight=2.6)


def name_trees(canvas: Canvas, sheet: Sheet, spots: list[Spot], numbers_only: bool) -> list[str]:
    """Write each tree's name on its own ground line; returns the names that found no room."""
    left_out = []
    for spot in spots:
        sheet.take(*sheet.at(*spot.at), 4)
    for spot in reversed(spots):
        label = fitted(printable(spot.tree.label), 150, 14, 700)
        if numbers_only or not _name(canvas, sheet, spot, label):
            number = label.split()[-1]
            if len(number) > 4 or not _name(canvas, sheet, spot, number):
                left_out.append(spot.tree.label)
    return left_out


def _name(canvas: Canvas, sheet: Sheet, spot: Spot, words: str) -> bool:
    x, y = sheet.at(*spot.at)
    in_trial = spot.arm in ("treated", "untreated")
    bold = in_trial or (spot.arm is None and not spot.yardstick)
    reach = spot.crown_m * sheet.px_per_m
    places: list[Point] = [(x, y + 26), (x, y - 16), (x, y + reach + 18), (x, y - reach - 12)]
    places += [(x + side * (reach + 34), y + 5) for side in (1, -1)]
    place = sheet.room_for(words, 14, places, below=27 if in_trial else 12)
    if place is None:
        return False
    x, y = place
    end = canvas.text(x, y, words, 14, weight=700 if bold else 400, anchor="middle", plate=True, name="tree-name")
    start = 2 * x - end
    if spot.arm == "treated" or (spot.arm is None and spot.items):
        canvas.line(start, y + 6, end, y + 6, weight=6)
        canvas.line(start, y + 6, end, y + 6, stroke="weld", weight=2.6)
    elif spot.arm == "untreated":
        canvas.line(start, y + 6, end, y + 6, weight=3)
    else:
        canvas.line(start, y + 6, end, y + 6, stroke="rule", weight=1.2)
    if in_trial:
        canvas.text(x, y + 22, say(f"plan.{spot.arm}"), 12, anchor="middle", plate=True, name="arm")
    return True


def name_places(canvas: Canvas, sheet: Sheet, places: tuple[Place, ...], spots: list[Spot]) -> list[str]:
    """Write the name of each piece of ground where it is widest and free; returns those that found no room."""
    left_out = []
    order = sorted((p for p in places if len(p.outline_m) > 2), key=lambda p: (-_area(p), p.id))
    crowns = [Label(x - r, y - r, x + r, y + r, "") for spot in spots for (x, y), r in
              [(sheet.at(*spot.at), spot.crown_m * sheet.px_per_m)]]
    for i, place in enumerate(order):
        words = fitted(printable(place.name), 170, 13, 700)
        points = [sheet.at(*p) for p in inner_points(place.outline_m, [other.outline_m for other in order[i + 1:]])]
        free = sheet.room_for(words, 13, points, crowns) or sheet.room_for(words, 13, points)
        if free is None:
            left_out.append(place.name)
        elif place.kind == "building" and _holds(sheet, place, free[0], width_px(words, 13, 700)):
            canvas.text(*free, words, 13, weight=700, fill="paper", on="slate", anchor="middle", name="place-name")
        else:
            canvas.text(*free, words, 13, weight=700, anchor="middle", plate=True, name="place-name")
    return left_out


def _holds(sheet: Sheet, place: Place, middle: float, width: float) -> bool:
    """Whether a name of this width lies on the ground from side to side, so that light letters stand on dark."""
    edges = [sheet.at(*corner)[0] for corner in place.outline_m]
    return min(edges) <= middle - width / 2 and middle + width / 2 <= max(edges)


def draw_north(canvas: Canvas, x: float, y: float) -> None:
    canvas.path(f"M{show(x)} {show(y - 12)}l8 22l-8 -5l-8 5z", fill="ink", name="north")
    canvas.text(x - 14, y + 6, say("plan.north"), 14, weight=700, anchor="end")
