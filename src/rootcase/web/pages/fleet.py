"""Practice: trucks, crews, where tanks are filled, and how long drives take."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from rootcase.services.fleet import cells_of, fleet, take, usual_cells
from rootcase.web.fleet_shown import asked_of, shown, travel_line
from rootcase.web.showing import cells, page
from rootcase.web.typed import Typed
from rootcase.web.who import Visitor, desk_of, may

router = APIRouter()
Thing = Literal["truck", "crew", "fill_point", "travel"]
THINGS: tuple[Thing, ...] = ("truck", "crew", "fill_point", "travel")
_NOTHING: Mapping[str, str] = {}


@router.get("/practice/fleet")
def trucks_and_crews(request: Request, visitor: Annotated[Visitor, Depends(may("see_practice"))]) -> HTMLResponse:
    return _page(request, visitor)


@router.post("/practice/fleet/{what}")
def tell(request: Request, what: Thing, visitor: Annotated[Visitor, Depends(may("change_practice"))],
         typed: Typed) -> Response:
    wrong = take(desk_of(request).book(visitor.practice_id), what, typed, visitor.code, visitor.system)
    return _page(request, visitor, what, typed, wrong) if wrong else RedirectResponse(f"/practice/fleet#{what}", 303)


def _page(request: Request, visitor: Visitor, what: str = "", typed: Mapping[str, str] = _NOTHING,
          wrong: Mapping[str, str] = _NOTHING) -> HTMLResponse:
    there = fleet(desk_of(request).book(visitor.practice_id))
    listed = {"truck": there.trucks, "crew": there.crews, "fill_point": there.fill_points, "travel": ()}
    begun = {each: usual_cells(each, visitor.system) for each in THINGS}
    if there.travel.places or there.travel.road_factor or there.travel.speed_km_h:
        begun["travel"] = cells_of(there.travel, visitor.system)
    return page(request, "fleet.html", visitor, status=422 if wrong else 200, there=there, things=THINGS,
                listed={each: shown(listed[each], there, visitor.system) for each in THINGS},
                asked={each: asked_of(each, visitor.system) for each in THINGS}, plain=cells,
                drives=travel_line(there, visitor.system), begun={each: cells(begun[each]) for each in THINGS},
                what=what, typed=cells(typed), wrong=cells(wrong))
