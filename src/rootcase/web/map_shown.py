"""What the pages of a property's map show."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from urllib.parse import urlencode

from fastapi import Request
from fastapi.responses import HTMLResponse

from rootcase.records.observe import Aerial, PropertyRecord
from rootcase.report.pictures.ground_map import PHONE, WIDE, Size, Underlay, View, draw_ground, whole_view
from rootcase.report.pictures.plan.sheet import standing_trees
from rootcase.report.svg import Picture
from rootcase.services.aerial import lies
from rootcase.services.ground import LINE_KINDS, TOOLS, Drawn, Tool, drawn_things, ground_kinds
from rootcase.web.picture import embedded
from rootcase.web.showing import page
from rootcase.web.who import Visitor, desk_of

SIZES: Mapping[str, Size] = {"wide": WIDE, "phone": PHONE}
NEAREST_M, WIDEST_M, FARTHEST_M = 1.0, 20_000.0, 10_000.0
"""Of a view: how wide at least and at most, and how far from the origin its middle may be."""
_PREVIEW_PX = 960


def map_page(request: Request, property_id: str, visitor: Visitor, view: View | None, tool: Tool | None,
             typed: Mapping[str, str], wrong: Mapping[str, str] | None = None) -> HTMLResponse:
    """The map and what is drawn on it; with a tool, the form that draws with it."""
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    book = desk.book(visitor.practice_id)
    record, aerial = book.record(ground.id), book.drawing.aerial(ground.id)
    things = drawn_things(record, visitor.system)
    chosen = next((each for each in things if each.id == typed.get("of") and (tool is None or each.tool == tool)), None)
    under, anew = _under(ground.id, aerial), chosen.id if chosen and tool else ""
    pictures = {name: embedded(draw_ground(record, view, size, visitor.system, under, anew))
                for name, size in SIZES.items()}
    return page(request, "map.html", visitor, place="trees", status=422 if wrong else 200, ground=ground, view=view,
                moves=_moves(record, view), pictures=pictures, tool=tool, tools=TOOLS, things=things, chosen=chosen,
                typed=_typed(record, chosen, typed, wrong), wrong=wrong or {}, kinds=ground_kinds(),
                line_kinds=LINE_KINDS, places=record.places, aerial=aerial, lies=lies(aerial),
                unit="ft" if visitor.system == "us" else "m")


def map_picture(request: Request, property_id: str, visitor: Visitor, view: View | None, size: Size,
                chosen: str) -> Picture:
    """The map alone, for a script that moves it."""
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    book = desk.book(visitor.practice_id)
    under = _under(ground.id, book.drawing.aerial(ground.id))
    return draw_ground(book.record(ground.id), view, size, visitor.system, under, chosen)


def aerial_page(request: Request, property_id: str, visitor: Visitor, typed: Mapping[str, str],
                wrong: Mapping[str, str] | None = None) -> HTMLResponse:
    """The picture under the map, and how it is laid."""
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    book = desk.book(visitor.practice_id)
    record, aerial = book.record(ground.id), book.drawing.aerial(ground.id)
    shown = min(1.0, _PREVIEW_PX / aerial.counted_px[0]) if aerial else 1.0
    return page(request, "aerial.html", visitor, place="trees", status=422 if wrong else 200, ground=ground,
                aerial=aerial, lies=lies(aerial), typed=_with_touches(typed, shown), wrong=wrong or {}, shown=shown,
                trees=[tree for tree in record.trees if tree.east_m is not None and tree.north_m is not None],
                unit="ft" if visitor.system == "us" else "m")


def _under(property_id: str, aerial: Aerial | None) -> Underlay | None:
    if aerial is None or not lies(aerial):
        return None
    return Underlay(aerial, f"/properties/{property_id}/map/aerial/{aerial.photo}.jpg")


def _typed(record: PropertyRecord, chosen: Drawn | None, typed: Mapping[str, str],
           wrong: Mapping[str, str] | None) -> Mapping[str, str]:
    """What stands in the form: what was typed and refused, else what is to be drawn anew."""
    if wrong or chosen is None:
        return typed
    line = next((each for each in record.lines if each.id == chosen.id), None)
    area = next((each for each in record.keep_off if each.id == chosen.id), None)
    far = f"{area.distance_m:g} m" if area and area.distance_m else ""
    return {"of": chosen.id, "name": chosen.name, "corners": chosen.corners, "kind": line.kind if line else "",
            "reason": area.reason if area else "", "distance": far}


def _moves(record: PropertyRecord, view: View | None) -> list[tuple[str, str]]:
    """Where each key of the map leads, as words and the end of an address."""
    here = view or whole_view(record, standing_trees(record), WIDE.shape)
    step = here.wide_m / 3
    views = {"nearer": replace(here, wide_m=max(here.wide_m / 2, NEAREST_M)),
             "farther": replace(here, wide_m=min(here.wide_m * 2, WIDEST_M)),
             "north": replace(here, north_m=here.north_m + step), "south": replace(here, north_m=here.north_m - step),
             "west": replace(here, east_m=here.east_m - step), "east": replace(here, east_m=here.east_m + step)}
    return [*((name, _address(at)) for name, at in views.items()), ("whole", "")]


def _address(at: View) -> str:
    return urlencode({"x": f"{_held(at.east_m):.2f}", "y": f"{_held(at.north_m):.2f}", "w": f"{at.wide_m:.2f}"})


def _held(middle_m: float) -> float:
    return min(max(middle_m, -FARTHEST_M), FARTHEST_M)


def _with_touches(typed: Mapping[str, str], shown: float) -> dict[str, str]:
    """A touch on the picture, which is shown smaller than it is, as pixels of the person's own file."""
    told = dict(typed)
    for which in ("first", "second"):
        for axis, name in (("x", "right"), ("y", "down")):
            touch = told.pop(f"{which}.{axis}", "")
            if touch.isascii() and touch.isdigit():
                told[f"{which}_{name}"] = f"{int(touch[:9]) / shown:.0f}"
    return told
