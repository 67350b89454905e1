"""The map of a property: looked at from anywhere, drawn on, a picture of the person's own under it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Form, Query, Request, UploadFile
from fastapi.responses import FileResponse, HTMLResponse, RedirectResponse, Response
from pydantic import BaseModel

from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.report.pictures.ground_map import View
from rootcase.services.aerial import lay_picture, take_picture
from rootcase.services.ground import Tool, draw, next_undrawn_tree, take_back
from rootcase.web.map_shown import FARTHEST_M, NEAREST_M, SIZES, WIDEST_M, aerial_page, map_page, map_picture
from rootcase.web.picture import embedded
from rootcase.web.refusals import NotThere
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter(prefix="/properties/{property_id}/map")
Sees = Annotated[Visitor, Depends(may("see_trees"))]
Draws = Annotated[Visitor, Depends(may("draw_ground"))]
_Metres = Query(ge=-FARTHEST_M, le=FARTHEST_M, allow_inf_nan=False)
_CACHED = {"cache-control": "private, max-age=31536000, immutable"}
"""A picture's address is its mark: what is there never changes."""


class Stroke(BaseModel):
    """A form of the map; `x`, `y` and `w` say where one looked."""

    x: str = ""
    y: str = ""
    w: str = ""
    of: str = ""
    name: str = ""
    kind: str = ""
    place: str = ""
    reason: str = ""
    distance: str = ""
    corners: str = ""


class TwoPoints(BaseModel):
    """Two points of a picture and where they are."""

    first_right: str = ""
    first_down: str = ""
    first_tree: str = ""
    first_at: str = ""
    second_right: str = ""
    second_down: str = ""
    second_tree: str = ""
    second_at: str = ""
    distance: str = ""
    bearing: str = ""


def looked(x: Annotated[float | None, _Metres] = None, y: Annotated[float | None, _Metres] = None,
           w: Annotated[float | None, Query(ge=NEAREST_M, le=WIDEST_M, allow_inf_nan=False)] = None) -> View | None:
    """What part of the ground an address asks for; the whole where it says nothing."""
    return None if x is None or y is None or w is None else View(x, y, w)


@router.get("")
def show(request: Request, property_id: str, visitor: Sees, view: Annotated[View | None, Depends(looked)],
         tool: Tool | None = None, of: str = "") -> HTMLResponse:
    return map_page(request, property_id, visitor, view, tool if visitor.may("draw_ground") else None, {"of": of})


@router.get("/picture")
def picture(request: Request, property_id: str, visitor: Sees, view: Annotated[View | None, Depends(looked)],
            size: Literal["wide", "phone"] = "wide", of: str = "") -> Response:
    drawn = map_picture(request, property_id, visitor, view, SIZES[size], of)
    return Response(embedded(drawn), media_type="image/svg+xml")


@router.post("/take-back")
def off_the_map(request: Request, property_id: str, visitor: Draws, typed: Annotated[Stroke, Form()]) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    wrong = take_back(desk.book(visitor.practice_id), ground.id, typed.model_dump())
    return _answer(request, ground.id, visitor, None, typed, wrong)


@router.get("/aerial")
def aerial(request: Request, property_id: str, visitor: Draws) -> Response:
    """The steps of laying a picture: choose it, touch two of its points, say where they are.

    A touch on a picture that is a key arrives as its place within the picture, with no script.
    """
    return aerial_page(request, property_id, visitor, dict(request.query_params))


@router.post("/aerial")
def bring_aerial(request: Request, property_id: str, visitor: Draws, picture: UploadFile) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    try:
        take_picture(desk.book(visitor.practice_id), ground.id, picture.file)
    except RootcaseError as error:
        return aerial_page(request, ground.id, visitor, {}, {"picture": str(error)})
    return RedirectResponse(f"/properties/{ground.id}/map/aerial", 303)


@router.post("/aerial/lay")
def lay_aerial(request: Request, property_id: str, visitor: Draws, typed: Annotated[TwoPoints, Form()]) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    book = desk.book(visitor.practice_id)
    wrong = lay_picture(book, book.record(ground.id), typed.model_dump(), visitor.system)
    if wrong:
        return aerial_page(request, ground.id, visitor, typed.model_dump(), wrong)
    return RedirectResponse(f"/properties/{ground.id}/map", 303)


@router.get("/aerial/{mark}.jpg")
def aerial_bytes(request: Request, property_id: str, mark: str, visitor: Sees) -> Response:
    desk = desk_of(request)
    drawing = desk.book(visitor.practice_id).drawing
    there = drawing.aerial(desk.ground(visitor.practice_id, property_id).id)
    path = drawing.photo(mark) if there is not None and there.photo == mark else None
    if path is None:
        raise NotThere(say("ground.aerial.none"), value=mark)
    return FileResponse(path, media_type="image/jpeg", headers=_CACHED)


@router.post("/{tool}")
def draw_stroke(request: Request, property_id: str, tool: Tool, visitor: Draws,
                typed: Annotated[Stroke, Form()]) -> Response:
    desk = desk_of(request)
    ground = desk.ground(visitor.practice_id, property_id)
    wrong = draw(desk.book(visitor.practice_id), ground.id, tool, typed.model_dump(), visitor.system)
    return _answer(request, ground.id, visitor, tool, typed, wrong)


def _answer(request: Request, property_id: str, visitor: Visitor, tool: Tool | None, typed: Stroke,
            wrong: Mapping[str, str]) -> Response:
    """Back to where one looked; with what was typed and what is wrong with it, if anything is."""
    view = _view_of(typed)
    if not wrong:
        here = {"x": typed.x, "y": typed.y, "w": typed.w} if view else {}
        coming = _next_tree(request, property_id, visitor, typed) if tool == "tree" else ""
        onward = here | ({"tool": "tree", "of": coming} if coming else {})
        asked = f"?{urlencode(onward)}" if onward else ""
        return RedirectResponse(f"/properties/{property_id}/map{asked}{'#draw' if coming else ''}", 303)
    return map_page(request, property_id, visitor, view, tool, typed.model_dump(), wrong)


def _next_tree(request: Request, property_id: str, visitor: Visitor, typed: Stroke) -> str:
    """The tree to be drawn next, so that many take one sitting."""
    record = desk_of(request).book(visitor.practice_id).record(property_id)
    label = next((tree.label for tree in record.trees if tree.id == typed.of), typed.name)
    return next_undrawn_tree(record, label)


def _view_of(typed: Stroke) -> View | None:
    try:
        east, north, wide = float(typed.x), float(typed.y), float(typed.w)
    except ValueError:
        return None
    held = max(abs(east), abs(north)) <= FARTHEST_M and NEAREST_M <= wide <= WIDEST_M
    return View(east, north, wide) if held else None
